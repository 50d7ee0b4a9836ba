"""Price lists: both formats say the same, and what is wrong is named by line and column, all at once."""

from decimal import Decimal
from pathlib import Path

import pytest

from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.prices import PriceListError
from viewer.estimate.reading import COLUMNS, read_prices, template

TOML = """\
format = 1
name = "Ours"
currency = "EUR"
tax_percent = 19
prices_include_tax = true
round_to = "0.05"

[labour]
per_panel = 45

[practice]
pin_spacing_mm = 250

[[price]]
item = "section"
of = "47 x 100 Scots pine"
per = "m"
price = "4.20"
supplier = "timber yard"
class = "softwood"

[[price]]
item = "stain"
pack = 0.75
price = 22.4
"""

CSV = """\
format;1
name;Ours
currency;EUR
tax_percent;19
prices_include_tax;yes
round_to;0,05
labour.per_panel;45
practice.pin_spacing_mm;250

item;of;per;pack;length_mm;price;supplier;class
section;47 x 100 Scots pine;m;;;4,20;timber yard;softwood
stain;;;0,75;;22.4;;
pins;;;1000;;;;
"""


NO_AMOUNT = "is no amount; write digits with one decimal point, like 12.50"


def problems(text: str, file_name: str) -> list[tuple[str, str]]:
    with pytest.raises(PriceListError) as refused:
        read_prices(text, file_name=file_name)
    return list(refused.value.problems)


def test_both_formats_give_the_same_list_and_an_empty_price_is_no_price() -> None:
    toml = read_prices(TOML, file_name="prices.toml")
    assert toml == read_prices(CSV, file_name="prices.csv")
    assert toml == read_prices("\ufeff" + CSV.replace("\n", "\r\n"), file_name="PRICES.CSV")
    assert (toml.currency, toml.tax_percent, toml.prices_include_tax) == ("EUR", 19, True)
    assert toml.round_to == Decimal("0.05")
    assert toml.labour.per_panel == 45
    assert toml.practice.pin_spacing_mm == 250
    assert [(offer.item, offer.per, offer.pack, offer.price) for offer in toml.offers] == [
        ("section", "m", None, Decimal("4.20")),
        ("stain", "l", Decimal("0.75"), Decimal("22.4")),
    ]


