"""Formats of the job file: every past one has a data file and reads; a newer one is refused by name."""

import json
from pathlib import Path

import pytest

from viewer.job.check import check_job
from viewer.job.versions import CURRENT, UPGRADES, upgraded

DATA = Path(__file__).parent / "data"
NO_NAMES: dict[str, tuple[str, ...]] = {kind: () for kind in ("timber", "stain", "topcoat", "fabric")} | {
    "lamp": ("D65",)
}


@pytest.mark.parametrize("number", range(1, CURRENT + 1))
def test_a_file_of_every_format_reads(number: int) -> None:
    job = json.loads((DATA / f"job-format-{number}.json").read_text(encoding="utf-8"))
    assert job["format"] == number
    result = check_job(job, names=NO_NAMES)
    assert result.problems == ()
    assert result.document["format"] == CURRENT


def test_every_past_format_has_its_upgrade() -> None:
    assert set(UPGRADES) == set(range(1, CURRENT))


def test_upgrades_run_in_order_and_leave_the_job_given_alone() -> None:
    steps = {
        1: lambda job: {**job, "trail": [*job.get("trail", []), 1]},
        2: lambda job: {**job, "trail": [*job["trail"], 2]},
    }
    given = {"format": 1}
    job, problem = upgraded(given, upgrades=steps, current=3)
    assert (job, problem) == ({"format": 3, "trail": [1, 2]}, None)
    assert given == {"format": 1}


def test_a_newer_format_is_refused_by_name_and_nothing_else_is_said() -> None:
    result = check_job({"format": CURRENT + 1, "wall": {"measured_by": "laser"}}, names=NO_NAMES)
    ((path, message),) = result.problems
    assert path == "format"
    assert message.startswith(f"format {CURRENT + 1} is newer than the formats 1 to {CURRENT}")


@pytest.mark.parametrize("bad", [0, -1, 1.5, "1", True, None, []])
def test_a_format_that_is_no_number_is_a_problem(bad: object) -> None:
    result = check_job({"format": bad}, names=NO_NAMES)
    assert result.problems == (("format", f"expected a whole number from 1 to {CURRENT}"),)
