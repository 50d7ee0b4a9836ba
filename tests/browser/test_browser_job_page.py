"""The job page in a real browser: at the bench, on a phone, by keyboard, without WebGL."""

import io
import re
from collections.abc import Callable

import numpy as np
import pytest
from browser_visit import DESK, NO_WEBGL, PHONE, SLOW_DISPLAY, Visit
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

Visits = Callable[..., Visit]
JOB = "/jobs/demo/"
SMALL = (360, 640)
"""A small picture, where only its change is looked at: the test machine draws in software."""


def top_of(page: Page, selector: str) -> float:
    box = page.locator(selector).first.bounding_box()
    assert box is not None, selector
    return box["y"]


def look(visit: Visit) -> NDArray[np.float64]:
    """The canvas of a slow display after one more frame, sRGB 0 to 255."""
    visit.page.evaluate("nextFrame()")
    shot = visit.page.locator("[data-view] canvas").screenshot()
    return np.asarray(Image.open(io.BytesIO(shot)).convert("RGB"), dtype=float)


@pytest.mark.parametrize(
    ("size", "booth"), [(DESK, "light"), (DESK, "dark"), (PHONE, "light"), ((360, 740), "dark")]
)
def test_nothing_for_axe_to_find_and_nothing_wider_than_the_page(
    visit: Visits, axe: Callable[[Page], list[str]], size: tuple[int, int], booth: str
) -> None:
    seen = visit(JOB, size, init_script=SLOW_DISPLAY, color_scheme=booth)
    seen.drawn()
    assert axe(seen.page) == []
    width, room = seen.page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert width <= room


def test_at_the_bench_drawing_view_choice_numbers_and_rod_stand_together_without_scrolling(
    visit: Visits,
) -> None:
    page = visit(JOB, DESK, init_script=SLOW_DISPLAY).page
    assert page.evaluate("document.documentElement.scrollHeight") <= DESK[1]
    for region in (".drawing", "[data-view]", ".choice", ".numbers", ".rod"):
        box = page.locator(region).bounding_box()
        assert box is not None, region
        assert box["x"] >= 0, region
        assert box["y"] >= 0, region
        assert box["x"] + box["width"] <= DESK[0], region
        assert box["y"] + box["height"] <= DESK[1], region
    for region in (".choice", ".numbers", ".drawing", ".rod"):
        hidden = page.locator(region).evaluate(
            "e => [e.scrollHeight - e.clientHeight, e.scrollWidth - e.clientWidth]"
        )
        assert max(hidden) <= 1, f"{region} hides {hidden} px"


def test_on_a_phone_the_order_is_picture_choice_quantities_drawing(visit: Visits) -> None:
    page = visit(JOB, PHONE, init_script=SLOW_DISPLAY).page
    tops = [top_of(page, region) for region in ("[data-view]", ".choice", ".numbers", ".drawing", ".rod")]
    assert tops == sorted(tops)
    assert len(set(tops)) == 5


def test_every_target_is_at_least_24_px(visit: Visits) -> None:
    page = visit(JOB, PHONE, init_script=SLOW_DISPLAY).page
    page.wait_for_selector("[data-turning]:not([hidden])")
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, a, label, select, input:not(label input)")]
          .filter((e) => e.getClientRects().length && !e.matches(".skip"))
          .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])
          .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""
    )
    assert small == []


def test_another_finish_changes_the_picture_and_the_numbers_and_asks_the_server_nothing(
    visit: Visits,
) -> None:
    seen = visit(JOB, SMALL, init_script=SLOW_DISPLAY)
    seen.page.wait_for_selector("[data-view][data-light=all]")
    before, asked = look(seen), len(seen.requests)
    seen.page.get_by_role("radio", name="Limed oak").check()
    seen.page.wait_for_selector("[data-view][data-shown='2']")
    after = look(seen)
    assert seen.requests[asked:] == []
    assert np.abs(after.mean(axis=(0, 1)) - before.mean(axis=(0, 1))).max() > 8
    shown = seen.page.locator("[data-quantities]:visible caption")
    expect(shown).to_have_count(1)
    expect(shown).to_contain_text("Limed oak")


