"""Pictures of a job: what a finish changes and what it does not, files, exposure, adaptation."""

import io
import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from threading import Barrier
from typing import Any

import numpy as np
import pytest
from PIL import Image

from finishes.adaptation import EVENING_FEEL, FULL, encode_srgb
from meshes.light.store import LightStore
from viewer import picture
from viewer.board import board_image, board_problems
from viewer.catalogue import catalogue_of
from viewer.cli import invoke
from viewer.exposure import CARD_SHOWN, Exposure, display_srgb, scene_linear
from viewer.frame import Frame
from viewer.job.check import check_job
from viewer.job.choices import candidates, lightings
from viewer.picture import Studio
from viewer.still_file import still_image

JOB = {
    "name": "Invented niche",
    "wall": {"width_mm": 900, "height_mm": 1200},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 20},
    "room": {"depth_mm": 1500},
    "finishes": [
        {"name": "pale", "stain": "limed white"},
        {"name": "dark", "stain": "charcoal", "coats": 2},
    ],
}
FRAME = Frame(view="front", width=96, height=128)

pytestmark = pytest.mark.gl


@pytest.fixture(scope="module")
def studio() -> Studio:
    result = check_job(JOB)
    assert result.job is not None, result.problems
    return Studio(result.job, catalogue_of(()))


def test_a_job_without_a_word_about_light_has_a_day_and_an_evening(studio: Studio) -> None:
    assert [lighting.name for lighting in lightings(studio.job)] == ["day", "evening"]


