"""Kills a signing process again and again and looks at what is left; 200 times by default.

Kills go round six named points, and then a quarter as many fall at any moment. After each, what a fresh
process sees must hold: entry, personal value and the offer's mark stand together or not at all, every
confirmed signature is there, and the record verifies. Prints JSON; exits with 1 at the first fault.
"""

import argparse
import json
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import NoReturn

from sqlalchemy import event
from sqlalchemy.orm import Session

from viewer.clock import utc_now
from viewer.signoff.personal import conceal
from viewer.signoff.verify import verify
from viewer.store.jobs import moment
from viewer.store.opening import Store, open_store

FAILPOINTS = ("begun", "before_flush", "flushed", "before_commit", "committed", "confirmed")
HOOKS = {
    "begun": "after_begin",
    "before_flush": "before_flush",
    "flushed": "after_flush",
    "before_commit": "before_commit",
    "committed": "after_commit",
}
KEPT_AFTER = frozenset({"committed", "confirmed"})
LONGEST_S = 0.15
"""A kill at any moment falls within this of the start: opening and signing take 0.05 s and more."""


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("kills", nargs="?", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1, help="of the kills at any moment")
    given = parser.parse_args()
    chance = random.Random(given.seed)
    points = [FAILPOINTS[number % len(FAILPOINTS)] for number in range(given.kills)]
    points += ["any"] * (given.kills // 4)
    with tempfile.TemporaryDirectory() as folder:
        report = killed(Path(folder), points, chance)
    print(json.dumps(report, indent=2))
    return 1 if report["faults"] else 0


def killed(folder: Path, points: list[str], chance: random.Random) -> dict[str, object]:
    """Kill one signing a point; counts by point what was confirmed and kept, and the first fault."""
    store = open_store(folder, None, utc_now)
    store.jobs.keep_as("job", {"name": "Wall (invented)"})
    store.records.append("job", stage="offer", at=moment(utc_now()), sections={})
    store.close()
    signed, kept, confirmed = 0, Counter[str](), Counter[str]()
    faults: list[str] = []
    for number, point in enumerate(points):
        store = open_store(folder, None, utc_now)
        offer = store.offers.add("job", {}, expires_at="2099-01-01T00:00:00Z").id
        store.close()
        said = run(folder, offer, point, chance)
        store = open_store(folder, None, utc_now)
        now = signatures(store)
        faults += [
            f"kill {number} at {point}: {fault}" for fault in look(store, offer, now - signed, said, point)
        ]
        kept[point] += now - signed
        confirmed[point] += said
        signed = now
        store.close()
        if faults:
            break
    return {
        "kills": dict(Counter(points)),
        "kept": {point: kept[point] for point in dict.fromkeys(points)},
        "confirmed": {point: confirmed[point] for point in dict.fromkeys(points)},
        "faults": faults,
    }


def signatures(store: Store) -> int:
    return sum(entry.stage == "signature" for entry in store.records.entries("job"))


def look(store: Store, offer: str, new: int, said: bool, point: str) -> list[str]:
    """What does not hold after one kill."""
    faults = []
    marked = store.offers.get(offer).signed_place is not None
    if not new == marked <= 1 or len(store.records.personal("job")) != signatures(store):
        faults.append(f"half a record: {new} entries, marked {marked}")
    if said and not new:
        faults.append("a confirmed signature is lost")
    if point in HOOKS or point == "confirmed":
        wanted = point in KEPT_AFTER
        if bool(new) != wanted:
            faults.append(f"{new} signatures where {int(wanted)} was due: the point was not reached")
    verdict = verify(store.records.export("job"))
    if not verdict.intact or verdict.erased:
        faults.append(verdict.words)
    return faults


def run(folder: Path, offer: str, point: str, chance: random.Random) -> bool:
    """Sign in a process of its own that is killed at the point; whether it had confirmed by then."""
    hears, tells = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        sign(folder, offer, point, tells)
    os.close(tells)
    if point == "any":
        time.sleep(chance.uniform(0, LONGEST_S))
        os.kill(child, signal.SIGKILL)
    _pid, status = os.waitpid(child, 0)
    with os.fdopen(hears, "rb") as heard:
        said = heard.read() == b"confirmed"
    if os.WTERMSIG(status) != signal.SIGKILL:
        raise SystemExit(f"the signing process ended by itself at {point}: {status}")
    return said


def sign(folder: Path, offer: str, point: str, tells: int) -> NoReturn:
    """The process that dies."""
    try:
        store = open_store(folder, None, utc_now)
        if point in HOOKS:
            event.listen(Session, HOOKS[point], die)
        client = conceal("B. Client (invented)")
        store.records.append(
            "job",
            stage="signature",
            at=moment(utc_now()),
            sections={"client": {"personal": client.reference}},
            personal=(client,),
            offer_id=offer,
        )
        os.write(tells, b"confirmed")
        if point == "any":
            time.sleep(60)
        die()
    finally:
        os._exit(3)


def die(*_args: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


if __name__ == "__main__":
    sys.exit(main())
