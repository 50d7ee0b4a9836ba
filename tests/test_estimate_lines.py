"""From counts to lines: every figure by hand, and what moved between two estimates, in words."""

from dataclasses import replace
from decimal import Decimal

import pytest

from viewer.estimate.ballpark import ballpark
from viewer.estimate.changes import changes
from viewer.estimate.compare import comparisons, per_unit
from viewer.estimate.items import ITEMS
from viewer.estimate.lines import needs_of
from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.practice import Labour, Practice
from viewer.estimate.prices import PriceList
from viewer.estimate.reading import read_prices
from viewer.estimate.total import estimate
from viewer.estimate.work import Strips, Work

WORK = Work(
    sections=Strips(of="44 x 94 Scots pine", lengths={Decimal(2700): 20}),
    ready_strips=(Strips(of="40 x 16 Scots pine", lengths={Decimal(2700): 74}),),
    slats=72,
    slat_pieces=76,
    slat_m=Decimal("174"),
    spares=2,
    culls=4,
    small_strips_m={"trim 12 x 29": Decimal("2.4")},
    sheets=4,
    sheet_of="12 mm 1220 x 2440",
    panels=7,
    joint_m=Decimal("14.58"),
    edge_m2=Decimal(0),
    shadow_m2=Decimal("0.5"),
    run_m=Decimal("4.176"),
    face_m2=Decimal("10"),
    openings=2,
    fixings=56,
    fixings_on_studs=0,
    wall_build="masonry",
    pin_mm=Decimal(25),
)
FIRST = Part(label="first coat", quantity=Quantity.between(1, "1.8", 3))  # type: ignore[arg-type]
SECOND = Part(label="second coat", quantity=Quantity.exactly(Decimal("0.9")))
ONE_COAT = Need(item="stain", of="walnut", parts=(FIRST,))
TWO_COATS = Need(item="stain", of="walnut", parts=(FIRST, SECOND))


def by_item(work: Work, **fields: object) -> dict[str, Need]:
    return {need.item: need for need in needs_of(work, (ONE_COAT,), **fields)}  # type: ignore[arg-type]


def test_lines_by_hand() -> None:
    """Pins: 580 at 300 mm along 174 m, one more a piece, a tenth spare: 656 + 66. Discs: 72 + 2 slats by 8,
    7 and 6, up to 10, 11 and 13 a grit, two grits. 56 points: 56 + 6 screws, 56 plugs, 112 packers. Black
    paint: 0.5 m2 twice at 10 m2 a litre."""
    found = by_item(WORK)
    likely = {item: need.quantity.likely for item, need in found.items()}
    assert likely == {
        "section": 20,
        "small_strip": Decimal("2.4"),
        "sheet": 4,
        "black_paint": Decimal("0.1"),
        "pins": 722,
        "tape": Decimal("14.58"),
        "stain": Decimal("1.8"),
        "discs": 22,
        "screws": 62,
        "plugs": 56,
        "packers": 112,
        "ledger": Decimal("4.176"),
    }
    assert (found["discs"].quantity.low, found["discs"].quantity.high) == (20, 26)
    assert found["pins"].note == "no longer than 25 mm: from the back, board and slat less 3 mm"


@pytest.mark.parametrize(
    ("build", "on_studs", "of", "count"),
    [
        ("masonry", 20, "masonry", 56),
        ("board_on_studs", 20, "plasterboard", 36),
        ("board_on_dabs", 20, "masonry, through the board", 56),
        ("lath", 20, "lath and plaster", 36),
        ("unknown", 0, "wall not yet known", 56),
    ],
)
def test_plugs_go_by_the_build_of_the_wall(build: str, on_studs: int, of: str, count: int) -> None:
    plugs = by_item(replace(WORK, wall_build=build, fixings_on_studs=on_studs))["plugs"]  # type: ignore[arg-type]
    assert (plugs.of, plugs.quantity.likely) == (of, count)
    studs_only = by_item(replace(WORK, wall_build="lath", fixings_on_studs=56))
    assert "plugs" not in studs_only


