"""One server and one Chromium for all browser tests; every page visited is watched for faults of its own."""

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from browser_visit import DESK, Visit, without_stills
from flask import Flask
from playwright.sync_api import Browser, Page, expect, sync_playwright
from signing_site import SigningSite
from signoff_site import reachable_site
from waitress import wasyncore
from waitress.server import create_server

from viewer.app import make
from viewer.services import KEY
from viewer.settings import load

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SLOW_MS = 60_000
"""What a machine with other work may take until something stands there: no measure of speed."""
PHONE_HOST = "walls.test"
FLAGS = (
    "--no-sandbox",
    # Mesa draws in software as for the stills, in a third of the time of Chromium's own, the fallback
    "--use-angle=gl-egl",
    "--ignore-gpu-blocklist",
    "--enable-unsafe-swiftshader",
    "--force-color-profile=srgb",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {PHONE_HOST} 127.0.0.1",
)


@pytest.fixture(scope="session")
def light_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where both applications keep their light: that of the built-in job is solved once."""
    return tmp_path_factory.mktemp("cache")


@contextmanager
def served(app: Flask, listening: socket.socket) -> Iterator[None]:
    """The application on a socket; what is still asked of it, nobody waiting, is finished before it ends."""
    server = create_server(app, sockets=[listening], threads=6)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield
    server.task_dispatcher.shutdown(timeout=SLOW_MS / 1000)
    # in the server's own thread: what it listens to must not close under it
    server.trigger.pull_trigger(lambda: wasyncore.close_all(server._map))
    thread.join(timeout=10)
    assert not thread.is_alive()


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory, light_cache: Path) -> Iterator[str]:
    """Address of a running application with its own data folder."""
    folder = tmp_path_factory.mktemp("site")
    environment = {
        "SLATWRIGHT_DATA_DIR": str(folder / "data"),
        "SLATWRIGHT_CACHE_DIR": str(light_cache),
        "SLATWRIGHT_STATE_DIR": str(folder / "state"),
    }
    listening = socket.create_server(("127.0.0.1", 0))
    with served(make(load(environment)), listening):
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"


@pytest.fixture(scope="session")
def signing(tmp_path_factory: pytest.TempPathFactory, light_cache: Path) -> Iterator[SigningSite]:
    """A second application, with an owner's account and links for clients."""
    folder = tmp_path_factory.mktemp("signing")
    listening = socket.create_server(("127.0.0.1", 0))
    # a name, and no HTTPS: a browser then vouches for less than it does for 127.0.0.1, as on a phone
    address = f"http://{PHONE_HOST}:{listening.getsockname()[1]}"
    made = SigningSite(reachable_site(folder, public_url=address, cache_dir=str(light_cache)), address)
    with served(made.app, listening):
        yield made
    made.app.extensions[KEY].close()


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """Headless Chromium that draws WebGL in software."""
    expect.set_options(timeout=SLOW_MS)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
        yield running
        running.close()


@pytest.fixture
def visit(browser: Browser, site: str) -> Iterator[Callable[..., Visit]]:
    """``visit(path, size, init_script=…, **context)`` opens a page, of another site by its whole address.

    ``stills=False``: an empty picture stands in for those that the server makes. Faults fail the test at the
    end.
    """
    opened: list[tuple[Any, Visit]] = []

    def go(
        path: str, size: tuple[int, int] = DESK, init_script: str = "", *, stills: bool = True, **context: Any
    ) -> Visit:
        held = browser.new_context(viewport={"width": size[0], "height": size[1]}, **context)
        held.set_default_timeout(SLOW_MS)
        page = held.new_page()
        if init_script:
            page.add_init_script(init_script)
        if not stills:
            without_stills(page)
        place = urlsplit(path)
        made = Visit(page, f"{place.scheme}://{place.netloc}" if place.netloc else site)
        made.watch()
        opened.append((held, made))
        # a still may take longer than the page: nothing here looks at it without waiting for it
        page.goto(path if place.scheme else site + path, wait_until="domcontentloaded")
        return made

    yield go
    for held, _made in opened:
        held.close()
    assert [fault for _held, made in opened for fault in made.faults] == []
    foreign = [
        url
        for _held, made in opened
        for url in made.requests
        if not url.startswith((made.site, "blob:", "data:"))
    ]
    assert foreign == []


@pytest.fixture(scope="session")
def axe(checkout: Path) -> Callable[[Page], list[str]]:
    """``axe(page)`` lists what axe-core finds: rule, and the elements that break it."""
    source = (checkout / "static/node_modules/axe-core/axe.min.js").read_text()

    def look(page: Page) -> list[str]:
        page.evaluate(source)
        found = page.evaluate("rules => axe.run(document, {runOnly: rules})", RULES)
        assert found["passes"], "axe-core ran no rule"
        return [
            f"{rule['id']}: {', '.join(' '.join(node['target']) for node in rule['nodes'])}"
            for rule in found["violations"]
        ]

    return look
