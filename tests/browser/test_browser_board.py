"""The board in a real browser: one context, all cells turned together; graphics that go and come back."""

import io
from collections.abc import Callable, Sequence

import pytest
from browser_visit import NO_WEBGL, PHONE, Visit
from PIL import Image
from playwright.sync_api import FloatRect, Page, expect

pytestmark = pytest.mark.browser

Visits = Callable[..., Visit]
SMALL = (320, 600)
FOUR = "/jobs/demo/board?finish=0&finish=1&lighting=0&lighting=1"
COUNT_CONTEXTS = """
  window.contexts = new Set();
  const given = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
    const found = given.call(this, kind, ...rest);
    if (kind === "webgl2" && this.isConnected) window.contexts.add(found);
    window.lastContext = found;
    return found;
  };
"""


def parts(page: Page, places: Sequence[FloatRect | None]) -> list[bytes]:
    """What the window shows in each of some places."""
    shown = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    return [
        shown.crop((one["x"], one["y"], one["x"] + one["width"], one["y"] + one["height"])).tobytes()
        for one in places
        if one
    ]


def test_a_board_turns_together_on_one_context(visit: Visits) -> None:
    seen = visit(FOUR, SMALL, init_script=COUNT_CONTEXTS, stills=False)
    seen.shrink("[data-board]")
    board = seen.page.locator("[data-board]")
    expect(board).to_have_attribute("data-light", "all")
    expect(board).to_have_attribute("data-state", "rest")
    assert seen.page.evaluate("window.contexts.size") == 1
    board.focus()
    cells = [cell.bounding_box() for cell in seen.page.locator("[data-cell]").all()]
    before = parts(seen.page, cells)
    # a few cells are drawn and at rest again within a frame or two: what has been is noted, not caught
    board.evaluate(
        """(board) => {
          window.drawing = new Promise((done) => {
            const look = () => board.dataset.state === "drawing" && done(true);
            new MutationObserver(look).observe(board, { attributes: true });
          });
        }"""
    )
    seen.page.keyboard.press("ArrowRight")
    assert seen.page.evaluate("window.drawing")
    expect(board).to_have_attribute("data-state", "rest")
    after = parts(seen.page, cells)
    assert len(before) == 4
    assert all(one != other for one, other in zip(before, after, strict=True))


def test_without_webgl_a_board_shows_its_stills(visit: Visits) -> None:
    page = visit("/jobs/demo/board", PHONE, init_script=NO_WEBGL, stills=False).page
    expect(page.locator("[data-board]")).to_have_attribute("data-state", "still")
    expect(page.locator("[data-notice]")).to_contain_text("cannot draw")
    cells = page.locator("[data-cell]")
    expect(page.locator("[data-cell] img")).to_have_count(cells.count())


def test_graphics_that_are_lost_leave_the_still_and_come_back(visit: Visits) -> None:
    seen = visit("/jobs/demo/", SMALL, init_script=COUNT_CONTEXTS, stills=False)
    frame, canvas = seen.page.locator("[data-view]"), seen.page.locator("[data-view] canvas")
    seen.shrink("[data-view]")
    seen.drawn()
    seen.page.evaluate("window.lost = [...window.contexts][0].getExtension('WEBGL_lose_context')")
    seen.page.evaluate("window.lost.loseContext()")
    expect(frame).to_have_attribute("data-state", "still")
    expect(canvas).to_be_hidden()
    expect(seen.page.locator("[data-notice]")).to_be_visible()
    seen.page.evaluate("window.lost.restoreContext()")
    expect(canvas).to_be_visible()
    expect(frame).to_have_attribute("data-state", "rest")


def test_at_most_two_pixels_a_point_and_nothing_drawn_at_rest(visit: Visits) -> None:
    seen = visit("/jobs/demo/", (300, 400), device_scale_factor=3, reduced_motion="reduce", stills=False)
    seen.shrink("[data-view]")
    seen.page.wait_for_selector("[data-view][data-light=all]")
    seen.rest()
    canvas = seen.page.locator("[data-view] canvas")
    width, points = canvas.evaluate("e => [e.width, e.clientWidth]")
    assert width == 2 * points
    frames = seen.page.evaluate(
        """() => new Promise((done) => {
          let frames = 0;
          const view = document.querySelector("[data-view]");
          new MutationObserver(() => { frames += 1; }).observe(view, { attributes: true });
          setTimeout(() => done(frames), 400);
        })"""
    )
    assert frames == 0
