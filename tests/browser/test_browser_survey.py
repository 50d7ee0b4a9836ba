"""The survey in a browser: it keeps itself, loses no typing, shows two saves, takes openings by grips."""

from collections.abc import Callable
from pathlib import Path

import pytest
from browser_visit import DESK, PHONE, Visit
from playwright.sync_api import Locator, Page, expect

PICTURE = Path(__file__).parents[2] / "static/readme.jpg"

pytestmark = pytest.mark.browser

Visits = Callable[..., Visit]


def new_survey(visit: Visits, size: tuple[int, int] = DESK, **context: object) -> Visit:
    seen = visit("/", size, **context)
    seen.page.get_by_role("button", name="Measure a new wall").click()
    seen.page.wait_for_url("**/survey")
    return seen


def kept(page: Page) -> Locator:
    return page.locator("[data-kept]")


def box(page: Page, name: str) -> Locator:
    return page.locator(f'[name="{name}"]')


def add_opening(page: Page) -> Locator:
    """One more opening; its grip."""
    count = page.locator("[data-grip]").count()
    page.get_by_role("button", name="Add an opening").click()
    expect(page.locator("[data-grip]")).to_have_count(count + 1)
    return page.locator(f'[data-grip="openings[{count}]"]')


def test_it_keeps_itself_and_a_fault_comes_and_goes_at_its_field(visit: Visits) -> None:
    page = new_survey(visit).page
    height = page.get_by_label("Height").first
    height.fill("8' 4 3/8\"")
    expect(page.get_by_text("2549.525 mm", exact=True)).to_be_visible()
    height.fill("tall")
    expect(height).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".problem")).to_have_text('expected a number from 300 to 12000 mm, not "tall"')
    height.fill("2500")
    expect(height).not_to_have_attribute("aria-invalid", "true")
    expect(kept(page)).to_have_text("Kept.")
    page.reload()
    expect(page.get_by_label("Height").first).to_have_value("2500")


def test_without_a_signal_typing_and_rows_wait_here_and_are_sent_later(visit: Visits) -> None:
    seen = new_survey(visit)
    page, context = seen.page, seen.page.context
    add_opening(page)
    expect(kept(page)).to_have_text("Kept.")
    context.set_offline(True)
    page.get_by_label("Width").first.fill("3210")
    page.get_by_role("button", name="Add an opening").click()
    expect(box(page, "openings[1].kind")).to_be_focused()
    expect(box(page, "openings[1].left_mm")).to_have_value("446")
    box(page, "openings[1].kind").select_option("window")
    box(page, "openings[1].left_mm").fill("1200")
    page.get_by_role("button", name="Add a zone").click()
    page.get_by_role("button", name="Take away 1 Socket").click()
    page.get_by_role("button", name="Go on round the corner").click()
    page.get_by_role("button", name="Add a zone").last.click()
    box(page, "next_walls[0].zones[0].width_mm").fill("2' 1\"")
    expect(page.locator("[data-grip]")).to_have_count(0)
    expect(kept(page)).to_contain_text("No connection")
    page.get_by_label("Photos").set_input_files([PICTURE, PICTURE])
    page.get_by_role("button", name="Add them").click()
    expect(page.get_by_alt_text("A photo that waits to be sent")).to_have_count(2)
    expect(page.get_by_text("No connection: photos")).to_be_visible()
    page.get_by_role("listitem").get_by_role("button", name="Take away").first.click()
    expect(page.get_by_alt_text("A photo that waits to be sent")).to_have_count(1)
    address = page.url
    page.goto("about:blank")
    context.set_offline(False)
    page.goto(address)
    expect(page.get_by_label("Width").first).to_have_value("3210")
    expect(kept(page)).to_have_text("Kept.")
    expect(box(page, "openings[0].left_mm")).to_have_value("1200")
    expect(page.locator('[data-grip="next_walls[0].zones[0]"]')).to_be_visible()
    expect(page.get_by_alt_text("The wall before, photo 1")).to_be_visible()
    page.reload()
    expect(page.locator(".photos img")).to_have_count(1)
    expect(box(page, "openings[0].kind")).to_have_value("window")
    expect(box(page, "next_walls[0].zones[0].width_mm")).to_have_value("2' 1\"")
    expect(page.locator(".survey [data-row]")).to_have_count(4)
    expect(kept(page)).to_have_text("Kept.")
    page.get_by_role("link", name="Set-out").click()
    expect(page.locator("[data-part=walls]")).to_contain_text("3210")
    assert seen.faults, "the browser named the lost connection"
    seen.faults.clear()