def test_test_strips_are_bought_only_when_no_cull_gives_them() -> None:
    assert "test_strip" not in by_item(WORK)
    bare = by_item(replace(WORK, culls=0, spares=0))
    assert bare["test_strip"].quantity.likely == Decimal("0.9")
    assert not bare["test_strip"].grows


def test_hours_by_hand_and_only_what_was_timed() -> None:
    """20 sections x 25 + 78 slats x 9 + 30 m2 x 8 + 7 panels x 50 + 2 x 30 = 1852 min."""
    labour = Labour(
        per_section=Decimal(25),
        per_slat=Decimal(9),
        per_coat_m2=Decimal(8),
        per_panel=Decimal(50),
        per_opening=Decimal(30),
        per_job=Decimal(240),
    )
    hours = [need for need in needs_of(WORK, labour=labour, coated_m2=Decimal(30)) if need.item == "labour"]
    assert [round(need.quantity.likely, 3) for need in hours] == [Decimal("30.867"), 4]
    assert "labour" not in by_item(WORK)


def test_figures_of_common_practice_can_be_replaced() -> None:
    practice = Practice(pin_spacing_mm=Decimal(150), pin_spare_share=Decimal(0))
    assert by_item(WORK, practice=practice)["pins"].quantity.likely == 1160 + 76


PRICES = """\
currency,EUR
tax_percent,0
labour.per_section,30
labour.per_job,120
item,of,per,pack,length_mm,price,supplier,class
section,,m,,,4,,softwood
small_strip,,m,,,2,,
ready_strip,,m,,,9,,
ready_panel,,,2,,60,,
sheet,,,,,30,,
fabric,,m,,,12,,
black_paint,,,0.75,,15,,
tape,,,25,,8,,
stain,,,1,,20,,
topcoat,,,1,,20,,
discs,,,10,,10,,
pins,,,1000,,10,,
screws,,,200,,12,,
plugs,,,100,,8,,
packers,,,100,,10,,
ledger,,m,,,1,,
labour,,,,,40,,
"""


def listed(text: str = PRICES) -> PriceList:
    return read_prices(text, file_name="p.csv")


def test_a_second_coat_is_named_as_the_reason() -> None:
    """Sections 216, strips 4.80, sheets 120, paint 15, pins 10, tape 8, discs 30, screws 12, plugs 8, packers
    20, ledger 4.18: 447.98; stain 1.8 l from tins of a litre at 20: 40, and 2.7 l: 60."""
    before = estimate(needs_of(WORK, (ONE_COAT,)), listed())
    after = estimate(needs_of(WORK, (TWO_COATS,)), listed())
    assert changes(before, after) == (
        "Stain walnut: 1.8 l became 2.7 l (second coat +0.9 l).",
        "In all: 487.98 became 507.98 EUR (+20.00).",
    )
    assert changes(before, before) == ()


def test_counts_prices_new_and_gone_are_said() -> None:
    fewer = replace(
        WORK,
        sections=Strips(of="44 x 94 Scots pine", lengths={Decimal(2700): 18}),
        culls=0,
        small_strips_m={},
        wall_build="lath",
    )
    before = estimate(needs_of(WORK), listed())
    after = estimate(needs_of(fewer), listed(PRICES.replace("sheet,,,,,30", "sheet,,,,,33")))
    assert changes(before, after) == (
        "Sawn timber 44 x 94 Scots pine, 2700 mm: 20 became 18 (sorted out 4 to 0).",
        "Backing board 12 mm 1220 x 2440: the price of 1 piece went from 30 to 33.",
        "Plugs lath and plaster: new, 56.",
        "Strips that no offcut gives trim 12 x 29: no longer needed (was 2.4 m).",
        "Plugs masonry: no longer needed (was 56).",
        "In all: 447.98 became 433.58 EUR (-14.40).",
    )


