"""The promise of README.md's first command: an address is printed, and the demo wall is there."""

import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator

import pytest


@pytest.fixture
def started() -> Iterator[subprocess.Popen[str]]:
    """``slatwright run --demo`` on a free port."""
    arguments = ["run", "--demo", "--port", "0"]
    code = f"import sys; from viewer.cli import invoke; sys.exit(invoke({arguments!r}))"
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as process:
        yield process
        process.kill()


def test_the_printed_address_shows_the_demo(started: subprocess.Popen[str]) -> None:
    assert started.stdout is not None
    address = started.stdout.readline().strip()
    assert re.match(r"http://127\.0\.0\.1:\d+/", address), address
    with urllib.request.urlopen(address, timeout=60) as answer:
        assert answer.status == 200
        assert "Reading room" in answer.read().decode()
    started.send_signal(signal.SIGTERM)
    assert started.wait(timeout=10) == 0
    assert started.stdout.read() == ""
