"""viewer/start.sh on a checkout that is set up, and on machines where it cannot be."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

SCRIPTS = ("viewer/start.sh", "viewer/setup.sh", "tests/run.sh", "tests/lock.sh", ".ci/run")
HELD_BY_THE_STAMP = (
    "viewer/setup.sh",
    "viewer/requirements.lock",
    "viewer/node.lock",
    "static/package-lock.json",
    "tests/requirements.lock",
    "pyproject.toml",
)


@pytest.fixture
def bare(checkout: Path, tmp_path: Path) -> Path:
    """A checkout in a folder whose name has a space, with the scripts and locks and nothing installed."""
    root = tmp_path / "a wall"
    for name in (*HELD_BY_THE_STAMP, "viewer/start.sh"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(checkout / name, root / name)
    return root


@pytest.fixture
def ready(bare: Path) -> Path:
    """The same after a set-up, with a stand-in for the installed command that tells how it was called."""
    (bare / "static/node_modules/three").mkdir(parents=True)
    programs = bare / ".venv/bin"
    programs.mkdir(parents=True)
    (programs / "python3").symlink_to(sys.executable)
    program(
        programs / "slatwright",
        'pwd; for word in "$@"; do echo "<$word>"; done; [ "${1-}" != fail ] || exit 7',
    )
    for what in ("run", "test"):
        stamp(bare, what)
    return bare


def program(path: Path, body: str) -> None:
    path.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    path.chmod(0o755)


def setup_shell(root: Path, command: str) -> subprocess.CompletedProcess[str]:
    """Runs a shell command that has sourced viewer/setup.sh."""
    text = f'set -eu; root=$1; . "$root/viewer/setup.sh"; {command}'
    return subprocess.run(["sh", "-c", text, "sh", str(root)], capture_output=True, text=True, check=False)


def stamp(root: Path, what: str) -> None:
    done = setup_shell(root, f'fingerprint {what} >"$venv/stamp-{what}"')
    assert done.returncode == 0, done.stderr


def start(root: Path, *arguments: str, cwd: Path, path: str = "") -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PATH": f"{path}:{os.environ['PATH']}" if path else os.environ["PATH"]}
    command = ["sh", str(root / "viewer/start.sh"), *arguments]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("name", SCRIPTS)
def test_scripts_are_plain_sh(checkout: Path, name: str) -> None:
    text = (checkout / name).read_text(encoding="utf-8")
    assert "[[" not in text
    assert "pipefail" not in text
    checked = subprocess.run(["sh", "-n", str(checkout / name)], capture_output=True, text=True, check=False)
    assert (checked.returncode, checked.stderr) == (0, "")


def test_without_arguments_it_opens_the_demo(ready: Path, tmp_path: Path) -> None:
    done = start(ready, cwd=tmp_path)
    assert done.stdout == f"{tmp_path}\n<run>\n<--demo>\n"


def test_with_arguments_it_is_that_command_in_the_callers_folder(ready: Path, tmp_path: Path) -> None:
    done = start(ready, "set-out", "my wall.json", "", cwd=tmp_path)
    assert (done.stdout, done.stderr) == (f"{tmp_path}\n<set-out>\n<my wall.json>\n<>\n", "")


def test_the_commands_exit_code_comes_back(ready: Path, tmp_path: Path) -> None:
    assert start(ready, "fail", cwd=tmp_path).returncode == 7


@pytest.mark.timed
def test_a_start_of_what_is_set_up_costs_a_tenth_of_a_second_at_most(ready: Path, tmp_path: Path) -> None:
    def seconds() -> float:
        started = time.perf_counter()
        start(ready, cwd=tmp_path)
        return time.perf_counter() - started

    # the least of several: the machine may be busy with other things
    assert min(seconds() for _ in range(5)) < 0.1


@pytest.mark.parametrize("name", HELD_BY_THE_STAMP)
def test_a_change_of_anything_the_set_up_depends_on_is_seen(ready: Path, name: str) -> None:
    assert setup_shell(ready, "is_ready run; is_ready test").returncode == 0
    changed = ready / name
    text = changed.read_text(encoding="utf-8")
    addition = "\n[project.urls]\n" if name == "pyproject.toml" else "\n# changed\n"
    changed.write_text(text + addition, encoding="utf-8")
    assert setup_shell(ready, "! is_ready test").returncode == 0
    # what only tests use does not send a visitor to the network
    run_too = "is_ready run" if name == "tests/requirements.lock" else "! is_ready run"
    assert setup_shell(ready, run_too).returncode == 0


def test_the_settings_of_tools_are_no_reason_to_set_up_again(ready: Path) -> None:
    project = ready / "pyproject.toml"
    text = project.read_text(encoding="utf-8")
    project.write_text(text.replace("line-length = 110", "line-length = 100"), encoding="utf-8")
    assert text != project.read_text(encoding="utf-8")
    assert setup_shell(ready, "is_ready run").returncode == 0


def test_a_moved_checkout_is_set_up_again(ready: Path, tmp_path: Path) -> None:
    # an environment's scripts hold its path
    moved = ready.rename(tmp_path / "moved")
    assert setup_shell(moved, "! is_ready run").returncode == 0


def test_node_modules_that_were_deleted_are_fetched_again(ready: Path) -> None:
    (ready / "static/node_modules/three").rmdir()
    assert setup_shell(ready, "! is_ready run && is_stamped run").returncode == 0


@pytest.fixture
def ordinary_user(tmp_path: Path) -> Path:
    """Programs for the front of PATH: a user who is not root, on a machine without EGL."""
    programs = tmp_path / "programs"
    programs.mkdir()
    program(programs / "id", "echo 1000")
    for name in ("python3", "python3.14", "python3.13", "python3.12", "python3.11"):
        program(programs / name, f'case "$2" in *ctypes*) exit 1 ;; esac; exec "{sys.executable}" "$@"')
    program(programs / "apt-get", "echo apt-get must not be run; exit 1")
    return programs


def test_an_ordinary_user_is_told_what_to_ask_for(bare: Path, ordinary_user: Path, tmp_path: Path) -> None:
    done = start(bare, cwd=tmp_path, path=str(ordinary_user))
    assert (done.returncode, done.stdout) == (3, "")
    assert "apt-get install --no-install-recommends libegl1 libgl1\n" in done.stderr
    assert "Nothing was downloaded or changed." in done.stderr
    assert not (bare / ".venv").exists()


def test_an_old_python_is_named(bare: Path, ordinary_user: Path, tmp_path: Path) -> None:
    for name in ("python3", "python3.14", "python3.13", "python3.12", "python3.11"):
        program(ordinary_user / name, "exit 1")
    done = start(bare, cwd=tmp_path, path=str(ordinary_user))
    assert (done.returncode, done.stdout) == (5, "")
    assert "Python 3.11 or newer is needed" in done.stderr


def test_without_a_network_one_sentence_says_so(bare: Path, ordinary_user: Path, tmp_path: Path) -> None:
    # a Python whose libraries load, whose environments are empty and whose pip finds no registry
    body = (
        'case "$*" in *" venv "*) for last; do :; done; mkdir -p "$last/bin"; cp "$0" "$last/bin/python3" ;; '
        '*"pip install"*) echo "no matching distribution"; exit 1 ;; esac'
    )
    program(ordinary_user / "python3", body)
    done = start(bare, cwd=tmp_path, path=str(ordinary_user))
    assert (done.returncode, done.stdout) == (4, "")
    log, sentence = done.stderr.splitlines()[-2:]
    assert log == "    no matching distribution"
    assert sentence.startswith("slatwright: The Python packages could not be downloaded. ")
    assert sentence.endswith(" A network is needed for the first start only.")
    assert setup_shell(bare, "! is_ready run").returncode == 0
