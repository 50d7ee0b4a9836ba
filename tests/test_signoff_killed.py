"""Killed while signing: every confirmed signature is there, and no half of one."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from viewer.clock import utc_now
from viewer.signoff.verify import verify
from viewer.store.jobs import moment
from viewer.store.offers import OfferStore
from viewer.store.opening import open_store

FAILPOINTS = ("begun", "before_flush", "flushed", "before_commit", "committed", "confirmed")

CHILD = """
import os, signal, sys
from pathlib import Path
from sqlalchemy import event
from sqlalchemy.orm import Session
from viewer.clock import utc_now
from viewer.signoff.personal import conceal
from viewer.store.jobs import moment
from viewer.store.opening import open_store

folder, offer, point = sys.argv[1:]
store = open_store(Path(folder), None, utc_now)

def die(*_args):
    os.kill(os.getpid(), signal.SIGKILL)

NAMES = {"begun": "after_begin", "before_flush": "before_flush", "flushed": "after_flush",
         "before_commit": "before_commit", "committed": "after_commit"}
if point in NAMES:
    event.listen(Session, NAMES[point], die)
client = conceal("B. Client (invented)")
store.records.append("job", stage="signature", at=moment(utc_now()), personal=(client,), offer_id=offer,
                     sections={"client": {"personal": client.reference}})
print("confirmed", flush=True)
die()
"""


@pytest.mark.parametrize("point", FAILPOINTS)
def test_killed_twice_at_each_point(tmp_path: Path, point: str) -> None:
    store = open_store(tmp_path, None, utc_now)
    store.jobs.keep_as("job", {"name": "Wall (invented)"})
    offers: OfferStore = store.offers
    made = [offers.add("job", {}, expires_at="2099-01-01T00:00:00Z").id for _kill in range(2)]
    store.records.append("job", stage="offer", at=moment(utc_now()), sections={})
    store.close()
    confirmed = 0
    for offer in made:
        run = subprocess.run(
            [sys.executable, "-c", CHILD, str(tmp_path), offer, point],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ},
        )
        assert run.returncode == -signal.SIGKILL, run.stderr
        confirmed += "confirmed" in run.stdout
    again = open_store(tmp_path, None, utc_now)
    signatures = [entry for entry in again.records.entries("job") if entry.stage == "signature"]
    marked = [offer for offer in made if again.offers.get(offer).signed_place is not None]
    # entry, personal value and the offer's mark stand together or not at all
    assert len(signatures) == len(marked) == len(again.records.personal("job"))
    assert len(signatures) == (2 if point in ("committed", "confirmed") else 0)
    assert len(signatures) >= confirmed
    verdict = verify(again.records.export("job"))
    assert (verdict.intact, verdict.erased) == (True, ())
    again.close()
