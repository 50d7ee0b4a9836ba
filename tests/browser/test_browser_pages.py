"""Every other page of a job, at the bench and on a phone: nothing for axe, nothing too wide, no fault."""

from collections.abc import Callable

import pytest
from browser_visit import DESK, PHONE, Visit
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

PAGES = (
    "/",
    "/jobs/demo/survey",
    "/jobs/demo/set-out",
    "/jobs/demo/finish",
    "/jobs/demo/board",
    "/jobs/demo/sheets",
    "/jobs/demo/sheets/rod-full-size",
    "/jobs/demo/panels/1-2",
    "/jobs/demo/changes",
    "/jobs/demo/files",
)


@pytest.mark.parametrize("path", PAGES)
def test_nothing_for_axe_to_find_nothing_too_wide_and_no_target_too_small(
    visit: Callable[..., Visit], axe: Callable[[Page], list[str]], path: str
) -> None:
    page = visit(path, DESK).page
    for width, height in (DESK, PHONE, (360, 740)):
        page.set_viewport_size({"width": width, "height": height})
        assert axe(page) == [], width
        needed, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert needed <= room
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, a, select, summary, input:not([type=radio])")]
              .filter((e) => e.getClientRects().length && !e.matches(".skip, p a"))
              .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])
              .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""
        )
        assert small == [], width


def test_from_an_empty_list_to_a_measured_wall_by_keyboard(visit: Callable[..., Visit]) -> None:
    page = visit("/").page
    page.get_by_role("button", name="Measure a new wall").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/survey")
    width = page.get_by_label("Width").first
    width.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("11' 9 3/4\"")
    page.keyboard.press("Enter")
    expect(page.locator(".sketch svg:visible")).to_have_count(1)  # drawn only once the width is kept
    expect(page.get_by_label("Width").first).to_have_value("11' 9 3/4\"")
    page.get_by_role("link", name="Set-out").click()
    page.wait_for_url("**/set-out")
    page.get_by_label("Gap wished for").fill("20")
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "=20" in url)
    page.get_by_role("button", name="Keep this").click()
    page.wait_for_url(lambda url: "?" not in url)
    expect(page.get_by_label("Gap wished for")).to_have_value("20")


def test_a_fault_stands_at_its_field_and_the_typing_stays(visit: Callable[..., Visit]) -> None:
    page = visit("/").page
    page.get_by_role("button", name="Look at the demo wall").click()
    page.get_by_role("link", name="Survey").click()
    height = page.get_by_label("Height").first
    height.fill("eight feet")
    page.get_by_role("button", name="Save").click()
    height = page.get_by_label("Height").first
    expect(height).to_have_attribute("aria-invalid", "true")
    expect(height).to_have_value("eight feet")
    described = page.locator(f"#{height.get_attribute('aria-describedby')}")
    assert "expected a number" in described.inner_text()
