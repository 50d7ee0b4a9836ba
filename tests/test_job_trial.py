"""What shows only when a job that checks is set out."""

from typing import Any

import pytest

from viewer.job.check import check_job

NAMES: dict[str, tuple[str, ...]] = {kind: () for kind in ("timber", "stain", "topcoat", "fabric", "lamp")}
JOB: dict[str, Any] = {
    "name": "Invented corner",
    "wall": {"width_mm": 2000, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 20, "gap_mm": 15},
}


def walls(*turns: str, width_mm: int = 1200) -> dict[str, Any]:
    """The job with walls of one width that turn at every corner."""
    ends = [f"{turn}_corner" for turn in turns] + ["open"]
    following = [
        {
            "turns": turn,
            "wall": {
                "width_mm": width_mm,
                "height_mm": 2400,
                "left": {"meets": ends[number]},
                "right": {"meets": ends[number + 1]},
            },
        }
        for number, turn in enumerate(turns)
    ]
    return {**JOB, "wall": {**JOB["wall"], "right": {"meets": ends[0]}}, "next_walls": following}


@pytest.mark.parametrize(
    "turns", [("inside",), ("outside",), ("inside", "inside"), ("inside", "outside"), ("outside", "inside")]
)
def test_walls_round_ordinary_corners_stand_in_one_room(turns: tuple[str, ...]) -> None:
    assert check_job(walls(*turns), names=NAMES).problems == ()


@pytest.mark.parametrize("turns", [("inside",) * 3, ("outside",) * 2, ("inside",) * 4])
def test_corners_that_close_no_room_are_refused(turns: tuple[str, ...]) -> None:
    ((path, message),) = check_job(walls(*turns), names=NAMES).problems
    assert path == "next_walls"
    assert "at most two more inside than outside corners" in message


def test_walls_that_cross_each_other_are_refused() -> None:
    job = walls("inside", "inside", "outside", width_mm=6000)
    assert check_job(job, names=NAMES).problems == (
        ("next_walls", "these walls meet or cross each other; expected walls that stand round one room"),
    )
