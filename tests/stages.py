"""Runs the stages that tests/run.sh names, and says at the end what each took, skipped and found."""

import argparse
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from glob import glob
from pathlib import Path
from xml.etree import ElementTree

NPM = "static/node_modules/.bin"
PYTEST = ("pytest", "-q", "--durations=8", "--junitxml={report}", "-m")
# a stage collects where its tests are: the whole folder takes longer to import than some stages to run
IN_PYTHON = ("not browser and not timed and not reference", "--ignore=tests/browser", "-n", "2")
TIMED = ("tests/test_cli_commands.py", "tests/test_house_scripts.py", "tests/test_job_check.py")
IN_BROWSER = ("browser", "-n", "2", "--dist", "loadfile", "tests/browser")
NODE_TEST = ("node", "--test", "--test-reporter=spec", "--test-reporter-destination=stdout")
# no stage comes near this; one that hangs is ended rather than waited for
LONGEST_S = 1200
GRACE_S = 10

# what each stage is for, and its command; {report} is where it leaves a JUnit report of its tests
STAGES: dict[str, tuple[str, tuple[str, ...]]] = {
    "format": ("Python layout", ("ruff", "format", "--check", ".")),
    "lint": ("Python faults and imports", ("ruff", "check", ".")),
    "types": ("Python types, strict", ("mypy", "-n", "2")),
    "contracts": ("the arrows between rooms", ("lint-imports",)),
    "eslint": ("JavaScript faults", (f"{NPM}/eslint", "-c", "static/eslint.config.js", "static", "tests/js")),
    "prettier": ("JavaScript and CSS layout", (f"{NPM}/prettier", "--check", "static", "tests/js")),
    "tsc": ("JavaScript types", (f"{NPM}/tsc", "--project", "static")),
    "python": (
        "Python tests, two at a time",
        (*PYTEST, *IN_PYTHON),
    ),
    "timed": ("what must not take longer", (*PYTEST, "timed", *TIMED)),
    "node": (
        "JavaScript modules without a browser",
        (*NODE_TEST, "--test-reporter=junit", "--test-reporter-destination={report}", "tests/js/*.mjs"),
    ),
    "browser": ("the pages in Chromium", (*PYTEST, *IN_BROWSER)),
    "coverage": (
        "on request: what Python tests reach, in twice their time",
        (*PYTEST, *IN_PYTHON, "--cov", "--cov-report="),
    ),
}
ON_REQUEST = ("coverage",)
"""Stages that look at nothing which the others do not."""


@dataclass(kw_only=True)
class Result:
    """One stage's exit code, time and tests; ``code`` is None where the tool is missing."""

    name: str
    code: int | None
    seconds: float = 0.0
    passed: int = 0
    failed: int = 0
    skips: list[str] = field(default_factory=list)

    @property
    def words(self) -> str:
        if self.code is None:
            return "not run"
        return "ok" if self.code == 0 else f"failed (exit {self.code})"


def read_report(path: Path, result: Result) -> None:
    """Adds to ``result`` what a JUnit report says of single tests."""
    for case in ElementTree.parse(path).iter("testcase"):
        skipped = case.find("skipped")
        if skipped is not None:
            result.skips.append(skipped.get("message") or "no reason given")
        elif case.find("failure") is not None or case.find("error") is not None:
            result.failed += 1
        else:
            result.passed += 1


def expanded(word: str) -> list[str]:
    """The files of a pattern; a pattern without files stays, so that its command says so."""
    return (sorted(glob(word)) if "*" in word else []) or [word]


def surroundings(folder: Path) -> dict[str, str]:
    """The environment of a stage: where the machine keeps no byte code, this run keeps it in ``folder``.

    Test processes, servers and commands that a test starts would otherwise each compile all that they import.
    """
    found = dict(os.environ)
    if found.pop("PYTHONDONTWRITEBYTECODE", ""):
        found["PYTHONPYCACHEPREFIX"] = str(folder / "byte-code")
    return found


