"""Needs priced, summed and taxed; what has no price is named and never counts as 0."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from viewer.estimate.export import price_json
from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.prices import PriceList
from viewer.estimate.reading import read_prices
from viewer.estimate.total import estimate


def prices(
    *rows: str, tax: str = "0", include: str = "no", round_to: str = "0.01", labour: str = ""
) -> PriceList:
    heading = "item,of,per,pack,length_mm,price,supplier,class"
    settings = [f"currency,EUR\ntax_percent,{tax}\nprices_include_tax,{include}\nround_to,{round_to}"]
    settings += [f"labour.per_panel,{labour}"] if labour else []
    return read_prices("\n".join([*settings, heading, *rows]), file_name="p.csv")


def need(item: str, likely: str, of: str = "", low: str = "", high: str = "") -> Need:
    quantity = Quantity(low=Decimal(low or likely), likely=Decimal(likely), high=Decimal(high or likely))
    return Need(item=item, of=of, parts=(Part(label="all", quantity=quantity),))


def test_a_sum_by_hand_with_tax_on_top() -> None:
    """12.9 m at 13.20 = 170.28; 22 discs from packs of 10 at 11.00 = 33.00; 203.28 + 20 % = 243.936."""
    listed = prices("fabric,,m,,,13.20", "discs,,,10,,11.00", tax="20", labour="5")
    found = estimate([need("fabric", "12.9", "black felt"), need("discs", "22")], listed)
    assert [line.cost.likely for line in found.lines if line.cost] == [Decimal("170.28"), Decimal("33.00")]
    assert (found.priced.likely, found.tax, found.total) == (
        Decimal("203.28"),
        Decimal("40.66"),
        Decimal("243.94"),
    )
    assert (found.missing, found.left_out) == ((), ())


def test_prices_that_include_tax_are_not_taxed_again() -> None:
    """119.00 holds 19.00 at 19 %."""
    found = estimate([need("sheet", "2")], prices("sheet,,,,,59.50", tax="19", include="yes", labour="5"))
    assert (found.total, found.tax) == (Decimal("119.00"), Decimal("19.00"))


@pytest.mark.parametrize(
    ("round_to", "total"), [("0.01", "1.13"), ("0.05", "1.15"), ("1", "1"), ("0.001", "1.125")]
)
def test_halves_go_up_to_the_step_that_the_list_states(round_to: str, total: str) -> None:
    found = estimate([need("ledger", "0.75")], prices("ledger,,m,,,1.50", round_to=round_to))
    assert found.total == Decimal(total)


def test_a_missing_price_is_named_and_the_sum_says_what_it_leaves_out() -> None:
    listed = prices("sheet,,,,,29.00", labour="5")
    answer = price_json(
        estimate([need("sheet", "4"), need("stain", "2.1", "walnut"), need("pins", "700")], listed)
    )
    assert answer["total"] is None
    assert answer["range"] is None
    assert answer["missing"] == ["stain: walnut", "pins"]
    assert answer["without_missing"] == 116
    assert [line["cost"] for line in answer["lines"]] == [116, None, None]


def test_without_a_list_everything_is_missing_and_nothing_is_free() -> None:
    answer = price_json(estimate([need("sheet", "4"), need("stain", "2.1", "walnut")], None))
    assert (answer["total"], answer["without_missing"], answer["currency"]) == (None, None, None)
    assert answer["missing"] == ["sheet", "stain: walnut"]


def test_a_price_that_names_another_thing_does_not_fit_and_a_named_one_hides_the_general() -> None:
    wanted = need("sheet", "1", "12 mm 1220 x 2440")
    assert estimate([wanted], prices("sheet,12 mm 1220 x 3050,,,,9")).missing == ("sheet: 12 mm 1220 x 2440",)
    both = prices("sheet,,,,,20", "sheet,12 MM 1220×2440,,,,29")
    assert estimate([wanted], both).total == 29


def test_labour_that_nobody_timed_is_said_to_be_left_out() -> None:
    found = estimate([need("sheet", "1")], prices("sheet,,,,,20"))
    assert found.left_out == ("Labour is not included: the price list gives no minutes under labour.",)


def test_low_likely_and_high_are_bought_apart() -> None:
    """0.7, 0.9 and 1.6 l from tins of 0.75 at 10: one, two and three."""
    found = estimate([need("stain", "0.9", low="0.7", high="1.6")], prices("stain,,,0.75,,10"))
    assert found.range is not None
    assert (found.range.low, found.range.likely, found.range.high) == (10, 20, 30)


def test_a_need_of_nothing_is_no_line() -> None:
    assert estimate([need("plugs", "0")], None).lines == ()


@given(
    st.lists(st.decimals("0.001", "500", places=3), min_size=3, max_size=3),
    st.dictionaries(st.sampled_from(["0.25", "0.75", "2.5", "5"]), st.integers(1, 90), min_size=1),
    st.decimals("0", "30", places=1),
)
def test_more_never_costs_less(amounts: list[Decimal], tins: dict[str, int], tax: Decimal) -> None:
    low, likely, high = sorted(amounts)
    rows = [f"stain,,,{size},,{price}" for size, price in tins.items()]
    found = estimate([need("stain", str(likely), low=str(low), high=str(high))], prices(*rows, tax=str(tax)))
    assert found.range is not None
    assert 0 < found.range.low <= found.range.likely <= found.range.high
    assert found.range.likely == found.priced.likely + found.tax