def test_threads_that_ask_at_once_share_one_wall_one_raster_and_one_light(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # the server answers six requests at a time
    result = check_job(JOB)
    assert result.job is not None
    own = Studio(result.job, catalogue_of(()))
    made: list[str] = []

    def counted(name: str) -> Callable[..., Any]:
        really = getattr(picture, name)

        def make(*given: Any, **named: Any) -> Any:
            made.append(name)
            return really(*given, **named)

        return make

    for name in ("build", "raster", "solve_lighting"):
        monkeypatch.setattr(picture, name, counted(name))
    (day, _evening), (pale, dark) = lightings(own.job), candidates(own.job)
    together = Barrier(6)

    def ask(number: int) -> np.ndarray:
        together.wait()
        return own.xyz(FRAME, day, (pale, dark)[number % 2])

    with ThreadPoolExecutor(6) as threads:
        pictures = list(threads.map(ask, range(6)))
    assert sorted(made) == ["build", "raster", "solve_lighting"]
    for number in range(2, 6):
        assert np.array_equal(pictures[number], pictures[number % 2])


def test_another_finish_needs_neither_raster_nor_light(
    studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    (day, _), (pale, dark) = lightings(studio.job), candidates(studio.job)
    first = studio.xyz(FRAME, day, pale)

    def not_again(*_: object, **__: object) -> None:
        raise AssertionError("geometry or light was made again for a finish")

    monkeypatch.setattr("viewer.picture.raster", not_again)
    monkeypatch.setattr("viewer.picture.solve_lighting", not_again)
    second = studio.xyz(FRAME, day, dark)
    assert second[..., 1].mean() < 0.8 * first[..., 1].mean()


def test_a_folder_of_light_gives_the_same_picture_without_raster_or_light(
    studio: Studio, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two studios in turn, as before and after a restart; colours are of no matter to what is kept."""
    (day, evening), (pale, dark) = lightings(studio.job), candidates(studio.job)
    store = LightStore(folder=tmp_path)
    first = Studio(studio.job, studio.catalogue, store=store).xyz(FRAME, day, pale)
    steps: list[str] = []
    after = Studio(studio.job, studio.catalogue, steps.append, store=store)
    assert np.array_equal(after.xyz(FRAME, day, pale), first)
    assert "raster" not in steps
    assert np.array_equal(first, studio.xyz(FRAME, day, pale))
    known = set(tmp_path.iterdir())
    coloured = dark.model_copy(update={"timber": pale.timber, "topcoat": pale.topcoat})
    after.xyz(FRAME, day, coloured)
    assert set(tmp_path.iterdir()) == known
    after.xyz(replace(FRAME, width=80), day, pale)
    after.xyz(FRAME, evening, pale)
    assert len(set(tmp_path.iterdir()) - known) == 3  # two sets of layers, one more light


def test_a_large_picture_is_made_in_bands_and_is_the_same(
    studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    (day, _), (pale, _) = lightings(studio.job), candidates(studio.job)
    whole = studio.xyz(FRAME, day, pale)
    monkeypatch.setattr("viewer.picture.LARGEST_KEPT", 1000)
    monkeypatch.setattr("meshes.stills.raster._IDS_AT_ONCE", 40 * 96 * 16)
    again = studio.xyz(FRAME, day, pale)
    # tables of gloss have their lines elsewhere in every band
    assert again == pytest.approx(whole, rel=0.01, abs=0.05)
    assert np.abs(again - whole).mean() < 1e-3 * whole.mean()
    shown = studio.shown(FRAME, day, pale, studio.exposure(day))
    assert shown.shape == (128, 96, 3)
    assert len(shown.reshape(-1, 3)[(shown == 0).all(axis=2).ravel()]) == 0


def test_a_white_card_at_the_walls_middle_is_shown_as_stated() -> None:
    white = np.array([1.0856, 1.0, 0.4063])  # LED-B2, check value of CIE 15:2018 as bundled
    exposure = Exposure(white_cd_m2=200.0, white_xyz=white)
    card = np.broadcast_to((white * 200.0 * CARD_SHOWN).astype(np.float32), (1, 1, 3))
    expected = round(255 * float(encode_srgb(np.array(CARD_SHOWN))))
    assert display_srgb(card, exposure).tolist() == [[[expected] * 3]]
    assert expected < 255


def test_the_evening_feel_leaves_the_light_warm_and_says_so(studio: Studio) -> None:
    (_, evening), (pale, _) = lightings(studio.job), candidates(studio.job)
    (full, plain), (feel, line) = (
        still_image(studio, FRAME, evening, pale, label="A", degree=degree) for degree in (FULL, EVENING_FEEL)
    )
    # what blue lacks against red grows by about the lamp's own share of it: CAT16, D = 0.85, LED-B3
    red_to_blue = [np.asarray(one, float).mean(axis=(0, 1)) for one in (full, feel)]
    neutral, warm = (mean[0] / mean[2] for mean in red_to_blue)
    assert 1.03 < warm / neutral < 1.15
    sentence = "Evening feel, to look at and not to choose by: adapted to the light by 85% only."
    assert sentence in line.words()
    assert sentence not in plain.words()


def test_scene_linear_keeps_luminance_and_clips_nothing() -> None:
    # IEC 61966-2-1: Y = 0.2126 R + 0.7152 G + 0.0722 B of linear sRGB
    xyz = np.array([[[400.0, 300.0, 10.0], [0.1, 0.2, 0.9]]], dtype=np.float32)
    rgb = scene_linear(xyz)
    assert rgb.dtype == np.float32
    assert rgb @ [0.2126, 0.7152, 0.0722] == pytest.approx(xyz[..., 1], rel=1e-3)
    assert rgb.min() < 0
    assert rgb.max() > 100


def test_the_eight_bit_curve_is_that_of_srgb_to_half_a_code() -> None:
    linear = np.linspace(0, 1.2, 4001, dtype=np.float32)
    # XYZ of D65 white scaled: no adaptation is at work, so linear comes out as it went in
    xyz = (linear[:, None] * [0.95045593, 1.0, 1.08905775]).astype(np.float32)[None]
    exposure = Exposure(white_cd_m2=1.0, white_xyz=np.array([0.95045593, 1.0, 1.08905775]))
    shown = display_srgb(xyz, exposure)[0].astype(float)
    exact = 255 * encode_srgb(linear.astype(np.float64))
    # half a code of rounding, and 12.92 * 255 / 65535 / 2 from the table's steps where the curve is steepest
    assert np.abs(shown - exact[:, None]).max() <= 0.5 + 0.026 + 1e-3


def test_the_board_is_one_raster_and_one_solve_a_lighting(monkeypatch: pytest.MonkeyPatch) -> None:
    from viewer import picture

    made = {"raster": 0, "solve_lighting": 0}
    for name in made:
        work = getattr(picture, name)

        def counted(*given: object, work: object = work, name: str = name) -> object:
            made[name] += 1
            return work(*given)  # type: ignore[operator]

        monkeypatch.setattr(picture, name, counted)
    result = check_job(JOB)
    assert result.job is not None
    image, words = board_image(Studio(result.job, catalogue_of(())), result.job, FRAME)
    assert made == {"raster": 1, "solve_lighting": 2}
    assert image.width > 2 * FRAME.width
    assert image.height > 2 * FRAME.height
    assert "off-cut" in words


def test_a_board_that_no_memory_holds_is_refused() -> None:
    job = check_job({**JOB, "finishes": [{"name": str(number)} for number in range(12)]}).job
    assert job is not None
    # 24 pictures: 120 megapixels leave 5 for each
    assert board_problems(job, Frame(view="front", width=2500, height=2000)) == []
    assert board_problems(job, Frame(view="front", width=4000, height=4000)) == [
        (
            "size",
            "4000 × 4000 for each of 24 pictures is too much; expected at most 5.0 megapixels each",
        )
    ]


def test_still_files(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text(json.dumps(JOB), encoding="utf-8")
    sizes = ("--size", "400x300", "--lighting", "day", "--finish", "dark")
    for name in ("a.png", "a.jpg", "a.npy"):
        assert invoke(["still", str(job), "-o", str(tmp_path / name), "--view", "close", *sizes]) == 0
    with Image.open(tmp_path / "a.png") as png:
        assert (png.size, png.mode) == ((400, 300), "RGB")
        words = png.text["Description"]  # type: ignore[attr-defined]
        assert words.startswith("dark · day · ")
        assert "off-cut" in words
    with Image.open(io.BytesIO((tmp_path / "a.jpg").read_bytes())) as jpg:
        assert jpg.size == (400, 300)
    pixels = np.load(tmp_path / "a.npy")
    assert (pixels.shape, pixels.dtype) == ((300, 400, 3), np.float32)
    camera = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert (camera["width"], camera["height"]) == (400, 300)
    turn = np.array(camera["world_from_camera"])[:3, :3]
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-9)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "a.jpg",
        "a.json",
        "a.npy",
        "a.png",
        "job.json",
    ]


def test_marks_are_named_in_the_picture_and_things_stand_in_it(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    zone = {"kind": "hidden", "left_mm": 100, "bottom_mm": 0, "width_mm": 500, "height_mm": 500}
    end = {"meets": "wall", "shadow_gap_mm": 20}
    wall = {**JOB["wall"], "left": end}  # type: ignore[dict-item]
    job.write_text(json.dumps({**JOB, "wall": wall, "zones": [zone]}), encoding="utf-8")
    sizes = ("--size", "400x400", "--lighting", "evening", "--finish", "dark")
    shown = {}
    for name, more in (
        ("bare", ()),
        ("full", ("--with", "furniture", "--with", "card")),
        ("marked", ("--marked",)),
    ):
        out = tmp_path / f"{name}.png"
        assert invoke(["still", str(job), "-o", str(out), *sizes, *more]) == 0
        with Image.open(out) as image:
            shown[name] = image.text["Description"], np.asarray(image.convert("L"), float)  # type: ignore[attr-defined]
    assert "Marked: shadow gap, 20 mm" in shown["marked"][0]
    assert "Marked" not in shown["bare"][0]
    # a charcoal wall: the white card at its middle is by far the brightest thing there
    middle = (slice(185, 215), slice(185, 215))
    assert shown["full"][1][middle].max() > 200 > 120 > shown["bare"][1][middle].max()


def test_a_lamp_near_the_slats_is_said_and_steps_are_offered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """300 mm and 0.3 mm are common practice."""
    job = tmp_path / "job.json"
    strip = {
        "name": "strip",
        "centre_mm": [450, 1195, 190],
        "size_mm": [800, 40],
        "faces": "down",
        "lumens": 900,
    }
    job.write_text(json.dumps({**JOB, "lightings": [{"name": "wash", "lamps": [strip]}]}), encoding="utf-8")
    pictures = []
    for more in ((), ("--with", "steps")):
        out = tmp_path / "a.png"
        size = ("--size", "330x330", "--view", "close")
        assert invoke(["still", str(job), "-o", str(out), *size, *more]) == 0
        said = capsys.readouterr().err
        assert said.startswith(
            "Strip lies 139 mm from the face of the slats: raking light shows steps above 0.3"
        )
        assert ("--with steps" in said) == (not more)
        with Image.open(out) as image:
            words = image.text["Description"]  # type: ignore[attr-defined]
            pictures.append(np.asarray(image.convert("L"), float)[:250])
        assert "raking light" in words
        assert ("up to 0.3 mm before or behind" in words) == bool(more)
    assert np.abs(pictures[0] - pictures[1]).max() > 4
