"""The runner of the stages: nothing that was skipped, missing or not collected may look like success."""

import os
import subprocess
import sys
from pathlib import Path

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


def test_an_empty_collection_is_no_success(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "test_nothing.py").write_text("", encoding="utf-8")
    command = (sys.executable, "-m", "pytest", "-q", "-c", os.devnull, f"--rootdir={tmp_path}", str(tmp_path))
    monkeypatch.setitem(stages.STAGES, "empty", ("nothing", command))
    assert stages.run("empty", tmp_path).code == 5


def test_an_unknown_stage_names_the_known(checkout: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(checkout / "tests/stages.py"), "pythn"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "no stage pythn; there are format, lint" in done.stderr


def test_ci_runs_exactly_the_suite(checkout: Path) -> None:
    assert (checkout / ".ci/run").read_text(encoding="utf-8").splitlines()[-1] == "exec sh tests/run.sh"
