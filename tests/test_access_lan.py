"""``slatwright run --lan``: the local network gets in by an account or by the code in the terminal."""

import re
import socket
import subprocess
import sys
import threading
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from http.cookiejar import CookieJar
from pathlib import Path

import pytest
from flask import Flask, request
from waitress.server import create_server

from viewer import serve
from viewer.cli import invoke
from viewer.clock import utc_now
from viewer.serve import NoLocalNetworkError, lan_address
from viewer.settings import load
from viewer.store.opening import open_store

RUN = [sys.executable, "-c", "from viewer.cli import main; main()", "run", "--lan", "--port", "0"]
NEAR = "127.0.0.2"
"""An address of this machine alone that is none of the names that mean this machine alone to the program."""


def test_the_phone_signs_in_by_the_code_in_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path))
    monkeypatch.setenv("SLATWRIGHT_HOST", NEAR)
    store = open_store(tmp_path, None, utc_now)
    store.accounts.set_password("maker", "an invented long password")
    store.close()
    run = subprocess.Popen(RUN, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8")
    try:
        assert run.stdout is not None
        address = run.stdout.readline().strip()
        assert re.fullmatch(rf"http://{re.escape(NEAR)}:\d+/", address)
        shown = iter(run.stdout.readline, "")
        said = [next(shown)]
        while not (code := said[-1].strip()).startswith(address):
            said.append(next(shown))
        assert "not encrypted" in said[0]
        assert sum("█" in line for line in said) > 10, "no QR was drawn"
        phone = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        page = phone.open(code, timeout=10).read().decode()
        token = re.search(r'name="form_token" value="(\w+)"', page)
        assert token
        form = urllib.parse.urlencode({"form_token": token[1]}).encode()
        with phone.open(code, data=form, timeout=10) as answer:
            assert answer.url == address
            assert "slatwright" in answer.read().decode()
        with pytest.raises(urllib.error.HTTPError, match="404"):
            urllib.request.urlopen(address, timeout=10)
    finally:
        run.kill()
        _out, errors = run.communicate()
    assert code.rpartition("/")[2] not in errors


def test_it_needs_somebody_who_can_sign_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path))
    monkeypatch.setattr(serve, "lan_address", lambda: NEAR)
    assert invoke(["run", "--lan"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("account: ")
    assert "slatwright owner NAME" in err


class Asking(socket.socket):
    """A datagram socket that leaves by an invented address."""

    own = ""

    def connect(self, _address: object) -> None:
        if not self.own:
            raise OSError(101, "Network is unreachable")

    def getsockname(self) -> tuple[str, int]:
        return self.own, 40000


@pytest.mark.parametrize("own", ["192.168.1.20", "10.0.0.9", "172.20.3.4"])
def test_addresses_of_rfc_1918_are_a_local_network(own: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Asking, "own", own)
    monkeypatch.setattr(socket, "socket", Asking)
    assert lan_address() == own


@pytest.mark.parametrize("own", ["127.0.0.1", "8.8.8.8", ""])
def test_no_network_and_an_address_of_the_whole_world_are_refused(
    own: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(Asking, "own", own)
    monkeypatch.setattr(socket, "socket", Asking)
    with pytest.raises(NoLocalNetworkError):
        lan_address()
    assert invoke(["run", "--lan"]) == 1
    assert capsys.readouterr().err.startswith("--lan: ")


@pytest.fixture
def behind_a_proxy() -> Iterator[str]:
    """Address of an application that says who asks, served as behind a proxy on this machine."""
    app = Flask("who")
    app.get("/")(lambda: f"{request.remote_addr} {request.host}")
    listening = socket.create_server(("127.0.0.1", 0))
    options = serve._proxy(load({"SLATWRIGHT_PUBLIC_URL": "https://walls.example"}))
    server = create_server(app, sockets=[listening], threads=1, **options)

    def serve_until_closed() -> None:
        with suppress(OSError):  # its sockets are closed under it: the end
            server.run()

    thread = threading.Thread(target=serve_until_closed, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{listening.getsockname()[1]}/"
    server.close()
    thread.join(timeout=10)


@pytest.mark.parametrize(
    ("sent", "who"),
    [
        ({}, "127.0.0.1"),
        ({"X-Forwarded-For": "198.51.100.7"}, "198.51.100.7"),
        # what a client makes up stands before what the proxy saw
        ({"X-Forwarded-For": "203.0.113.9, 198.51.100.7"}, "198.51.100.7"),
        ({"X-Forwarded-For": "198.51.100.7", "X-Forwarded-Host": "evil.example"}, "198.51.100.7"),
    ],
)
def test_limits_count_by_whom_the_proxy_saw(behind_a_proxy: str, sent: dict[str, str], who: str) -> None:
    asked = urllib.request.Request(behind_a_proxy, headers={**sent, "Host": "walls.example"})
    with urllib.request.urlopen(asked, timeout=10) as answer:
        assert answer.read().decode() == f"{who} walls.example"


def test_without_a_proxy_nobody_is_believed() -> None:
    open_to_all = {"SLATWRIGHT_PUBLIC_URL": "https://walls.example", "SLATWRIGHT_HOST": "192.0.2.1"}
    assert serve._proxy(load({})) == serve._proxy(load(open_to_all)) == {}
