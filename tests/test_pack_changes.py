"""What changed between two versions: words and quantities that agree with the two set-outs and estimates."""

from decimal import Decimal

import pytest
from test_pack_files import SMALL, checked

from finishes.catalogue import load
from viewer.answers.changes import changes_answer
from viewer.answers.quantities import quantities
from viewer.demo import PRICES_FILE
from viewer.job.choices import chosen_finish
from viewer.price_list import price_list_of

Json = dict[str, object]


@pytest.fixture(scope="module")
def wider() -> Json:
    """The same wall found to be 60 mm wider, and its socket 20 mm further right."""
    socket = {"kind": "socket", "left_mm": 420, "bottom_mm": 450, "width_mm": 86, "height_mm": 86}
    return {**SMALL, "wall": {**SMALL["wall"], "width_mm": 1260}, "openings": [socket]}  # type: ignore[dict-item]


def test_the_same_job_has_no_changes() -> None:
    found = changes_answer(checked(SMALL), checked(SMALL), load(), price_list_of(PRICES_FILE))
    assert found["same"] is True
    assert [found[key] for key in ("set_out", "finish", "sentences", "quantities", "shopping")] == [[]] * 5


def test_a_wider_wall_says_what_moved_and_by_how_much(wider: Json) -> None:
    """By hand: run 1240; 24 slats leave 280 for 23 gaps of 280/23 = 12.2, nearest to the wish of 12."""
    found = changes_answer(checked(SMALL), checked(wider), load())
    assert found["same"] is False
    assert found["before"] != found["after"]
    assert "Wall: 1200 × 2400 mm became 1260 × 2400 mm." in found["set_out"]
    assert "Slats: 23 became 24." in found["set_out"]
    assert "Gap: 11.8 mm (130/11) became 12.2 mm (280/23)." in found["set_out"]
    assert any(words.startswith("Panel 1, cut-outs: ") for words in found["set_out"])


def test_quantities_are_the_differences_of_the_two_estimates(wider: Json) -> None:
    catalogue, prices = load(), price_list_of(PRICES_FILE)
    found = changes_answer(checked(SMALL), checked(wider), catalogue, prices)
    sums = []
    for document in (SMALL, wider):
        job, _plain = checked(document)
        priced = quantities(job, chosen_finish(job), catalogue, prices).priced
        assert priced is not None
        pins = priced.estimate.line("pins")
        assert pins is not None
        sums.append(pins.need.quantity.likely)
    (pins_moved,) = [row for row in found["quantities"] if row["what"] == "Pins"]
    assert (pins_moved["before"], pins_moved["after"]) == (sums[0], sums[1])
    for row in (*found["quantities"], *found["shopping"]):
        step = Decimal(str(row["after"])) - Decimal(str(row["before"]))
        assert Decimal(str(row["step"])) == step != 0


def test_another_finish_leaves_the_set_out_alone() -> None:
    darker = {**SMALL, "finish": {"stain": "walnut", "coats": 2}}
    found = changes_answer(checked(SMALL), checked(darker), load())
    assert found["set_out"] == []
    (words,) = found["finish"]
    assert "became Timber" in words
    assert any("Stain walnut: new" in sentence for sentence in found["sentences"])
    assert any("no longer needed" in sentence for sentence in found["sentences"])


def test_where_the_stock_gives_nothing_the_reason_is_told() -> None:
    impossible = {**SMALL, "stock": {"section_mm": [20, 20]}}
    found = changes_answer(checked(SMALL), checked(impossible), load())
    (words,) = found["sentences"]
    assert words.startswith("Quantities cannot be compared: ")
    assert found["quantities"] == found["shopping"] == []
