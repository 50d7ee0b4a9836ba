"""Listening: a free port when the default is busy, an error when a wanted one is, an end on either signal."""

import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from viewer.cli import invoke
from viewer.serve import listening_socket

RUN = [sys.executable, "-c", "from viewer.cli import main; main()", "run"]


@contextmanager
def busy_port() -> Iterator[int]:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        yield taken.getsockname()[1]


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_run_prints_its_address_answers_there_and_ends_on_a_signal(
    end: signal.Signals, monkeypatch: pytest.MonkeyPatch
) -> None:
    with busy_port() as port:
        monkeypatch.setenv("SLATWRIGHT_PORT", str(port))
        server = subprocess.Popen(RUN, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        try:
            assert server.stdout is not None
            address = server.stdout.readline().strip()
            assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", address)
            assert f":{port}/" not in address
            with urllib.request.urlopen(f"{address}healthz", timeout=10) as answer:
                assert answer.status == 200
            server.send_signal(end)
            assert server.wait(timeout=10) == 0
        finally:
            server.kill()
            server.communicate()


def test_a_wanted_port_that_is_taken_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    with busy_port() as port:
        assert invoke(["run", "--port", str(port)]) == 1
    assert capsys.readouterr() == ("", f"port {port}: is taken by another program or not allowed\n")


def test_an_address_of_another_machine_is_an_error() -> None:
    # RFC 5737: never assigned to a machine; a free port would not help, so none is tried
    with pytest.raises(OSError, match="assign"):
        listening_socket("192.0.2.1", 0, or_free=True)


def test_an_address_that_others_reach_needs_somebody_who_can_sign_in(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SLATWRIGHT_HOST", "192.0.2.1")
    assert invoke(["run"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("account: ")
    assert err.count("\n") == 1