def test_another_finish_is_drawn_in_the_next_frame(visit: Visits) -> None:
    seen = visit(JOB, SMALL)
    seen.page.wait_for_selector("[data-view][data-light=all]")
    frames = seen.page.evaluate(
        """() => new Promise((done) => {
          const view = document.querySelector("[data-view]");
          let frames = 0;
          const count = () => { frames += 1; requestAnimationFrame(count); };
          const look = () => view.dataset.shown === "2" && done(frames);
          new MutationObserver(look).observe(view, { attributes: true });
          requestAnimationFrame(() => {
            document.querySelectorAll("input[name=finish]")[2].click();
            requestAnimationFrame(count);
          });
        })"""
    )
    assert frames <= 1


def test_arrow_keys_and_buttons_turn_the_view(visit: Visits) -> None:
    seen = visit(JOB, SMALL, init_script=SLOW_DISPLAY)
    seen.drawn()
    canvas = seen.page.get_by_role("application")
    canvas.focus()
    looks = [look(seen)]
    for move in ("ArrowRight", "ArrowUp", "+", "-"):
        seen.page.keyboard.press(move)
        looks.append(look(seen))
    for name in ("Turn left", "Turn down", "Nearer", "Farther"):
        seen.page.get_by_role("button", name=name, exact=True).click()
        looks.append(look(seen))
    # a view that only settles changes by less than a step a pixel
    moved = np.abs(np.diff(looks, axis=0)).mean(axis=(1, 2, 3))
    assert moved.min() > 1.5, moved


def test_without_webgl_the_still_stands_there_and_says_why(visit: Visits) -> None:
    seen = visit(JOB, init_script=NO_WEBGL)
    still = seen.page.locator("[data-still]")
    seen.page.wait_for_selector("[data-view][data-state=still]")
    assert seen.page.locator("[data-view] canvas").count() == 0
    expect(seen.page.locator("[data-notice]")).to_contain_text("cannot draw")
    assert not any("three" in url for url in seen.requests)
    seen.page.get_by_role("radio", name="Honey on pine").check()
    expect(still).to_have_attribute("src", re.compile("finish=1"))
    assert still.evaluate("e => e.decode().then(() => e.naturalWidth)") > 100


def test_the_rod_reads_out_its_marks_by_arrow_keys(visit: Visits) -> None:
    page = visit(JOB, init_script=NO_WEBGL).page
    slider = page.get_by_role("slider", name="Rod")
    slider.focus()
    page.keyboard.press("End")
    reading = page.locator("[data-rod-reading]")
    assert reading.inner_text().startswith("End of the run")
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    words = reading.inner_text()
    assert words.startswith("Slat 1:") or words.startswith("Start of the run")
    assert slider.get_attribute("aria-valuetext") == words
    assert page.locator("[data-elevation] svg:visible [data-place]").count() == 1


def test_the_surround_goes_dark_and_stays_dark(visit: Visits) -> None:
    page = visit(JOB, init_script=SLOW_DISPLAY).page
    switch = page.get_by_role("button", name="Dark surround")
    expect(switch).to_have_attribute("aria-pressed", "false")
    switch.click()
    expect(switch).to_have_attribute("aria-pressed", "true")
    page.reload(wait_until="domcontentloaded")
    expect(switch).to_have_attribute("aria-pressed", "true")
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert ground == "rgb(59, 59, 59)"  # L* 25, a* = b* = 0


def test_without_scripts_the_page_still_shows_choice_numbers_and_drawing(visit: Visits) -> None:
    page = visit(JOB + "?finish=1", java_script_enabled=False).page
    assert page.get_by_role("radio", name="Honey on pine").is_checked()
    assert page.get_by_role("button", name="Show this choice").is_visible()
    assert page.locator("[data-elevation] svg:visible").count() == 1
