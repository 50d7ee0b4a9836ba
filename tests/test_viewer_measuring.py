"""Photographs of an off-cut become the colour of a finish: read in a process apart, kept in a job."""

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from looks import daylight
from measured_jobs import AN_OFF_CUT
from photographs import CARD, CHART, OFF_CUT, SIZE, jpeg, png, png_16, scene, tiff_16

from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.choice import Finish, OffCut
from finishes.difference import ciede2000
from finishes.measured import entry_toml
from finishes.photo import Corners, read_photo
from viewer import create_app
from viewer.cli import invoke
from viewer.job.check import check_job
from viewer.measuring import (
    Measurement,
    MeasuringError,
    PhotoGiven,
    corners_of,
    measure,
    preview,
    with_off_cut,
)
from viewer.off_cut_worker import read_preview
from viewer.pages.tried_finish import asked
from viewer.settings import load
from viewer.uploads import UploadError

FINISH = Finish(timber="Scots pine", stain="honey", coats=2, topcoat="oil")
JOB = {
    "name": "n",
    "wall": {"width_mm": 2000, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
    "finish": {"timber": "Scots pine", "stain": "honey", "coats": 2, "topcoat": "oil"},
    "_note": "kept",
}


def shares(corners: Corners) -> Corners:
    first, second, third, fourth = ((x / SIZE[0], y / SIZE[1]) for x, y in corners)
    return first, second, third, fourth


def text(corners: Corners) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in corners)


@pytest.fixture(scope="module")
def stained(catalogue: Catalogue) -> np.ndarray:
    """The picture of an off-cut that came out a tenth darker than the model has it."""
    return scene(appearance(FINISH, catalogue).seen() * 0.9)


def measured_from(data: bytes, catalogue: Catalogue, **changed: object) -> Measurement:
    given = {"off_cut": shares(OFF_CUT), "chart": shares(CHART), **changed}
    return measure(
        [PhotoGiven(data=data, **given)],  # type: ignore[arg-type]
        FINISH,
        catalogue,
        name="3",
        date="2026-11-20",
        lamp="4000 K LED, CRI 80",
        separately=False,
    )


def test_a_photograph_from_the_web_is_read_in_a_process_of_its_own(
    catalogue: Catalogue, stained: np.ndarray
) -> None:
    here = measured_from(png_16(stained), catalogue)
    there = measure(
        [PhotoGiven(data=png_16(stained), off_cut=shares(OFF_CUT), chart=shares(CHART))],
        FINISH,
        catalogue,
        name="3",
        date="2026-11-20",
        lamp="4000 K LED, CRI 80",
    )
    assert there.off_cut == here.off_cut
    assert appearance(there.finish, catalogue).state == "Measured"
    assert here.moved_de > 1.5
    truth = daylight(appearance(FINISH, catalogue).seen() * 0.9)
    assert ciede2000(here.lab_d65, truth) < 2.5 * here.off_cut.uncertainty_de
    assert here.sentences[0] == f"Measured, give or take {here.off_cut.uncertainty_de:.0f}."


def test_a_grey_card_is_called_rough(catalogue: Catalogue, stained: np.ndarray) -> None:
    rough = measured_from(jpeg(stained), catalogue, chart=None, card=shares(CARD))
    assert rough.off_cut.rough
    assert "A grey card alone is rough" in rough.sentences[-1]


def test_every_problem_is_named_at_once(catalogue: Catalogue, stained: np.ndarray) -> None:
    photos = [
        PhotoGiven(data=b"GIF89a", off_cut=shares(OFF_CUT), chart=shares(CHART)),
        PhotoGiven(data=png(scene(np.full(41, 1.4))), off_cut=shares(OFF_CUT), chart=shares(OFF_CUT)),
        PhotoGiven(
            data=png(stained),
            off_cut=((0, 0), (1, 1), (1, 0), (0, 1)),
            chart=((0, 0), (2, 0), (2, 1), (0, 1)),
        ),
        PhotoGiven(data=png(stained), off_cut=shares(OFF_CUT)),
        PhotoGiven(data=png(stained), off_cut=shares(OFF_CUT), chart=shares(CHART), vintage="old"),
        PhotoGiven(data=png(stained), off_cut=shares(OFF_CUT), card=shares(CARD), card_y=2),
    ]
    with pytest.raises(MeasuringError) as refused:
        measure(photos, FINISH, catalogue, name="", date="2026-02-30", lamp="", separately=False)
    found = dict(refused.value.problems)
    assert set(found) == {
        *("name", "date", "lamp", "photo[0]", "photo[1].off_cut", "photo[1].chart", "photo[2].off_cut"),
        *("photo[2].chart", "photo[3].chart", "photo[4].vintage", "photo[5].card_y"),
    }
    assert found["photo[1].off_cut"].startswith("Clipped in the off-cut")
    assert found["photo[1].chart"].startswith("Clipped in ")
    assert found["photo[2].chart"] == "a corner lies outside the photograph of 350 × 300 pixels"
    assert "do not go round an area" in found["photo[2].off_cut"]
    with pytest.raises(MeasuringError, match="expected 1 to 12 photographs"):
        measure([], FINISH, catalogue, name="3", date="2026-11-20", lamp="l", separately=False)


