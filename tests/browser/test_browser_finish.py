"""The finish page in a real browser: the view follows the form without a reload."""

from collections.abc import Callable

import pytest
from browser_visit import NO_WEBGL, SLOW_DISPLAY, Visit
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

Visits = Callable[..., Visit]
PAGE = "/jobs/demo/finish"
SMALL = (360, 640)


def asked(seen: Visit, before: int) -> list[str]:
    """What was requested since, without pictures of bands and the tones that follow by themselves."""
    paths = [url.removeprefix(seen.site) for url in seen.requests[before:]]
    return [path for path in paths if not path.startswith(("/bands.png", PAGE + "/tones"))]


def test_a_candidate_asks_nothing_and_anything_else_once(visit: Visits) -> None:
    seen = visit(PAGE, SMALL, init_script=SLOW_DISPLAY)
    page, view = seen.page, seen.page.locator("[data-view]")
    page.wait_for_selector("[data-view][data-light=all]", timeout=60_000)
    before = len(seen.requests)
    page.get_by_role("link", name="Limed oak").click()
    expect(view).to_have_attribute("data-shown", "2")
    expect(page.get_by_label("Timber")).to_have_value("European oak")
    assert seen.requests[before:] == []
    page.get_by_label("Timber").select_option("Scots pine")
    expect(page.locator("[data-reading]:visible")).to_contain_text("Scots pine, limed white in 2 coats")
    key = page.locator("[data-tried]").get_attribute("data-reading")
    assert key
    expect(view).to_have_attribute("data-shown", key)
    assert [path.partition("?")[0] for path in asked(seen, before)] == [PAGE + "/tried"]
    page.reload()
    expect(page.get_by_label("Timber")).to_have_value("Scots pine")


def test_an_own_tone_is_mixed_by_keyboard_and_kept(visit: Visits) -> None:
    page = visit("/", init_script=NO_WEBGL).page
    page.get_by_role("button", name="Look at the demo wall").click()
    page.get_by_role("link", name="Finish").click()
    parts = page.get_by_label("Parts of the second tone")
    page.get_by_label("Second tone", exact=True).select_option("honey")
    parts.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("0")
    page.keyboard.press("Tab")
    expect(page.locator("[data-reading]:visible")).to_contain_text("expected parts of volume")
    parts.fill("3")
    page.keyboard.press("Tab")
    expect(page.locator("[data-reading]:visible")).to_contain_text("2 : 3 of walnut and honey")
    page.get_by_role("button", name="Choose this").press("Enter")
    page.wait_for_url(lambda url: "?" not in url)
    expect(page.locator("[data-reading]:visible")).to_contain_text("This is the chosen finish")
    expect(page.locator("[data-reading]:visible")).to_contain_text("2 : 3 of walnut and honey")
