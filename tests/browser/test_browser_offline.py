"""The turning view in a file of its own: drawn from the disk, asking nobody, in nearly the page's colours."""

from pathlib import Path

import numpy as np
import pytest
from browser_visit import Visit
from flask import g
from numpy.typing import NDArray
from orbit_canvas import open_canvas
from playwright.sync_api import Browser

from viewer.app import make
from viewer.demo import demo_bytes
from viewer.job.choices import candidates, finish_label, lightings
from viewer.light_store import light_store
from viewer.offline_view import EVERY, OfflineView, modules, offline_view
from viewer.pages import words
from viewer.pages.orbit_data import Addresses, orbit_data
from viewer.pages.orbit_light import light_bytes
from viewer.picture import Studio
from viewer.services import KEY
from viewer.settings import load

pytestmark = [pytest.mark.browser, pytest.mark.gl]

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Offer</title>
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; img-src data:; style-src 'unsafe-inline'; {policy}">
<style>.view {{ position: relative; width: 240px; height: 160px }}
 .view > * {{ position: absolute; inset: 0; width: 100%; height: 100% }}</style></head>
<body>{html}</body></html>"""
EMPTY = "data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg'/>"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, light_cache: Path) -> tuple[OfflineView, Studio]:
    folder = tmp_path_factory.mktemp("offline")
    own = {f"SLATWRIGHT_{kind}_DIR": str(folder / kind) for kind in ("DATA", "STATE")}
    app = make(load({**own, "SLATWRIGHT_CACHE_DIR": str(light_cache)}))
    services = app.extensions[KEY]
    job = services.check_text(demo_bytes()).job
    store = light_store(services.settings)
    studio, lit = Studio(job, services.catalogue, store=store), lightings(job)[:1]
    named = [(finish_label(one, number), one) for number, one in enumerate(candidates(job))][:2]
    orbit = orbit_data(
        studio=studio,
        lightings=lit,
        candidates=named,
        addresses=Addresses(mesh="", figure="", still="", light=[""]),
        words=words.orbit_words(),
    )
    page = {
        "lightings": [{"key": "0", "name": lit[0].name, "checked": True}],
        "views": [{"key": "front", "name": "front", "checked": True}],
        "finishes": [{"key": str(k), "name": one[0], "checked": k == 0} for k, one in enumerate(named)],
        "still": {"src": EMPTY, "words": ""},
    }
    with app.test_request_context():
        g.csp_nonce = ""
        view = offline_view(studio=studio, orbit=orbit, lightings=lit, candidates=named, page=page)
    return view, studio


def test_every_module_stands_after_those_that_it_imports() -> None:
    names = [name for name, _text in modules()]
    for place, (_name, text) in enumerate(modules()):
        wanted = {part.split('"')[0] for part in text.split('"part:')[1:]}
        assert wanted <= set(names[:place])
    assert names[-1] == "offline_page.js"


def test_a_file_from_the_disk_turns_the_wall_and_asks_nobody(
    made: tuple[OfflineView, Studio], browser: Browser, tmp_path: Path
) -> None:
    view, _studio = made
    file = tmp_path / "offer.html"
    file.write_text(PAGE.format(policy=view.policy, html=view.html), encoding="utf-8")
    assert file.stat().st_size < 3_000_000
    page = browser.new_page(viewport={"width": 400, "height": 400})
    seen = Visit(page, "")
    seen.watch()
    page.goto(file.as_uri())
    seen.drawn()
    page.get_by_role("radio").nth(1).check()
    page.wait_for_selector("[data-view][data-shown='1']")
    page.get_by_role("button", name="Nearer").click()
    seen.rest()
    assert seen.faults == []
    assert [url for url in seen.requests if not url.startswith(("file:", "blob:", "data:"))] == []
    page.close()


def test_the_files_coarser_light_is_the_whole(
    made: tuple[OfflineView, Studio], browser: Browser, site: str
) -> None:
    _view, studio = made
    bytes_by = {every: light_bytes(studio, lightings(studio.job)[0], every=every) for every in (1, EVERY)}

    def front(light: bytes) -> NDArray[np.float64]:
        with open_canvas(browser, site + "/jobs/demo/") as canvas:
            kind = "application/octet-stream"
            canvas.page.route("**/light/0.bin*", lambda route: route.fulfill(body=light, content_type=kind))
            return canvas.settled(240, 160)

    whole, thin = (front(light) for light in bytes_by.values())
    off = 255 * np.abs(thin - whole)
    print(f"one line of {EVERY}: {off.mean():.2f} of 255, p99 {np.percentile(off, 99):.2f}")
    assert 0 < off.mean() <= 0.5
    assert np.percentile(off, 99) <= 3
