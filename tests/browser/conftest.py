"""One server and one Chromium for all browser tests; every page visited is watched for faults of its own."""

import socket
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser_visit import DESK, Visit
from playwright.sync_api import Browser, Page, sync_playwright
from waitress.server import create_server

from viewer.app import make
from viewer.settings import load

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
FLAGS = (
    "--no-sandbox",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--force-color-profile=srgb",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a running application with its own data folder."""
    folder = tmp_path_factory.mktemp("site")
    environment = {
        "SLATWRIGHT_DATA_DIR": str(folder / "data"),
        "SLATWRIGHT_CACHE_DIR": str(folder / "cache"),
        "SLATWRIGHT_STATE_DIR": str(folder / "state"),
    }
    listening = socket.create_server(("127.0.0.1", 0))
    server = create_server(make(load(environment)), sockets=[listening], threads=6)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.close()
    thread.join(timeout=10)


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """Headless Chromium that draws WebGL in software."""
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
        yield running
        running.close()


@pytest.fixture
def visit(browser: Browser, site: str) -> Iterator[Callable[..., Visit]]:
    """``visit(path, size, init_script=…, **context)`` opens a page; its faults fail the test at the end."""
    opened: list[tuple[Any, Visit]] = []

    def go(path: str, size: tuple[int, int] = DESK, init_script: str = "", **context: Any) -> Visit:
        held = browser.new_context(viewport={"width": size[0], "height": size[1]}, **context)
        page = held.new_page()
        if init_script:
            page.add_init_script(init_script)
        made = Visit(page, site)
        made.watch()
        opened.append((held, made))
        page.goto(site + path)
        return made

    yield go
    for held, _made in opened:
        held.close()
    assert [fault for _held, made in opened for fault in made.faults] == []
    foreign = [
        url for _held, made in opened for url in made.requests if not url.startswith((site, "blob:", "data:"))
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
