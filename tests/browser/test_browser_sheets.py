"""The sheets page prints as the sheets it shows: one a page, at the paper's own size."""

from collections.abc import Callable
from pathlib import Path

import pytest
from browser_visit import Visit
from paper_read import POINTS_PER_MM, sizes
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

# ISO 216 A4 and ANSI/ASME Y14.1 size A, in mm
A4, LETTER = (210.0, 297.0), (215.9, 279.4)


@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_setting_out_prints_one_sheet_a_page(
    visit: Callable[..., Visit], tmp_path: Path, paper: str, size: tuple[float, float]
) -> None:
    page = visit(f"/jobs/demo/sheets/setting-out?paper={paper}").page
    printed = sizes(page.pdf(prefer_css_page_size=True), tmp_path)
    upright = (round(size[0] * POINTS_PER_MM), round(size[1] * POINTS_PER_MM))
    # the elevation lies
    assert [(round(width), round(height)) for width, height in printed] == [upright[::-1], upright]


def test_on_a_phone_the_sheets_come_first_and_one_is_read_at_full_size(visit: Callable[..., Visit]) -> None:
    page = visit("/jobs/demo/sheets/setting-out").page
    drawers = page.locator("[data-drawers]")
    page.set_viewport_size({"width": 1280, "height": 800})
    expect(drawers).to_have_attribute("open", "")
    page.set_viewport_size({"width": 390, "height": 844})
    expect(drawers).not_to_have_attribute("open", "")
    assert page.evaluate("document.querySelector('.leaf').getBoundingClientRect().top") < 844 / 2
    page.locator(".enlarge a").first.click()
    page.wait_for_selector(".leaf.whole")
    # A4 lying at 96 CSS pixels an inch
    assert page.evaluate("document.querySelector('.leaf svg').clientWidth") >= 297 / 25.4 * 96
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_one_sheet_that_is_shown_at_full_size_prints_as_one_page(
    visit: Callable[..., Visit], tmp_path: Path
) -> None:
    page = visit("/jobs/demo/sheets/setting-out?sheet=0&paper=Letter").page
    printed = sizes(page.pdf(prefer_css_page_size=True), tmp_path)
    upright = tuple(round(length * POINTS_PER_MM) for length in LETTER)
    assert [(round(width), round(height)) for width, height in printed] == [upright[::-1]]