def test_the_off_cut_is_kept_in_a_copy_of_the_job(catalogue: Catalogue, stained: np.ndarray) -> None:
    off_cut = measured_from(png(stained), catalogue).off_cut
    changed = with_off_cut(JOB, "finish", off_cut)
    assert "off_cut" not in JOB["finish"]
    assert changed["_note"] == "kept"
    job = check_job(changed).job
    assert job is not None
    assert job.finish.off_cut == off_cut
    assert with_off_cut(changed, "finish", None) == JOB
    listed = with_off_cut({"finishes": [{"sample": "1"}, {}]}, "finishes[0]", off_cut)
    assert listed["finishes"][0] == {"off_cut": off_cut.model_dump(mode="json")}
    for place in ("finishes[2]", "finish.name", "wall"):
        with pytest.raises(KeyError):
            with_off_cut({"finishes": [{}]}, place, off_cut)


@pytest.mark.parametrize("encode", [jpeg, png_16, tiff_16])
def test_what_is_kept_of_a_photograph_is_upright(encode: Callable[..., bytes], stained: np.ndarray) -> None:
    as_held, turned = (read_preview(encode(stained, orientation=way)) for way in (1, 6))
    assert isinstance(as_held, bytes)
    assert isinstance(turned, bytes)
    one, other = (read_photo(data).samples for data in (as_held, turned))
    # EXIF 2.3: orientation 6 is a quarter turn clockwise away
    assert np.array_equal(other, np.rot90(one, -1))
    assert read_preview(b"none") == "the file is not a whole JPEG, PNG or TIFF photograph"


def test_what_is_kept_of_a_large_photograph_is_smaller_and_measures_alike(
    catalogue: Catalogue, stained: np.ndarray
) -> None:
    whole = tiff_16(stained.repeat(4, axis=0).repeat(4, axis=1))
    kept = read_preview(whole)
    assert isinstance(kept, bytes)
    assert read_photo(kept).samples.shape == (600, 700, 3)
    assert ciede2000(*(measured_from(data, catalogue).lab_d65 for data in (kept, whole))) < 0.1


def test_what_was_clipped_stays_clipped_when_it_is_kept(catalogue: Catalogue) -> None:
    kept = read_preview(tiff_16(scene(np.full(41, 1.4)).repeat(4, axis=0).repeat(4, axis=1)))
    assert isinstance(kept, bytes)
    with pytest.raises(MeasuringError, match="Clipped in the off-cut"):
        measured_from(kept, catalogue)


def test_a_preview_is_made_apart() -> None:
    with pytest.raises(UploadError, match="not a whole JPEG, PNG or TIFF"):
        preview(b"none")
    with pytest.raises(UploadError, match="at most 80 MB"):
        preview(bytes((80 << 20) + 1))


@pytest.mark.parametrize(
    "bad", ["", "1,2 3,4 5,6", "1,2 3,4 5,6 7,x", "1,2 3,4 5,6 7,nan", "1,2,3,4,5,6,7,8,9"]
)
def test_corners_are_four_pairs(bad: str) -> None:
    assert corners_of("1,2 3.5,4  5,6; 7,8") == ((1, 2), (3.5, 4), (5, 6), (7, 8))
    with pytest.raises(ValueError, match="expected four corners as x,y"):
        corners_of(bad)


# ---------------------------------------------------------------- slatwright sample


@pytest.fixture
def bench(tmp_path: Path, stained: np.ndarray) -> Path:
    (tmp_path / "one.png").write_bytes(png_16(stained))
    (tmp_path / "two.jpg").write_bytes(jpeg(stained))
    (tmp_path / "job.json").write_text(json.dumps(JOB), encoding="utf-8")
    return tmp_path


PLACES = ["--off-cut", text(OFF_CUT), "--chart", text(CHART)]
SAID = ["--name", "3", "--date", "2026-11-20", "--lamp", "4000 K LED, CRI 80"]


