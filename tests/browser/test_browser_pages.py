"""Every other page of a job, at the bench and on a phone: nothing for axe, nothing too wide, no fault."""

from collections.abc import Callable

import pytest
from browser_visit import DESK, PHONE, SLOW_DISPLAY, Visit
from playwright.sync_api import Page

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
    page = visit(path, DESK, init_script=SLOW_DISPLAY).page
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
