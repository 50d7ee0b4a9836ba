"""The walls of a job are set out once for one job, and never for another that only equals it."""

import json

import pytest

from meshes.layout.walls import set_out_walls
from viewer.demo import demo_bytes
from viewer.job import set_outs
from viewer.job.check import check_job
from viewer.job.model import Job
from viewer.job.set_outs import set_outs_of


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    asked: list[object] = []

    def noted(**given: object) -> object:
        asked.append(given["wall"])
        return set_out_walls(**given)  # type: ignore[arg-type]

    monkeypatch.setattr(set_outs, "set_out_walls", noted)
    return asked


def checked(width: object) -> Job:
    document = json.loads(demo_bytes())
    document["wall"]["width_mm"] = width
    found = check_job(document)
    assert found.job is not None, found.problems
    return found.job


def test_check_and_answers_of_one_job_share_its_set_outs(counted: list[object]) -> None:
    job = checked(3600)
    (made,) = set_outs_of(job)
    assert set_outs_of(job)[0] is made
    assert len(counted) == 1


def test_an_equal_job_and_a_changed_one_are_set_out_for_themselves(counted: list[object]) -> None:
    one, other = checked(3600), checked(3600)
    assert one == other
    assert set_outs_of(one) is not set_outs_of(other)
    wider = one.model_copy(update={"wall": checked(3700).wall})
    assert set_outs_of(wider)[0].wall_width == 3700
    assert set_outs_of(one)[0].wall_width == 3600
    assert len(counted) == 4  # one of them the check of what the wider wall was taken from