def test_the_later_of_two_saves_is_told_of_the_earlier_and_shown_both(visit: Visits) -> None:
    seen = new_survey(visit)
    first, second = seen.page, seen.page.context.new_page()
    second.goto(first.url)
    expect(kept(second)).to_have_text("Kept.")
    first.get_by_label("Height").first.fill("2500")
    expect(first.locator(".sketch desc").first).to_contain_text("by 2500 mm")
    second.get_by_label("Height").first.fill("2450")
    expect(second.get_by_role("alert")).to_contain_text("Someone saved this survey meanwhile")
    expect(second.get_by_role("row", name="Height, at the left 2450 2500")).to_be_visible()
    expect(second.get_by_label("Height").first).to_have_value("2450")
    second.get_by_role("button", name="Keep yours").click()
    expect(second.get_by_role("alert")).to_have_count(0)
    expect(kept(second)).to_have_text("Kept.")
    first.reload()
    expect(first.get_by_label("Height").first).to_have_value("2450")


def test_an_opening_is_dragged_in_whole_millimetres_and_its_numbers_follow(visit: Visits) -> None:
    page = new_survey(visit).page
    grip = add_opening(page)
    at = grip.bounding_box()
    svg = page.locator(".sketch svg:visible")
    drawn = svg.bounding_box()
    assert at is not None
    assert drawn is not None
    units, scale = svg.evaluate("e => [e.viewBox.baseVal.width, Number(e.dataset.scale)]")
    page.mouse.move(at["x"] + 5, at["y"] + 5)
    page.mouse.down()
    page.mouse.move(at["x"] + 65, at["y"] - 35, steps=3)
    left, bottom = (box(page, f"openings[0].{side}_mm").input_value() for side in ("left", "bottom"))
    mm_per_pixel = units / drawn["width"] / scale
    assert (left, bottom) == (str(round(300 + 60 * mm_per_pixel)), str(round(300 + 40 * mm_per_pixel)))
    page.mouse.up()
    expect(kept(page)).to_have_text("Kept.")
    expect(page.locator(".sketch desc").first).to_contain_text(f"Socket at {left} mm, {bottom} mm above")


def test_arrow_keys_move_an_opening_and_the_focus_stays_on_it(visit: Visits) -> None:
    page = new_survey(visit).page
    grip = add_opening(page)
    grip.focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp", "ArrowDown"):
        page.keyboard.press(key)
    expect(box(page, "openings[0].left_mm")).to_have_value("302")
    expect(box(page, "openings[0].bottom_mm")).to_have_value("309")
    expect(page.locator(".sketch desc").first).to_contain_text("Socket at 302 mm, 309 mm above")
    expect(grip).to_be_focused()
    expect(grip).to_have_attribute(
        "aria-label", "Socket 86 × 86 mm: 302 mm from the left, 309 mm from the floor"
    )


def test_a_wall_goes_on_round_the_corner_without_a_reload(visit: Visits) -> None:
    page = new_survey(visit).page
    page.get_by_label("Name").fill("Niche")
    page.get_by_role("button", name="Go on round the corner").click()
    expect(page.get_by_role("heading", name="Wall 2, round the corner")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("Niche")
    expect(box(page, "next_walls[0].turns")).to_be_focused()
    page.get_by_role("button", name="Take this wall away").click()
    expect(page.get_by_role("heading", name="Wall 2, round the corner")).to_have_count(0)


def test_on_a_phone_signs_of_the_tape_are_one_press_away(visit: Visits) -> None:
    page = new_survey(visit, PHONE, has_touch=True, is_mobile=True).page
    width = page.get_by_label("Width").first
    expect(width).to_have_attribute("inputmode", "decimal")
    width.fill("")
    width.press_sequentially("7")
    page.get_by_role("button", name="'", exact=True).tap()
    expect(width).to_be_focused()
    width.press_sequentially("10")
    page.get_by_role("button", name="space").tap()
    width.press_sequentially("1")
    page.get_by_role("button", name="/", exact=True).tap()
    width.press_sequentially("2")
    page.get_by_role("button", name='"', exact=True).tap()
    expect(width).to_have_value("7'10 1/2\"")
    expect(page.get_by_text("2400.3 mm", exact=True).first).to_be_visible()
