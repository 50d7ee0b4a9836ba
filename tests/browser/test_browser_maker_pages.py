"""The pages around choosing and making, at three widths: nothing for axe, too wide or too small."""

from collections.abc import Callable
from pathlib import Path

import pytest
import two_walls
from browser_visit import DESK, NO_WEBGL, PHONE, Visit
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

PAGES = (
    "/ballpark?length=4&height=2.5&timber=softwood",
    "/jobs/demo/as-made?slats.as_machined_mm.width=43&slats.as_machined_mm.depth=20",
    "/jobs/demo/lightings?at=1",
    "/jobs/demo/stills",
    "/jobs/demo/sample",
    "/jobs/demo/board?for=client&tick=coats",
)
SMALL_TARGETS = """() => [...document.querySelectorAll("button, a, select, summary, input:not([type=radio])")]
  .filter((e) => e.getClientRects().length && !e.matches(".skip, p a, .unseen"))
  .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])
  .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""


@pytest.mark.parametrize("path", PAGES)
def test_at_the_bench_and_on_phones(
    visit: Callable[..., Visit], axe: Callable[[Page], list[str]], path: str
) -> None:
    page = visit(path, init_script=NO_WEBGL).page
    for width, height in (DESK, PHONE, (360, 740)):
        page.set_viewport_size({"width": width, "height": height})
        assert axe(page) == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(SMALL_TARGETS) == [], width


def test_a_lamp_is_moved_by_hand_and_by_keys(visit: Callable[..., Visit]) -> None:
    page = visit("/jobs/demo/lightings?at=1").page
    across, out = (page.locator(f'[name="lightings[1].lamps[0].centre_mm[{axis}]"]') for axis in (0, 2))
    start = float(across.input_value())
    lamp = page.locator("[data-lamp]").first
    lamp.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(across).to_have_value(f"{start + 110:.0f}")
    box, before = lamp.locator("rect").bounding_box(), float(out.input_value())
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + 30)
    page.mouse.up()
    assert float(out.input_value()) > before + 100
    assert across.input_value() == f"{start + 110:.0f}"
    across.fill("1000")
    transform = lamp.get_attribute("transform") or ""
    assert transform.startswith("translate(1000 "), "what is typed moves the lamp in the drawing"


def test_the_section_of_each_wall_moves_lamps_away_from_that_wall(
    visit: Callable[..., Visit], axe: Callable[[Page], list[str]], site: str
) -> None:
    page = visit(f"{two_walls.keep(site)}lightings").page
    sections = page.locator(".sections figure")
    first, second = sections.nth(0), sections.nth(1)
    expect(first).to_be_visible()
    expect(second).to_be_hidden()
    page.get_by_role("radio", name="Wall 2").check()
    expect(first).to_be_hidden()
    panel = second.get_by_role("application", name="panel in Section of wall 2, from its left")
    panel.focus()
    page.keyboard.press("Shift+ArrowRight")
    place = [page.locator(f'[name="lightings[0].lamps[1].centre_mm[{axis}]"]') for axis in range(3)]
    assert [box.input_value() for box in place] == ["400", "2190", "900"], "out of wall 2 is to the left"
    for size in (DESK, (360, 740)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        assert axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert page.evaluate(SMALL_TARGETS) == []
    page.get_by_role("button", name="Keep these lamps").click()
    expect(page.get_by_role("radio", name="Wall 2")).to_be_checked()
    expect(place[0]).to_have_value("400")


def test_corners_of_a_photograph_are_moved_by_keys(visit: Callable[..., Visit], tmp_path: Path) -> None:
    from PIL import Image

    Image.new("RGB", (400, 300), (120, 90, 60)).save(tmp_path / "off-cut.jpg")
    page = visit("/jobs/demo/sample").page
    page.locator("#photo").set_input_files(tmp_path / "off-cut.jpg")
    page.get_by_role("button", name="Take it in").click()
    corner = page.get_by_role("application", name="top left of the off-cut")
    expect(corner).to_be_visible(timeout=30_000)
    page.wait_for_load_state("domcontentloaded")  # its scripts listen
    before = page.locator("#off_cut").input_value()
    corner.focus()
    page.keyboard.press("Shift+ArrowRight")
    after = page.locator("#off_cut").input_value()
    first, moved = (float(text.split(",")[0]) for text in (before, after))
    assert moved == pytest.approx(first + 0.02)
    assert after.split()[2:] == [
        f"{float(x):.4f},{float(y):.4f}" for x, y in (p.split(",") for p in before.split()[2:])
    ]
