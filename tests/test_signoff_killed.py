"""Killed while signing: every confirmed signature is there, and no half of one."""

import json
import subprocess
import sys
from pathlib import Path

from kill_signing import FAILPOINTS, KEPT_AFTER, look

from viewer.clock import utc_now
from viewer.store.opening import open_store


def test_killed_twice_at_each_of_six_points_and_at_any_moment(checkout: Path) -> None:
    # a process of its own, for it forks; `python tests/kill_signing.py` kills 200 times
    run = [sys.executable, str(checkout / "tests" / "kill_signing.py"), "12"]
    done = subprocess.run(run, capture_output=True, text=True, check=False, cwd=checkout)
    assert done.returncode == 0, done.stdout + done.stderr
    report = json.loads(done.stdout)
    assert report["faults"] == []
    assert report["kills"] == {**dict.fromkeys(FAILPOINTS, 2), "any": 3}
    kept = {point: 2 if point in KEPT_AFTER else 0 for point in FAILPOINTS}
    assert {point: report["kept"][point] for point in FAILPOINTS} == kept
    assert report["confirmed"]["confirmed"] == 2


def test_a_half_record_would_be_found(tmp_path: Path) -> None:
    store = open_store(tmp_path, None, utc_now)
    store.jobs.keep_as("job", {"name": "Wall (invented)"})
    offer = store.offers.add("job", {}, expires_at="2099-01-01T00:00:00Z").id
    assert look(store, offer, new=0, said=False, point="any") == []
    assert look(store, offer, new=0, said=True, point="any") == ["a confirmed signature is lost"]
    # an entry without the offer's mark and without its personal value
    store.records.append("job", stage="signature", at="2026-11-25T03:00:00Z", sections={})
    assert look(store, offer, new=1, said=True, point="any") == ["half a record: 1 entries, marked False"]
    store.close()
