"""Take-off, appearance and GLB as commands, against numbers worked out outside the program."""

import json
from pathlib import Path
from typing import Any

import pytest
import trimesh

from viewer.cli import invoke
from viewer.demo import JOB_FILE, PRICES_FILE

SMALL = {
    "name": "Invented alcove",
    "wall": {"width_mm": 1014, "height_mm": 2000},
    "slats": {"width_mm": 50, "depth_mm": 20, "gap_mm": 10},
    "finish": {"coats": 1, "backs": "bare"},
}


def answer_of(capfdbinary: pytest.CaptureFixture[bytes], *arguments: str | Path) -> Any:
    assert invoke([str(argument) for argument in arguments]) == 0
    return json.loads(capfdbinary.readouterr().out)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "small.json"
    path.write_text(json.dumps(SMALL), encoding="utf-8")
    return path


def test_take_off_of_a_wall_worked_by_hand(small: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    answer = answer_of(capfdbinary, "take-off", small)
    # by hand: 17 slats of 50 and 16 gaps of 10.25 fill 1014; 17 * 0.05 * 2 = 1.7 m2 of fronts,
    # 17 * 2 * 0.02 * 2 = 1.36 m2 of sides, 17 * 2 * 0.05 * 0.02 = 0.034 m2 of ends
    areas = answer["areas_m2"]
    assert (areas["slat_front"], areas["slat_side"], areas["slat_end"]) == (1.7, 1.36, 0.034)
    # Wood Handbook FPL-GTR-190, ch. 16: 4.9 to 9.8 m2/l on smooth wood, 2.4 to 4.9 on saw-textured
    stain = answer["stain"]
    least, most = 1.7 / 9.8 + 1.394 / 4.9, 1.7 / 4.9 + 1.394 / 2.4
    assert least < stain["litres"] < most / (1 - 0.15)
    bought_ml = sum(tin["size_ml"] * tin["count"] for tin in stain["tins"])
    assert bought_ml >= 1000 * stain["to_buy_litres"] >= 1000 * stain["litres"]
    assert answer["fabric"]["metres"] > 2
    assert answer["sheets"]["count"] >= 1


def test_without_a_price_list_everything_bought_is_named_as_missing(
    small: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    price = answer_of(capfdbinary, "take-off", small)["price"]
    assert price["total"] is None
    assert any("stain" in name for name in price["missing"])


def test_a_price_list_gives_a_sum_and_a_missing_price_leaves_none(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    full = answer_of(capfdbinary, "take-off", JOB_FILE, "--prices", PRICES_FILE)["price"]
    assert full["missing"] == []
    lines = sum(round(100 * line["cost"]) for line in full["lines"])
    # the list states 20 % tax on the sum, rounded to a cent, halves up
    assert round(100 * full["total"]) == lines + (lines * 20 + 50) // 100
    text = PRICES_FILE.read_text(encoding="utf-8")
    short = tmp_path / "short.toml"
    short.write_text("".join(text.partition("[[price]]")[:1]), encoding="utf-8")
    part = answer_of(capfdbinary, "take-off", JOB_FILE, "--prices", short)["price"]
    assert part["total"] is None
    assert len(part["missing"]) == len(part["lines"]) > 5


def test_a_bad_price_list_is_named_by_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text(
        'currency,EUR\nitem,of,per,pack,length_mm,price\nstain,walnut,l,1,,"12,5o"\n', encoding="utf-8"
    )
    assert invoke(["take-off", str(JOB_FILE), "--prices", str(bad)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "line 3" in err
    assert "12,5o" in err


def test_another_candidate_takes_other_amounts(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    one = answer_of(capfdbinary, "take-off", JOB_FILE)
    two = answer_of(capfdbinary, "take-off", JOB_FILE, "--finish", "Limed oak")
    assert (one["finish"], two["finish"]) == ("Walnut on ash", "Limed oak")
    assert (one["stain"]["coats"], two["stain"]["coats"]) == (1, 2)
    assert two["stain"]["litres"] > one["stain"]["litres"]


def test_appearance_has_a_spectrum_and_its_colour_for_every_visible_surface(
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    answer = answer_of(capfdbinary, "appearance", JOB_FILE)
    assert {"slat_front", "slat_side", "slat_end", "fabric", "plate", "room_walls"} <= set(answer["surfaces"])
    for word, surface in answer["surfaces"].items():
        assert len(surface["reflectance"]) == 41, word
        assert all(0 < value < 1 for value in surface["reflectance"]), word
        assert set(surface["srgb"]) == {"day", "evening"}
        assert all(0 <= value <= 1 for rgb in surface["srgb"].values() for value in rgb)
    # a grey of 60 % stays grey under every lamp: L* = 116 * 0.6 ** (1/3) - 16 = 81.84 (CIE 15)
    wall = answer["surfaces"]["room_walls"]
    assert wall["lab_d65"] == pytest.approx([81.84, 0, 0], abs=0.005)
    for rgb in wall["srgb"].values():
        # the spectrum is summed on a 10 nm grid, which leaves a grey this near to grey
        assert max(rgb) - min(rgb) < 2e-3


def test_the_glb_is_the_wall_in_metres(tmp_path: Path) -> None:
    out = tmp_path / "wall.glb"
    assert invoke(["glb", str(JOB_FILE), "-o", str(out)]) == 0
    scene = trimesh.load_scene(out)
    slats = [name for name in scene.geometry if name.startswith("slat/")]
    # two sockets cut through slats: 72 slats, and one more piece for every slat that is cut
    assert len({name for name in slats}) == 72
    front = scene.geometry["slat/0"].bounds
    # by hand: the first slat stands from 12 to 56 mm, 33 mm out, from the skirting's 120 to 2550
    assert front[1] == pytest.approx([0.056, 2.550, 0.033], abs=1e-6)


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["glb", "JOB", "-o", "no/such/folder/wall.glb"], "--output: no/such/folder: no such folder"),
        (
            ["take-off", "JOB", "--finish", "Walnut on oak"],
            '--finish: the job has no finish "Walnut on oak"; ',
        ),
        (["still", "JOB", "-o", "a.tif"], "--output: a.tif: expected a name that ends in one of .png, "),
        (
            ["still", "JOB", "-o", "a.png", "--size", "big"],
            "--size: 'big' is no size; expected WxH in pixels",
        ),
        (
            ["still", "JOB", "-o", "a.png", "--size", "8x40000"],
            "--size width: 8 is outside the accepted 16 to",
        ),
        (
            ["still", "JOB", "-o", "a.png", "--size", "8000x8000"],
            "--size: 8000 × 8000 is more than the accep",
        ),
        (["still", "JOB", "-o", "a.png", "--lighting", "evenig"], "--lighting: the job has no lighting "),
        (
            ["still", "JOB", "-o", "a.png", "--view", "behind"],
            "--view: 'behind' is not one of front, seated,",
        ),
        (
            ["still", "JOB", "-o", "a.png", "--view", "{}"],
            "--view.world_from_camera: expected four rows of four",
        ),
        (["still", "JOB", "-o", "a.png", "--view", "x.json"], "--view: x.json cannot be read: "),
        (["board", "JOB", "-o", "a.npy"], "--output: a.npy: expected a name that ends in one of .png, .jpg"),
    ],
)
def test_arguments_that_cannot_be_used_are_named_and_leave_no_file(
    arguments: list[str],
    line: str,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert invoke([str(JOB_FILE) if word == "JOB" else word for word in arguments]) in (1, 2)
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(line)
    assert list(tmp_path.iterdir()) == []