def test_a_price_that_came_or_went_is_said() -> None:
    without = PRICES.replace("sheet,,,,,30,,\n", "")
    before, after = estimate(needs_of(WORK), listed(without)), estimate(needs_of(WORK), listed())
    assert changes(before, after) == ("Backing board 12 mm 1220 x 2440: has a price now.",)
    assert changes(after, before) == ("Backing board 12 mm 1220 x 2440: has no price any more.",)


def test_ready_made_beside_own_work_by_hand() -> None:
    """Strips: 74 x 2.7 m at 9 = 1798.20 for sections (216), strips (4.80) and ten hours of ripping (400).
    Panels: 10 m2 in packs of 2 at 60 = 300; screws 12, plugs 8, packers 20, ledger 4.18; 2 h once: 80."""
    prices = listed()
    needs = needs_of(WORK, (ONE_COAT,), labour=prices.labour)
    own = estimate(needs, prices).total
    assert own is not None
    strips, panels = comparisons(needs, WORK, prices)
    assert strips.saving == Decimal("1798.20") - Decimal("216") - Decimal("4.80") - 400
    assert strips.words == "Making it costs less at every length, here by 1177.40 EUR."
    assert panels.other.total == 300 + 12 + 8 + 20 + Decimal("4.18") + 80
    assert (
        panels.words == f"Buying it ready costs less at every length, here by {own - panels.other.total} EUR."
    )


def test_the_break_even_length_by_hand() -> None:
    """Own: 200 once and 100 a metre; ready: 110 a metre: they cross at 20 m."""
    text = "currency,EUR\nitem,of,per,pack,length_mm,price,supplier,class\n"
    prices = listed(text + "section,,piece,,,40,,\nready_strip,,piece,,,110,,\nlabour,,,,,200,,\n")
    work = replace(
        WORK,
        sections=Strips(of="s", lengths={Decimal(2700): 10}),
        ready_strips=(Strips(of="r", lengths={Decimal(2700): 4}),),
        run_m=Decimal(4),
    )
    needs = (
        Need(item="section", length_mm=Decimal(2700), parts=(Part(label="", quantity=Quantity.exactly(10)),)),
        Need(item="test_strip", parts=(Part(label="", quantity=Quantity.exactly(10)),), grows=False),
    )
    strip = listed(text + "section,,piece,,,40,,\nready_strip,,piece,,,110,,\ntest_strip,,m,,,20,,\n")
    found = comparisons(needs, work, strip)[0]
    assert (found.saving, found.break_even_m) == (440 - 600, Decimal("20.0"))
    assert found.words == "Making it pays from a run of 20.0 m on."
    cannot = comparisons(needs, work, prices)[0]
    assert (cannot.saving, cannot.words) == (None, "Cannot be compared yet; missing: test_strip.")


@pytest.mark.parametrize(
    ("section", "strip", "once", "words", "length"),
    [
        (40, 90, 0, "Buying it ready costs less at every length, here by 40.00 EUR.", None),
        (40, 110, 0, "Making it costs less at every length, here by 40.00 EUR.", None),
        (40, 100, 5, "Buying it ready costs less at every length, here by 50.00 EUR.", None),
        (40, 100, 0, "Buying it ready costs less at every length, here by 0.00 EUR.", None),
    ],
)
def test_who_is_cheaper_at_every_length(
    section: int, strip: int, once: int, words: str, length: Decimal | None
) -> None:
    """Ten sections against four strips, and ten metres of test strip once."""
    rows = f"section,,,,,{section},,\nready_strip,,,,,{strip},,\ntest_strip,,,,,{once},,\n"
    prices = listed("currency,EUR\nitem,of,per,pack,length_mm,price,supplier,class\n" + rows)
    work = replace(WORK, ready_strips=(Strips(of="r", lengths={Decimal(2700): 4}),), run_m=Decimal(4))
    needs = (
        Need(item="section", length_mm=Decimal(2700), parts=(Part(label="", quantity=Quantity.exactly(10)),)),
        Need(item="test_strip", parts=(Part(label="", quantity=Quantity.exactly(10)),), grows=False),
    )
    found = comparisons(needs, work, prices)[0]
    assert (found.words, found.break_even_m) == (words, length)