@pytest.mark.parametrize(
    ("text", "file_name", "where", "message"),
    [
        (
            CSV.replace("4,20", "12,5o"),
            "prices.csv",
            "line 11, column 6 (price)",
            f'"12,5o" {NO_AMOUNT}',
        ),
        (
            TOML.replace('"4.20"', '"12,5o"'),
            "prices.toml",
            "price[0].price (line 18, column 9)",
            f'"12,5o" {NO_AMOUNT}',
        ),
        (
            TOML.replace('"4.20"', "12,5o"),
            "prices.toml",
            "prices.toml, line 18, column 11",
            "is not TOML; numbers are written like 12.50 and words in quotes",
        ),
        (
            CSV.replace("22.4", "-1"),
            "p.csv",
            "line 12, column 6 (price)",
            "-1 is outside what is accepted: 0 to 10000000",
        ),
        (
            CSV.replace("0,75", "0"),
            "p.csv",
            "line 12, column 4 (pack)",
            "0 is outside what is accepted: more than 0 to 10000000",
        ),
        (CSV.replace("22.4", "1.234,5"), "p.csv", "line 12, column 6 (price)", f'"1.234,5" {NO_AMOUNT}'),
        (CSV.replace("1000", "2.5"), "p.csv", "line 13, column 4 (pack)", "2.5 is no whole number of pieces"),
        (
            CSV.replace("stain;", "stian;"),
            "p.csv",
            "line 12, column 1 (item)",
            '"stian" is not known; did you mean "stain"?',
        ),
        (
            CSV.replace("pine;m;", "pine;mm;"),
            "p.csv",
            "line 11, column 3 (per)",
            '"mm" is not known; did you mean "m"?',
        ),
        (
            CSV.replace("EUR", "euro"),
            "p.csv",
            "line 3, column 2 (currency)",
            "is needed: three capital letters, like EUR",
        ),
        (
            CSV.replace("currency;EUR\n", ""),
            "p.csv",
            "currency",
            "is needed: three capital letters, like EUR",
        ),
        (
            CSV.replace("per_panel", "per_pannel"),
            "p.csv",
            "line 7, column 2 (labour.per_pannel)",
            '"labour.per_pannel" is not known; did you mean "labour.per_panel"?',
        ),
        (
            CSV.replace("format;1", "format;2"),
            "p.csv",
            "line 1, column 2 (format)",
            "format 2 is newer than this program reads (1)",
        ),
        (
            CSV.replace("tax_percent;19", "tax_percent;190"),
            "p.csv",
            "line 4, column 2 (tax_percent)",
            "190 is outside what is accepted: 0 to 100",
        ),
        (
            CSV.replace("yes", "perhaps"),
            "p.csv",
            "line 5, column 2 (prices_include_tax)",
            '"perhaps" is neither true nor false',
        ),
        (
            TOML.replace("pack", "packk"),
            "p.toml",
            "price[1].packk (line 24, column 9)",
            '"packk" is not known; did you mean "pack"?',
        ),
        (TOML.replace('item = "stain"\n', ""), "p.toml", "price[1]", None),
        ("currency,EUR\n", "p.csv", "p.csv", f"has no heading; expected the line {','.join(COLUMNS)}"),
        ("x" * 2_000_001, "p.csv", "p.csv", "is longer than 2000000 characters"),
        (
            'currency = "EUR"\nprice = 3\n',
            "p.toml",
            "price",
            "each price is a block that starts with [[price]]",
        ),
        (
            'currency = "EUR"\nprice = [{item = "pins", price = "x"}]\n',
            "p.toml",
            "price[0].price",
            f'"x" {NO_AMOUNT}',
        ),
        (
            CSV.replace("tax_percent;19", "tax_percent;19;5"),
            "p.csv",
            "line 4",
            "has 3 cells where a setting has two; write 12.50, or put 12,50 in quotes",
        ),
        (
            TOML.replace('"timber yard"', "3"),
            "p.toml",
            "price[0].supplier (line 19, column 12)",
            "3 is no text; put it in quotes",
        ),
        ("", "prices.txt", "prices.txt", "is neither .toml nor .csv"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_kept(
    text: str, file_name: str, where: str, message: str | None
) -> None:
    (problem,) = problems(text, file_name)
    assert problem[0] == where
    assert message is None or problem[1] == message


def test_all_problems_come_at_once() -> None:
    broken = CSV.replace("4,20", "12,5o").replace("22.4", "free").replace("EUR", "")
    assert [where for where, _ in problems(broken, "p.csv")] == [
        "line 11, column 6 (price)",
        "line 12, column 6 (price)",
        "line 3, column 2 (currency)",
    ]


@pytest.mark.parametrize(
    "line",
    [
        "stain,,,2.5,,61,50,paint shop,,",
        "pins,,,1000,,9,90",
        "stain,,,1,5,24.00",
        "stain,,,2.5,,61,5,paint shop",
    ],
)
def test_an_unquoted_decimal_comma_never_becomes_another_price(line: str) -> None:
    """In a comma-separated list 9,90 without quotes are two cells."""
    assert problems(f"currency,EUR\n{','.join(COLUMNS)}\n{line}\n", "p.csv")


def test_a_quoted_decimal_comma_is_one_cell() -> None:
    listed = read_prices(f'currency,EUR\n{",".join(COLUMNS)}\nstain,,,"2,5",,"61,50",,\n', file_name="p.csv")
    assert (listed.offers[0].pack, listed.offers[0].price) == (Decimal("2.5"), Decimal("61.50"))


def test_the_template_is_a_list_without_prices() -> None:
    needs = (
        Need(
            item="section",
            of="47 x 100 Scots pine",
            length_mm=Decimal(2700),
            parts=(Part(label="sections", quantity=Quantity.exactly(18)),),
        ),
    )
    text = template(needs)
    assert text.splitlines()[-1] == "section,47 x 100 Scots pine,piece,,2700,,,"
    assert read_prices(text, file_name="p.csv").offers == ()
    priced = read_prices(text.replace("2700,,", "2700,31.20,"), file_name="p.csv")
    assert priced.offers_for(needs[0])[0].price == Decimal("31.20")


def test_the_example_list_is_marked_as_invented_and_can_be_read() -> None:
    text = (Path(__file__).parent.parent / "viewer" / "demo" / "prices.toml").read_text(encoding="utf-8")
    assert "INVENTED" in text.splitlines()[0]
    assert read_prices(text, file_name="prices.toml").name == "Invented example prices"


def test_lines_may_end_as_old_machines_end_them_and_a_cell_without_end_is_named() -> None:
    assert read_prices(CSV.replace("\n", "\r"), file_name="p.csv") == read_prices(CSV, file_name="p.csv")
    ((where, message),) = problems(CSV + "pins;" + "x" * 200_000 + "\n", "p.csv")
    assert where.startswith("line ")
    assert message.startswith("cannot be read as cells: ")
