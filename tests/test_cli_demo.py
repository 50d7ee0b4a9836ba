"""What ``demo`` leaves: the pack of the built-in job, and pictures of it."""

import json
from pathlib import Path

import pytest
import trimesh
from PIL import Image

from viewer.cli import invoke


@pytest.mark.gl
def test_demo_leaves_stills_glb_set_out_and_take_off(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert invoke(["demo", "-o", str(out), "--size", "480x270"]) == 0
    pictures = sorted(path.name for path in (out / "pictures").iterdir())
    assert pictures == [
        "board.jpg",
        *(f"{light}-{view}.jpg" for light in ("day", "evening") for view in ("close", "front", "seated")),
    ]
    for name in pictures[1:]:
        with Image.open(out / "pictures" / name) as image:
            assert image.size == (480, 270)
    set_out = json.loads((out / "data/set-out.json").read_text(encoding="utf-8"))
    assert (set_out["slat_count"], set_out["gap_exact"]) == (72, "1008/71")
    take_off = json.loads((out / "data/take-off.json").read_text(encoding="utf-8"))
    assert take_off["price"]["missing"] == []
    assert take_off["price"]["total"] > 0
    scene = trimesh.load_scene(out / "data/wall.glb")
    assert sum(name.startswith("slat/") for name in scene.geometry) == 72


def test_a_size_that_cannot_be_made_leaves_no_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert invoke(["demo", "-o", str(tmp_path / "out"), "--size", "9x9"]) == 2
    assert capsys.readouterr().err.startswith("--size width: 9 is outside the accepted 16 to 8192 pixels")
    assert not (tmp_path / "out").exists()
