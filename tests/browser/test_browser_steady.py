"""Pages stand still while they load: scripts, typeface and pictures are held back until the first paint.

What moves after that moves under the finger of whoever is about to press it. W3C's Layout Instability draft
says what a shift is (https://wicg.github.io/layout-instability/), and web.dev calls a sum of 0.1 good
(https://web.dev/articles/cls). Here none is allowed at all.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest
from browser_visit import DESK, NO_WEBGL, PHONE, SLOW_DISPLAY, Visit
from playwright.sync_api import Browser, Page, Route, expect
from signing_site import SigningSite

pytestmark = pytest.mark.browser

LOADS = [
    (PHONE, "/"),
    (PHONE, "/jobs/demo/survey"),
    (PHONE, "/jobs/demo/set-out"),
    (PHONE, "/jobs/demo/"),
    (PHONE, "/jobs/demo/finish"),
    (PHONE, "/jobs/demo/lightings"),
    (PHONE, "/jobs/demo/board"),
    (PHONE, "/jobs/demo/offers"),
    (DESK, "/jobs/demo/set-out"),
    (DESK, "/jobs/demo/"),
    (DESK, "/jobs/demo/finish"),
    (DESK, "/jobs/demo/board"),
]
PICTURE = re.compile(r"/still\?|\.png|\.jpg|small\.svg")
LIGHT = "/light/"
LATE = re.compile(rf"/static/(js|vendor)/|{LIGHT}|{PICTURE.pattern}")
STAND_IN = '<svg xmlns="http://www.w3.org/2000/svg" width="12" height="9"><rect width="12" height="9"/></svg>'
SEE_SHIFTS = """
  window.shifts = [];
  const seen = (entries) => {
    for (const { value, hadRecentInput, sources } of entries)
      if (!hadRecentInput)
        shifts.push([value.toFixed(4), ...sources.map(({ node, previousRect: was, currentRect: is }) =>
          `${(node?.outerHTML ?? node?.textContent ?? "?").slice(0, 60)}: ` +
          [was.x, was.y, is.x, is.y].map(Math.round).join(" "))]);
  };
  const observer = new PerformanceObserver((list) => seen(list.getEntries()));
  observer.observe({ type: "layout-shift", buffered: true });
  window.shiftsSoFar = () => (seen(observer.takeRecords()), shifts);
"""
FIRST_PAINT = """() => new Promise((resolve) =>
  new PerformanceObserver((list) => list.getEntriesByName("first-contentful-paint").length && resolve())
    .observe({ type: "paint", buffered: true }))"""
A_FRAME = "() => new Promise((resolve) => new IntersectionObserver(resolve).observe(document.body))"
"""Ends after a frame was laid out, with a display of any speed."""
PLACES = """() => [...document.querySelectorAll(".masthead a, .masthead button")]
  .map((one) => [one.textContent, one.getBoundingClientRect().toJSON()])"""


@dataclass
class Held:
    """What a page asked for and does not get before ``let_go``."""

    page: Page
    routes: list[Route] = field(default_factory=list)
    free: bool = False

    def take(self, route: Route) -> None:
        self.routes.append(route)
        if self.free:
            self.let_go()

    def let_go(self) -> None:
        """All comes, light excepted: solving it takes seconds, and the view turns before."""
        self.free = True
        while self.routes:
            route = self.routes.pop()
            if LIGHT in route.request.url:
                continue
            if PICTURE.search(route.request.url):
                route.fulfill(body=STAND_IN, content_type="image/svg+xml")
            else:
                route.continue_()


@contextmanager
def painted(browser: Browser, address: str, size: tuple[int, int], script: str) -> Iterator[Held]:
    """A page at its first paint, all that can come late still to come."""
    width, height = size
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.add_init_script(SEE_SHIFTS + script)
    held, seen = Held(page), Visit(page, address)
    seen.watch()
    page.route(LATE, held.take)
    try:
        page.goto(address, wait_until="commit")
        page.evaluate(FIRST_PAINT)
        kinds = {route.request.resource_type for route in held.routes}
        assert {"font", "script"} <= kinds, "what should come late came early"
        yield held
    finally:
        context.close()
    assert seen.faults == []


def stands_still(held: Held, ready: Callable[[Page], None]) -> None:
    """Nothing moves from the first paint until everything is there."""
    page = held.page
    before = page.evaluate(PLACES)
    held.let_go()
    page.wait_for_load_state("load")
    ready(page)
    page.evaluate(A_FRAME)
    assert page.evaluate("shiftsSoFar()") == []
    assert page.evaluate(PLACES) == before


def stills(page: Page) -> None:
    """Scripts found that there is no WebGL, where a view would turn."""
    if page.locator("[data-view]").count():
        page.wait_for_selector("[data-view][data-state=still]")
    if page.locator("[data-board]").count():
        page.wait_for_selector("[data-board][data-state=still]")
    expect(page.locator("[data-unscripted]:visible")).to_have_count(0)


@pytest.mark.parametrize(("size", "path"), LOADS)
def test_nothing_moves_once_it_is_painted(
    browser: Browser, site: str, size: tuple[int, int], path: str
) -> None:
    with painted(browser, site + path, size, NO_WEBGL) as held:
        stands_still(held, stills)


def test_nothing_moves_on_the_clients_page(browser: Browser, signing: SigningSite) -> None:
    link = signing.link(signing.offer())
    for size in (PHONE, DESK):
        with painted(browser, link, size, NO_WEBGL) as held:
            stands_still(held, stills)


def test_nothing_moves_when_the_board_begins_to_turn(browser: Browser, site: str) -> None:
    with painted(browser, f"{site}/jobs/demo/board", PHONE, SLOW_DISPLAY) as held:
        left = held.page.get_by_role("button", name="Turn left")
        expect(left).to_be_hidden()
        stands_still(held, lambda page: expect(left).to_be_visible())
        expect(held.page.get_by_text("light is being worked out")).to_be_visible()


def test_the_next_page_has_the_typeface_at_once(visit: Callable[..., Visit]) -> None:
    page = visit("/").page
    page.wait_for_load_state("load")
    page.get_by_role("link", name="A ballpark, before there is a job").click()
    page.wait_for_url("**/ballpark")
    page.evaluate(FIRST_PAINT)
    come = """() => performance.getEntriesByType("resource").filter(({ name }) => name.endsWith(".woff2"))
      .map(({ transferSize }) => transferSize)"""
    assert page.evaluate(come) == [0, 0], "both weights were kept, and nobody was asked"
    loaded = (
        "() => [...document.fonts].filter(({ status }) => status === 'loaded').map(({ family }) => family)"
    )
    assert page.evaluate(loaded) == ["IBM Plex Sans"] * 2


def test_without_scripts_there_is_no_place_for_what_they_bring(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.route(PICTURE, lambda route: route.fulfill(body=STAND_IN, content_type="image/svg+xml"))
    page.goto(f"{site}/jobs/demo/set-out", wait_until="domcontentloaded")
    expect(page.locator("[data-unscripted]").get_by_role("button", name="Set out")).to_be_visible()
    brought = page.locator("[data-scripted]").all()
    assert len(brought) == 3
    assert [one.bounding_box() for one in brought] == [None] * 3
    context.close()