def test_the_command_keeps_the_colour_in_the_job(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(bench / name) for name in ("one.png", "two.jpg")]
    kept = str(bench / "with.json")
    assert invoke(["sample", *files, *PLACES, *SAID, "--job", str(bench / "job.json"), "-o", kept]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["state"] == "Measured"
    assert answer["kept_in"] == kept
    assert answer["off_cut"]["read_from"].startswith("2 photographs beside a 24-patch chart")
    assert invoke(["appearance", kept]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert (shown["state"], shown["warnings"]) == ("Measured", [])


def test_the_command_keeps_the_colour_in_a_catalogue_folder(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = ["--timber", "Scots pine", "--stain", "honey", "--coats", "2", "--topcoat", "oil"]
    kept = bench / "own" / "samples.toml"
    kept.parent.mkdir()
    order = ["sample", str(bench / "one.png"), *PLACES, *SAID, *made, "-o", str(kept)]
    assert invoke(order) == 0
    before = kept.read_text(encoding="utf-8")
    capsys.readouterr()
    assert invoke(order) == 2
    assert "holds a sample '3' already" in capsys.readouterr().err
    assert kept.read_text(encoding="utf-8") == before
    assert invoke(["catalogue", "--catalogue", str(kept.parent)]) == 0
    (listed,) = json.loads(capsys.readouterr().out)["sample"]
    assert (listed["name"], listed["state"]) == ("3", "Measured")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (["--chart", text(OFF_CUT)], "one.png, --chart: The chart is not where it was said"),
        (["--chart", "1,2"], "--chart: expected four corners as x,y"),
        (["--timber", "Scotch pine"], '--timber: "Scotch pine" is unknown; the nearest is "Scots pine"'),
        (["--date", "20.11.2026"], '--date: "20.11.2026" is no date; expected YYYY-MM-DD'),
        (["--finish", "A"], "--finish: names a candidate of a job; expected --job as well"),
        (["-o", "x.txt"], "--output: x.txt has another ending; expected .json or .toml"),
        (["-o", "x.json"], "--output: a .json keeps the job; expected --job as well, or a .toml"),
        (
            ["--off-cut", text(OFF_CUT), "--off-cut", text(OFF_CUT)],
            "--off-cut: is given 2 times; expected once",
        ),
    ],
)
def test_what_the_command_refuses_is_named_and_nothing_is_kept(
    bench: Path, capsys: pytest.CaptureFixture[str], changed: list[str], said: str
) -> None:
    given = {"--off-cut": text(OFF_CUT), "--chart": text(CHART)} | dict(
        zip(SAID[::2], SAID[1::2], strict=True)
    )
    kept = {option: value for option, value in given.items() if option not in changed}
    order = [part for pair in kept.items() for part in pair]
    assert invoke(["sample", str(bench / "one.png"), *order, *changed]) == 2
    assert said in capsys.readouterr().err


def test_a_job_already_says_what_was_stained(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    order = ["sample", str(bench / "one.png"), *PLACES, *SAID, "--job", str(bench / "job.json")]
    assert invoke([*order, "--stain", "honey"]) == 2
    assert "--job: has the finish" in capsys.readouterr().err
    assert invoke([*order, "--finish", "Z"]) == 2
    assert "--finish: the job has no finish" in capsys.readouterr().err


def test_a_job_with_a_wrong_off_cut_is_refused_by_its_place() -> None:
    job = with_off_cut(JOB, "finish", None)
    job["finish"] = {**JOB["finish"], "off_cut": {**AN_OFF_CUT, "date": "2026-13-01"}}  # type: ignore[dict-item]
    ((path, message),) = check_job(job).problems
    assert (path, message) == ("finish.off_cut.date", '"2026-13-01" is no date; expected YYYY-MM-DD')
    job["finish"] = {**JOB["finish"], "off_cut": {**AN_OFF_CUT, "reflectance": [0.5] * 40 + [1.5]}}  # type: ignore[dict-item]
    ((path, message),) = check_job(job).problems
    assert path == "finish.off_cut.reflectance[40]"


def test_choosing_a_named_sample_takes_the_jobs_own_off_cut_away(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(entry_toml(OffCut.model_validate(AN_OFF_CUT)), encoding="utf-8")
    app = create_app(load({"SLATWRIGHT_CATALOGUE": str(tmp_path), "HOME": str(tmp_path)}))
    start = FINISH.model_copy(update={"off_cut": OffCut.model_validate(AN_OFF_CUT)})
    with app.test_request_context("/?timber=Scots pine&sample=3"):
        found, problems = asked(start)
    assert (problems, found.sample, found.off_cut) == ([], "3", None)
    with app.test_request_context("/?timber=Scots pine&sample="):
        assert asked(start)[0].off_cut == start.off_cut
