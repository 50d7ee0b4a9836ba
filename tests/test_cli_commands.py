"""The command line as a user meets it: stdout, stderr, exit codes."""

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from viewer.cli import invoke

DATA = Path(__file__).parent / "data"
GOOD = DATA / "job-format-1.json"


def slatwright(*arguments: str | Path, stdin: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """The command in a process of its own."""
    code = "from viewer.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)], input=stdin, capture_output=True, check=False
    )


def test_set_out_prints_json_and_nothing_else() -> None:
    run = slatwright("set-out", GOOD)
    assert (run.returncode, run.stderr) == (0, b"")
    answer = json.loads(run.stdout)
    # by hand: run = 3000 - 10 - 10 = 2980; 57 slats of 40 and 56 gaps of 12.5 fill it exactly
    assert (answer["slat_count"], answer["gap_exact"], answer["run_mm"]) == (57, "25/2", 2980)


def test_a_job_comes_from_standard_input_too() -> None:
    run = slatwright("set-out", "-", stdin=GOOD.read_bytes())
    assert json.loads(run.stdout)["slat_count"] == 57


def test_a_bad_job_gives_one_line_a_problem_and_exit_2(tmp_path: Path) -> None:
    job = json.loads(GOOD.read_text(encoding="utf-8"))
    job["openings"][0]["left_mm"] = 4300
    job["slats"]["width_mm"] = -1
    job["finish"]["timber"] = "no such\ntimber at all"
    bad = tmp_path / "bad.json"
    bad.write_text(json.dumps(job), encoding="utf-8")
    run = slatwright("set-out", bad)
    lines = run.stderr.decode().splitlines()
    assert (run.returncode, run.stdout) == (2, b"")
    assert [line.partition(": ")[0] for line in lines] == [
        "finish.timber",
        "openings[0].left_mm",
        "slats.width_mm",
    ]
    assert lines[1] == "openings[0].left_mm: 4300 lies beyond the wall's 3000; give less than 3000"


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["set-out"], "JOB: Missing argument 'JOB'."),
        (["set-out", "no/such/file"], "no/such/file: cannot be read: No such file or directory"),
        (["set-out", "/"], "/: cannot be read: Is a directory"),
        (["schema", "--now"], "--now: No such option '--now'."),
        (["xyz"], "slatwright: No such command 'xyz'."),
        (["catalogue", "--catalogue", "no/such"], "--catalogue: Directory 'no/such' does not exist."),
    ],
)
def test_wrong_arguments_are_one_line_and_exit_2(
    arguments: list[str], line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert invoke(arguments) == 2
    assert capsys.readouterr() == ("", f"{line}\n")


def test_wrong_settings_stop_every_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SLATWRIGHT_PORT", "eighty")
    monkeypatch.setenv("SLATWRIGHT_HSOT", "here")
    assert invoke(["schema"]) == 2
    assert capsys.readouterr().err.splitlines() == [
        "SLATWRIGHT_HSOT: no such setting; the nearest is SLATWRIGHT_HOST",
        "SLATWRIGHT_PORT: expected a whole number from 0 to 65535",
    ]


def test_settings_mask_secrets(
    monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    secret = "an invented key of more than thirty-two signs"
    monkeypatch.setenv("SLATWRIGHT_SECRET_KEY", secret)
    assert invoke(["settings"]) == 0
    out = capfdbinary.readouterr().out
    assert secret.encode() not in out
    assert json.loads(out)["SLATWRIGHT_SECRET_KEY"]["value"] == "********"


def test_an_unexpected_fault_is_one_line_and_its_details_go_to_a_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def broken() -> None:
        raise ZeroDivisionError("the fault that this test makes")

    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr("viewer.job.schema.job_schema", broken)
    assert invoke(["schema"]) == 70
    out, err = capsys.readouterr()
    (kept,) = (tmp_path / "slatwright").iterdir()
    assert out == ""
    assert err == (
        f"slatwright: an unexpected fault of this program (ZeroDivisionError); the details are in {kept}\n"
    )
    assert "the fault that this test makes" in kept.read_text(encoding="utf-8")


def test_catalogue_lists_every_kind_with_state_and_source(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert invoke(["catalogue"]) == 0
    answer = json.loads(capfdbinary.readouterr().out)
    kinds = ["timber", "stain", "topcoat", "fabric", "lamp"]
    for kind in kinds:
        assert answer[kind], kind
        assert sum(entry["default"] for entry in answer[kind]) == 1
        assert all(entry["state"] in ("Indicative", "Measured") and entry["source"] for entry in answer[kind])
    assert sum(answer["count"].values()) == sum(len(answer[kind]) for kind in kinds)


@pytest.mark.timed
def test_schema_takes_no_five_times_its_two_libraries() -> None:
    """A second was wanted where Python brings both in 0.2 s: so at most five times that, on any machine."""

    def seconds(run: Callable[[], int]) -> float:
        before = time.perf_counter()
        assert run() == 0
        return time.perf_counter() - before

    bare = [sys.executable, "-c", "import click, pydantic, zoneinfo"]
    # the best of four, in turn: other work on the machine is not the program's
    both = [
        (
            seconds(lambda: slatwright("schema").returncode),
            seconds(lambda: subprocess.run(bare, check=False).returncode),
        )
        for _ in range(4)
    ]
    ours, theirs = map(min, zip(*both, strict=True))
    assert ours <= 5 * theirs


def test_schema_brings_no_heavy_library() -> None:
    code = (
        "import sys; from viewer.cli import invoke; invoke(['schema']);"
        "heavy = {'numpy', 'trimesh', 'flask', 'pyrender', 'colour', 'PIL', 'highspy'} & set(sys.modules);"
        "sys.exit(f'{heavy}' if heavy else 0)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert (run.returncode, run.stderr) == (0, b"")
