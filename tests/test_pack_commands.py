"""``pack`` and ``changes`` from the command line: what they write, and how they refuse."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from test_pack_files import SMALL

from viewer.cli import invoke
from viewer.cli.options import proven_or_first
from viewer.pack.files import CONTENTS


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(SMALL), encoding="utf-8")
    return path


def test_a_pack_is_written_with_its_contents_listed(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "not yet" / "there"
    assert invoke(["pack", str(job_file), "-o", str(out), "--paper", "letter"]) == 0
    assert capsys.readouterr().err == ""
    listed = json.loads((out / CONTENTS).read_text(encoding="utf-8"))
    there = {str(path.relative_to(out)) for path in out.rglob("*") if path.is_file()}
    assert there == set(listed["files"]) | {CONTENTS}
    assert listed["paper"] == "Letter"
    for name in (
        "workshop/workshop.pdf",
        "workshop/rod-full-size.pdf",
        "workshop/labels.pdf",
        "client/handover.pdf",
        "shop/shopping-list.pdf",
        "shop/shopping-list.csv",
        "shop/shopping-list.xlsx",
        "maker/estimate.pdf",
        "maker/comparison.pdf",
        "data/csv/slats.csv",
        "data/dxf/wall-1-run.dxf",
        "data/dxf/wall-1-panel-01.dxf",
        "data/svg/wall-1-elevation.svg",
        "data/wall.glb",
        "data/job.json",
    ):
        assert name in there


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (["--finish", "Z"], 2, "--finish: the job has no finish"),
        (["--paper", "A3"], 2, "--paper"),
        (["--prices", "nowhere.toml"], 2, "nowhere.toml: cannot be read"),
    ],
)
def test_what_cannot_be_used_is_refused_and_nothing_is_written(
    job_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    code: int,
    words: str,
) -> None:
    out = tmp_path / "out"
    assert invoke(["pack", str(job_file), "-o", str(out), *arguments]) == code
    assert words in capsys.readouterr().err
    assert not out.exists()


def test_a_bad_job_is_refused_with_its_paths(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text(json.dumps({**SMALL, "wall": {"width_mm": 5}}), encoding="utf-8")
    assert invoke(["pack", str(bad), "-o", str(tmp_path / "out")]) == 2
    errors = capsys.readouterr().err
    assert "wall.width_mm: " in errors
    assert "wall.height_mm: " in errors
    assert not (tmp_path / "out").exists()


def test_a_file_where_the_folder_should_be(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "taken").write_text("", encoding="utf-8")
    assert invoke(["pack", str(job_file), "-o", str(tmp_path / "taken")]) == 1
    assert "is a file; expected a folder" in capsys.readouterr().err


def test_changes_are_printed_as_json(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = tmp_path / "new.json"
    new.write_text(json.dumps({**SMALL, "revised": "2026-12-01"}), encoding="utf-8")
    assert invoke(["changes", str(job_file), str(new)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["same"] is False
    assert found["quantities"] == []


@pytest.mark.parametrize("ends", [True, False])
def test_a_pack_takes_a_better_plan_only_where_its_proof_ends(ends: bool) -> None:
    """What a clock cut off would differ from run to run, and the pack's bytes with it."""
    first, found = SimpleNamespace(proven=False), SimpleNamespace(proven=ends)
    settled = proven_or_first(lambda _plan: found)  # type: ignore[arg-type, return-value]
    assert settled is not None
    assert settled(first) is (found if ends else first)  # type: ignore[arg-type, comparison-overlap]
    assert proven_or_first(None) is None