def test_per_square_metre_per_panel_in_all() -> None:
    found = per_unit(estimate(needs_of(WORK), listed()), WORK)
    assert found == {"per_m2": Decimal("44.80"), "per_panel": Decimal("64.00"), "in_all": Decimal("447.98")}
    assert set(per_unit(estimate(needs_of(WORK), None), WORK).values()) == {None}


def test_a_ballpark_is_a_range_and_no_offer() -> None:
    found = ballpark(
        length_m=Decimal("4.2"), height_m=Decimal("2.4"), timber_class="softwood", openings=2, prices=listed()
    )
    assert found.low is not None
    assert found.high is not None
    assert 0 < found.low < found.high
    assert found.low % 50 == found.high % 50 == 0
    assert not found.is_offer
    between = f"Between {found.low} and {found.high} EUR: a ballpark before measuring, not an offer."
    assert found.words.startswith(between)
    longer = ballpark(
        length_m=Decimal(8), height_m=Decimal("2.4"), timber_class="softwood", openings=2, prices=listed()
    )
    assert longer.low is not None
    assert longer.low > found.low


def test_a_ballpark_by_hand() -> None:
    """10 m2, no openings. Lean: section 47 m at 4, sheets 3.5 at 30, cloth 11 m at 12, stain 3.45 l at
    20, pins 690, screws 53, tape 13 m, discs 20, plugs 48, packers 96, ledger 3.6: 188 + 105 + 132 + 69 +
    6.90 + 3.18 + 4.16 + 20 + 3.84 + 9.60 + 3.60 = 545.28, and 10 x 1.7 x 30 / 60 + 2 = 10.5 hours at 40:
    965.28, down to 950. Rich, in whole packs: 388 + 150 + 204 + 140 + 100 + 10 + 12 + 16 + 30 + 8 + 20 +
    4.40 + 15 of black paint = 1097.40, and 10 x 3.3 x 30 / 60 + 2 = 18.5 hours: 1837.40, up to 1850."""
    found = ballpark(
        length_m=Decimal(5), height_m=Decimal(2), timber_class="softwood", openings=0, prices=listed()
    )
    assert (found.low, found.high) == (Decimal(950), Decimal(1850))
    assert found.left_out == ("staples", "glue")
    assert found.words.endswith("not an offer. Not in it, for want of a price: staples, glue.")


def test_a_ballpark_takes_metre_and_piece_prices_and_says_when_labour_is_not_in_it() -> None:
    """A section of 2.7 m at 10.80 a piece is 4 a metre; without minutes 545.28 goes down to 500."""
    by_piece = PRICES.replace("section,,m,,,4,,softwood", "section,,,,2700,10.80,,softwood")
    untimed = by_piece.replace("labour.per_section,30\nlabour.per_job,120\n", "")
    wall = {"length_m": Decimal(5), "height_m": Decimal(2), "openings": 0}
    found = ballpark(timber_class="softwood", prices=listed(untimed), **wall)  # type: ignore[arg-type]
    assert found.low == 500
    assert "not an offer. Labour is not in it." in found.words
    unpriced = listed(PRICES.replace("labour,,,,,40,,\n", ""))
    assert ballpark(timber_class="softwood", prices=unpriced, **wall).missing == ("labour",)  # type: ignore[arg-type]


def test_a_ballpark_without_prices_names_them_and_a_wrong_number_is_named() -> None:
    found = ballpark(
        length_m=Decimal(4), height_m=Decimal(2), timber_class="hardwood", openings=0, prices=listed()
    )
    assert (found.low, found.high, found.missing) == (None, None, ("section: hardwood",))
    with pytest.raises(ValueError, match=r"^height_m: 30 is outside what is accepted: 0\.3 to 12$"):
        ballpark(length_m=Decimal(4), height_m=Decimal(30), timber_class="board", openings=0, prices=None)


def test_every_kind_of_line_has_a_unit_a_stage_and_words() -> None:
    assert all(item.words and item.unit and item.stage for item in ITEMS.values())
