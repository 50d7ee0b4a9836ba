"""The client's way on a phone, by roles and names alone: look, turn, compare, remark, choose, sign."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from browser_visit import DESK, NO_WEBGL, PHONE, Visit
from playwright.sync_api import Browser, Page, expect
from signing_site import SigningSite
from signoff_site import PASSWORD

from viewer.signoff.keys import fingerprint
from viewer.signoff.verify import verify

pytestmark = pytest.mark.browser

Visits = Callable[..., Visit]
PATIENCE_MS = 60_000
"""Light for the turning view is solved when it is first asked for, and what is asked meanwhile waits."""


SMALL_TARGETS = """() => [...document.querySelectorAll("button, a, label, select, summary, input")]
  .filter((e) => e.getClientRects().length && !e.matches(".skip, p a, label input, [type=hidden]"))
  .map((e) => [e.outerHTML.slice(0, 90), e.getBoundingClientRect()])
  .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""


def fill_in(page: Page, name: str) -> None:
    """Tick every line and fill in the rest of the form to sign."""
    lines = page.get_by_role("group", name="What I know").get_by_role("checkbox")
    for number in range(lines.count()):
        lines.nth(number).check()
    page.get_by_role("checkbox", name="by day, in this room").check()
    page.get_by_role("textbox", name="Off-cut number").fill("OC-12")
    page.get_by_role("textbox", name="Name").fill(name)


def test_from_the_link_to_the_signed_page(visit: Visits, signing: SigningSite) -> None:
    offer = signing.offer()
    page = visit(signing.link(offer), PHONE, has_touch=True, is_mobile=True).page
    expect(page.get_by_role("heading", level=1)).to_have_text("Reading room, north wall")

    turning = page.get_by_role("application", name="wall")
    expect(turning).to_be_visible(timeout=PATIENCE_MS)
    page.get_by_role("button", name="Turn left").tap()
    page.get_by_role("radio", name="evening").check()
    figure = page.get_by_role("figure")
    expect(figure).to_contain_text("light: evening")
    page.get_by_role("radio", name="Honey on pine").check()
    expect(figure).to_contain_text("Honey on pine")

    page.get_by_role("button", name="Mark a place in the still").tap()
    place = page.get_by_role("application", name="Place in the still")
    expect(place).to_be_focused()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("status").filter(has_text="52 % from the left")).to_be_visible()
    page.get_by_role("radio", name="a change I ask for").check()
    page.get_by_role("textbox", name="Remark").fill("Could the socket go lower?")
    page.get_by_role("button", name="Send the remark").tap()
    expect(page.get_by_role("listitem").filter(has_text="Could the socket go lower?")).to_be_visible(
        timeout=PATIENCE_MS
    )
    (said,) = signing.store.offers.remarks(offer)
    assert (said.kind, said.x, said.y) == ("change", 0.52, 0.5)

    # nothing that was chosen is lost by having said something
    expect(page.get_by_role("radio", name="Honey on pine")).to_be_checked()
    fill_in(page, "B. Client (invented)")
    page.get_by_role("button", name="Sign this offer").tap()
    signed = page.get_by_role("region", name="Signature")
    expect(signed).to_contain_text(
        "by B. Client (invented): Honey on pine, off-cut OC-12", timeout=PATIENCE_MS
    )
    with page.expect_download() as kept:
        signed.get_by_role("link", name="Keep the record (file)").tap()
    data = Path(kept.value.path()).read_bytes()
    assert verify(data, key=fingerprint(signing.store.records.signer.public)).intact
    choice = json.loads(data)["entries"][-1]["sections"]["choice"]
    assert (choice["finish"], choice["drawn"]) == ("Honey on pine", None)


def test_a_signature_is_drawn(visit: Visits, signing: SigningSite) -> None:
    page = visit(signing.link(signing.offer()), PHONE, NO_WEBGL, has_touch=True, is_mobile=True).page
    fill_in(page, "C. Client (invented)")
    pad = page.get_by_role("img", name="Draw your signature")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box
    page.mouse.move(box["x"] + 30, box["y"] + 60)
    page.mouse.down()
    for x, y in ((80, 20), (120, 70), (200, 30)):
        page.mouse.move(box["x"] + x, box["y"] + y)
    page.mouse.up()
    page.get_by_role("button", name="Sign this offer").tap()
    expect(page.get_by_role("region", name="Signature")).to_contain_text(
        "C. Client (invented)", timeout=PATIENCE_MS
    )
    entry = signing.store.records.entries("demo")[-1]
    assert entry.sections["choice"]["drawn"]


def test_the_offer_as_a_file_works_from_the_disk_without_a_network(
    browser: Browser, signing: SigningSite, axe: Callable[[Page], list[str]], tmp_path: Path
) -> None:
    file = tmp_path / "offer.html"
    file.write_bytes(signing.file(signing.offer()))
    assert file.stat().st_size < 6_000_000
    held = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, offline=True)
    seen = Visit(held.new_page(), "file:")
    seen.watch()
    page = seen.page
    page.goto(file.as_uri())
    expect(page.get_by_role("application", name="wall")).to_be_visible(timeout=PATIENCE_MS)
    page.get_by_role("radio", name="evening").check()
    page.get_by_role("radio", name="Honey on pine").check()
    page.get_by_role("button", name="Turn left").click()
    expect(page.get_by_role("figure").first).to_contain_text("Honey on pine, light: evening")
    with page.expect_download() as kept:
        page.get_by_role("link", name="Sheet to print and sign (PDF)").click()
    assert Path(kept.value.path()).read_bytes().startswith(b"%PDF-")
    assert axe(page) == []
    held.close()
    assert seen.faults == []
    assert [url for url in seen.requests if not url.startswith(("file:", "blob:", "data:"))] == []


def test_every_page_of_the_sign_off_is_for_everybody(
    visit: Visits, signing: SigningSite, axe: Callable[[Page], list[str]]
) -> None:
    """Nothing for axe to find and nothing wider than a phone, from the sign-in to the handover."""
    page = visit(f"{signing.address}/sign-in", PHONE, NO_WEBGL).page
    looked_at = []

    def look(what: str) -> None:
        expect(page.get_by_role("main")).to_be_visible()
        assert axe(page) == [], what
        width, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert width <= room, what
        small = page.evaluate(SMALL_TARGETS)
        assert small == [], what
        looked_at.append(what)

    look("the way in")
    page.get_by_role("textbox", name="Name").fill("maker")
    page.get_by_role("textbox", name="Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Signed in").click()
    page.get_by_role("button", name="Sign a phone in").click()
    expect(page.get_by_role("button", name="Make another code")).to_be_visible()
    look("devices, with a code")
    offer = signing.offer()
    page.goto(f"{signing.address}/offers/{offer}/")
    page.get_by_role("button", name="Make a link").click()
    page.get_by_text("Signed on paper").click()
    look("one offer, with its link")
    page.get_by_role("link", name="Show it on this screen").click()
    expect(page.get_by_role("button", name="Sign this offer")).to_be_visible()
    look("the client's page")
    fill_in(page, "D. Client (invented)")
    page.get_by_role("button", name="Sign this offer").click()
    expect(page.get_by_role("region", name="Signature")).to_be_visible(timeout=PATIENCE_MS)
    look("the signed page")
    page.goto(f"{signing.address}/jobs/demo/offers")
    page.get_by_text("New offer, or a variation").click()
    look("the ledger, after the signature")
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})
    look("the ledger on a desk")
    assert len(looked_at) == 7