class Signals:
    """A signal ends the running stage with all that it started, and then this.

    What is only half started could not be ended: a signal that comes meanwhile is heard a moment later.
    """

    def __init__(self) -> None:
        self.heard = 0
        self.held = False

    def stop(self, number: int, _frame: object) -> None:
        self.heard = number
        if not self.held:
            raise SystemExit(128 + number)

    def release(self) -> None:
        self.held = False
        if self.heard:
            raise SystemExit(128 + self.heard)


SIGNALS = Signals()


def ended(command: list[str], environment: dict[str, str]) -> int:
    """Runs a command to its end. It gets a group of its own, so that nothing it started outlives it."""
    SIGNALS.held = True
    with subprocess.Popen(command, process_group=0, env=environment) as process:
        try:
            SIGNALS.release()
            return process.wait(timeout=LONGEST_S)
        except subprocess.TimeoutExpired:
            print(f"ended after {LONGEST_S} s", flush=True)
            return 124
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGTERM)
                with suppress(subprocess.TimeoutExpired):
                    process.wait(timeout=GRACE_S)
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)


def run(name: str, folder: Path) -> Result:
    """Runs one stage; what it prints goes straight to the terminal."""
    report = folder / f"{name}.xml"
    command = [file for word in STAGES[name][1] for file in expanded(word.format(report=report))]
    print(f"\n=== {name}: {STAGES[name][0]}\n    {' '.join(command)}", flush=True)
    if shutil.which(command[0]) is None:
        return Result(name=name, code=None, skips=[f"{command[0]} is missing"])
    started = time.monotonic()
    code = ended(command, surroundings(folder))
    result = Result(name=name, code=code, seconds=time.monotonic() - started)
    if report.exists():
        read_report(report, result)
    return result


def coverage_words() -> str:
    """What the stage "coverage" reached; the lines are shown by ``.venv/bin/coverage report -m``."""
    told = subprocess.run(
        ["coverage", "report", "--format=total"], capture_output=True, text=True, check=False
    )
    return (
        f"{told.stdout.strip()} % of lines and branches covered"
        if told.returncode == 0
        else "coverage unknown"
    )


def summary(results: list[Result], *, skips_fail: bool) -> int:
    """Prints the closing summary and gives the exit code: that of the first stage that failed."""
    print("\n=== summary")
    for result in results:
        tests = f"{result.passed} passed, {result.failed} failed" if result.passed + result.failed else ""
        print(f"{result.name:10} {result.seconds:7.1f} s   {result.words:16} {tests}".rstrip())
    spent = os.times()
    print(
        f"{'in all':10} {sum(result.seconds for result in results):7.1f} s"
        f"   {spent.children_user + spent.children_system:.0f} s of processor time"
    )

    skips = Counter(reason for result in results for reason in result.skips)
    for reason, count in skips.most_common():
        print(f"skipped {count} x: {reason}")
    codes = [result.code for result in results if result.code]
    if skips and skips_fail:
        print("Under CI=true nothing may be skipped.")
        codes.append(1)
    totals = [
        sum(r.passed for r in results),
        sum(r.failed for r in results),
        sum(len(r.skips) for r in results),
    ]
    print("{} passed, {} failed, {} skipped".format(*totals), flush=True)
    return codes[0] if codes else 0


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="sh tests/run.sh",
        epilog="stages: " + "; ".join(f"{name} ({purpose})" for name, (purpose, _) in STAGES.items()),
    )
    parser.add_argument(
        "stage", nargs="*", help="only these, in this order; by default all that are not on request"
    )
    names = parser.parse_args().stage or [name for name in STAGES if name not in ON_REQUEST]
    unknown = [name for name in names if name not in STAGES]
    if unknown:
        parser.error(f"no stage {', '.join(unknown)}; there are {', '.join(STAGES)}")
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, SIGNALS.stop)
    with tempfile.TemporaryDirectory() as folder:
        results = [run(name, Path(folder)) for name in names]
    if "coverage" in names:
        print("\n" + coverage_words())
    return summary(results, skips_fail=os.environ.get("CI") == "true")


if __name__ == "__main__":
    sys.exit(main())
