"""Finishes by command: how they differ, when they are dry, and how sure their colours are."""

import json
from pathlib import Path
from typing import Any

import pytest

from viewer.cli import invoke
from viewer.demo import JOB_FILE

WALL = {
    "name": "n",
    "wall": {"width_mm": 2000, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
}


def answer(capsys: pytest.CaptureFixture[str], *order: str) -> dict[str, Any]:
    assert invoke([*order]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


@pytest.fixture
def dyed(tmp_path: Path) -> Path:
    """A tone from pigment and the like tone from a dye, under a lamp that agrees and one that does not."""
    lamp = {
        "name": "l",
        "centre_mm": [1000, 2390, 1500],
        "size_mm": [600, 600],
        "faces": "down",
        "lumens": 3000,
    }
    job = {
        **WALL,
        "finishes": [
            {"name": "pigment", "timber": "Scots pine", "stain": "walnut", "topcoat": "oil"},
            {"name": "dye", "timber": "Scots pine", "stain": "walnut dye", "topcoat": "oil"},
        ],
        "lightings": [
            {"name": "evening", "lamps": [{**lamp, "spectrum": "LED-B1"}]},
            {"name": "day", "lamps": [{**lamp, "spectrum": "D65"}]},
        ],
    }
    path = tmp_path / "job.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    return path


def test_a_pair_that_parts_under_another_lamp_is_told(dyed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (pair,) = answer(capsys, "differences", str(dyed))["pairs"]
    assert pair["alike"] == {"evening": True, "day": False}
    assert pair["parts_under_another_lamp"]
    assert pair["sentence"].startswith("pigment and dye look alike under evening but not under day")
    assert any("different colorants" in warning for warning in pair["warnings"])
    assert pair["difference"]["evening"] < 1 < pair["difference"]["day"]


def test_daylight_is_added_where_a_job_knows_lamps_only(
    dyed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = json.loads(dyed.read_text(encoding="utf-8"))
    del job["lightings"][1]
    dyed.write_text(json.dumps(job), encoding="utf-8")
    (pair,) = answer(capsys, "differences", str(dyed))["pairs"]
    assert pair["alike"] == {"evening": True, "daylight": False}


def test_the_schedule_runs_in_the_zone_that_is_given(capsys: pytest.CaptureFixture[str]) -> None:
    order = ["schedule", str(JOB_FILE), "--start", "2026-12-21", "--zone", "Europe/Berlin"]
    found = answer(capsys, *order)
    assert found["fit_on"] == "2026-12-28"
    first = found["steps"][0]
    assert first["starts"] == "2026-12-21T08:00+01:00"
    assert answer(capsys, *order, "--weekends")["fit_on"] == "2026-12-28"
    for wrong, said in (
        (["--start", "2026-12-32"], '--start: "2026-12-32" is no date'),
        (["--zone", "Europe/Berlim"], "--zone: 'Europe/Berlim' is not a known time zone"),
    ):
        assert invoke([*order, *wrong]) == 2
        assert said in capsys.readouterr().err


def test_every_colour_of_the_finish_carries_its_uncertainty(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "appearance", str(JOB_FILE))
    assert found["uncertainty_de_under"].keys() == {"day", "evening"}
    for word, surface in found["surfaces"].items():
        # the room's reflectances are the job's own
        assert (surface["uncertainty_de"] > 0) != word.startswith("room_"), word
