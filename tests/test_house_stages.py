"""The runner of the stages: nothing that was skipped, missing or not collected may look like success."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
import stages

REPORT = """<testsuites><testsuite name="s">
<testcase name="a"/><testcase name="b"/>
<testcase name="c"><skipped message="no browser"/></testcase>
<testcase name="d"><failure message="x"/></testcase>
<testcase name="e"><error message="x"/></testcase>
</testsuite></testsuites>"""


def test_a_report_is_counted_by_single_tests(tmp_path: Path) -> None:
    report = tmp_path / "report.xml"
    report.write_text(REPORT, encoding="utf-8")
    result = stages.Result(name="python", code=1)
    stages.read_report(report, result)
    assert (result.passed, result.failed, result.skips) == (2, 2, ["no browser"])


def result(**changes: object) -> stages.Result:
    return stages.Result(**{"name": "python", "code": 0, "passed": 3, **changes})


def test_all_well_ends_with_the_closing_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert stages.summary([result(), result(name="node", passed=2)], skips_fail=True) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "5 passed, 0 failed, 0 skipped"


@pytest.mark.parametrize(("skips_fail", "code"), [(True, 1), (False, 0)])
def test_a_skip_fails_where_it_must_not_happen(
    skips_fail: bool, code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert stages.summary([result(skips=["no browser", "no browser"])], skips_fail=skips_fail) == code
    assert "skipped 2 x: no browser" in capsys.readouterr().out


def test_the_first_failing_code_is_handed_on() -> None:
    # 5 is pytest's code where it collected no test
    assert stages.summary([result(), result(code=5, passed=0), result(code=1)], skips_fail=False) == 5


def test_a_missing_tool_is_a_skip_with_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(stages.STAGES, "absent", ("nothing", ("no-such-tool-here",)))
    missing = stages.run("absent", tmp_path)
    assert (missing.code, missing.skips) == (None, ["no-such-tool-here is missing"])
    assert stages.summary([missing], skips_fail=True) == 1
    assert "not run" in capsys.readouterr().out


def test_a_stage_that_hangs_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stages, "LONGEST_S", 0.2)
    monkeypatch.setitem(
        stages.STAGES, "hang", ("nothing", (sys.executable, "-c", "import time; time.sleep(60)"))
    )
    assert stages.run("hang", tmp_path).code == 124


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_leaves_nothing_running(checkout: Path, tmp_path: Path, number: signal.Signals) -> None:
    # a stage that starts a process of its own, as browser tests start a browser
    (tmp_path / "stage").write_text("#!/bin/sh\nsleep 60 &\necho $! >child\nwait\n", encoding="utf-8")
    (tmp_path / "stage").chmod(0o755)
    code = (
        f"import sys; sys.path.insert(0, {str(checkout / 'tests')!r}); import stages; "
        "stages.STAGES['long'] = ('', ('./stage',)); sys.argv[1:] = ['long']; sys.exit(stages.main())"
    )
    with subprocess.Popen([sys.executable, "-c", code], cwd=tmp_path, stdout=subprocess.DEVNULL) as running:
        child = tmp_path / "child"
        waited = time.monotonic() + 20
        while not (child.exists() and child.read_text().strip()) and time.monotonic() < waited:
            time.sleep(0.02)
        pid = int(child.read_text())
        running.send_signal(number)
        assert running.wait(timeout=20) == 128 + number
    # gone, or dead and only not yet collected by the system, which may take a busy machine a moment
    waited = time.monotonic() + 20
    while is_alive(pid) and time.monotonic() < waited:
        time.sleep(0.02)
    assert not is_alive(pid)


def test_a_signal_while_a_stage_starts_ends_it_too(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[int] = []

    class Slow(subprocess.Popen[bytes]):
        """The signal comes between the start of the child and its name."""

        def __init__(self, *given: Any, **how: Any) -> None:
            super().__init__(*given, **how)
            started.append(self.pid)
            os.kill(os.getpid(), signal.SIGUSR1)

    monkeypatch.setattr(stages, "SIGNALS", stages.Signals())
    monkeypatch.setattr(subprocess, "Popen", Slow)
    before = signal.signal(signal.SIGUSR1, stages.SIGNALS.stop)
    try:
        with pytest.raises(SystemExit, match=str(128 + signal.SIGUSR1)):
            stages.ended([sys.executable, "-c", "import time; time.sleep(60)"], dict(os.environ))
    finally:
        signal.signal(signal.SIGUSR1, before)
    assert not is_alive(started[0])


def is_alive(pid: int) -> bool:
    try:
        stat = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8")
    except (FileNotFoundError, ProcessLookupError):
        return False
    return stat.rpartition(")")[2].split()[0] != "Z"


def test_an_empty_collection_is_no_success(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "test_nothing.py").write_text("", encoding="utf-8")
    command = (sys.executable, "-m", "pytest", "-q", "-c", os.devnull, f"--rootdir={tmp_path}", str(tmp_path))
    monkeypatch.setitem(stages.STAGES, "empty", ("nothing", command))
    assert stages.run("empty", tmp_path).code == 5


@pytest.mark.parametrize(("machine", "kept"), [("1", 1), ("", 0)])
def test_a_run_keeps_byte_code_apart_where_the_machine_keeps_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, machine: str, kept: int
) -> None:
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", machine)
    monkeypatch.delenv("PYTHONPYCACHEPREFIX", raising=False)
    (tmp_path / "imported.py").write_text("", encoding="utf-8")
    importing = f"import sys; sys.path.insert(0, {str(tmp_path)!r}); import imported"
    monkeypatch.setitem(stages.STAGES, "import", ("nothing", (sys.executable, "-c", importing)))
    assert stages.run("import", tmp_path).code == 0
    assert len([*(tmp_path / "byte-code").rglob("imported.*.pyc")]) == kept
    # beside the module, as Python does by itself
    assert len([*(tmp_path / "__pycache__").glob("imported.*.pyc")]) == 1 - kept


def test_an_unknown_stage_names_the_known(checkout: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(checkout / "tests/stages.py"), "pythn"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "no stage pythn; there are format, lint" in done.stderr


def test_every_marked_test_stands_where_its_stage_looks(checkout: Path) -> None:
    files = {
        path.relative_to(checkout).as_posix(): path.read_text(encoding="utf-8")
        for path in (checkout / "tests").rglob("test_*.py")
    }
    timed = {name for name, text in files.items() if re.search(r"^@pytest\.mark\.timed$", text, re.MULTILINE)}
    browser = {
        name
        for name, text in files.items()
        if re.search(r"^pytestmark = .*mark\.browser\b", text, re.MULTILINE)
    }
    assert timed == set(stages.TIMED)
    assert browser == {name for name in files if name.startswith("tests/browser/")}
    # nowhere else, and in no other way
    named = re.compile(r"mark\.(?:browser|timed)\b")
    assert {name for name, text in files.items() if named.search(text)} == timed | browser


def test_a_stage_on_request_is_no_part_of_the_whole_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    ran: list[str] = []

    def noted(name: str, _folder: Path) -> stages.Result:
        ran.append(name)
        return stages.Result(name=name, code=0, passed=1)

    monkeypatch.setattr(stages, "run", noted)
    monkeypatch.setattr(signal, "signal", lambda *_given: None)
    monkeypatch.setattr(sys, "argv", ["stages.py"])
    assert stages.main() == 0
    assert ran == [name for name in stages.STAGES if name != "coverage"]
    assert "covered" not in capsys.readouterr().out


def test_ci_runs_exactly_the_suite(checkout: Path) -> None:
    assert (checkout / ".ci/run").read_text(encoding="utf-8").splitlines()[-1] == "exec sh tests/run.sh"
