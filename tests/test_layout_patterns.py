"""Patterns with a given gap: doubled slats and repeating widths from a spacer, the middle, a feature."""

from fractions import Fraction
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest
from laid_out import placed

from meshes.layout.placed import SetOut
from meshes.layout.report import as_json
from viewer.drawings.choice import SLAT, choice_strip

SVG = "{http://www.w3.org/2000/svg}"

DOUBLED: dict[str, Any] = {
    "width_mm": 40,
    "gap_mm": 20,
    "spacers_mm": [20],
    "pattern": {"group": 2, "group_gap_mm": 5},
}
"""Pairs of 40 + 5 + 40 = 85, a spacer of 20 between pairs: 105 from pair to pair."""

MIXED: dict[str, Any] = {"width_mm": 40, "gap_mm": 10, "pattern": {"widths_mm": [20, 20, 60]}}
"""20 + 10 + 20 + 10 + 60 = 120, and 130 from repeat to repeat."""


def along(result: SetOut) -> tuple[list[Fraction], list[Fraction]]:
    """Widths of the slats, and everything between and beside them, from left to right."""
    edges = [result.face.left]
    for slat in result.slats:
        edges += [slat.extent.left, slat.extent.right]
    edges.append(result.face.right)
    steps = [after - before for before, after in pairwise(edges)]
    return steps[1::2], steps[::2]


@pytest.mark.parametrize(
    ("run", "closing", "widths", "last"),
    [
        (505, "slat", [40] * 10, [5, 0]),  # five pairs
        (525, "gap", [40] * 10, [5, 20]),
        (555, "slat", [40] * 10 + [30], [20, 0]),  # the closing slat begins a pair: 20 before it
        (565, "slat", [40] * 11, [20, 0]),
        (600, "slat", [40] * 11 + [30], [5, 0]),  # and ends one: 5 before it
    ],
)
def test_doubled_slats_from_a_spacer(run: int, closing: str, widths: list[int], last: list[int]) -> None:
    result = placed({"width_mm": run}, {**DOUBLED, "spacing": "spacer", "closing": closing})
    made, between = along(result)
    assert made == widths
    assert between[0] == 0
    assert between[-2:] == last
    assert result.chosen is not None
    assert result.chosen.spacer == 20


def test_a_pair_in_the_middle_closes_alike_at_both_ends() -> None:
    """500 / 2 = 250: a pair from 207.5 to 292.5, one 105 to each side, and 82.5 left: 62.5 is a whole slat
    of 40 after a gap of 20 and 22.5 beyond it, the closing gap."""
    result = placed({"width_mm": 500}, {**DOUBLED, "spacing": "centred", "centre_on": "slat"})
    made, between = along(result)
    assert made == made[::-1]
    assert between == between[::-1]
    pair = [slat.extent for slat in result.slats if 200 < slat.extent.left < 260]
    assert pair[0].left == 207.5
    assert result.chosen is not None
    assert result.chosen.reason.startswith("A group stands in the middle of the run:")


def test_a_repeat_of_mixed_widths_is_centred_on_a_feature() -> None:
    result = placed({"width_mm": 1010}, {**MIXED, "spacing": "feature", "feature_mm": 400})
    starts = {slat.extent.left: slat.extent.width for slat in result.slats}
    assert [starts.get(Fraction(at)) for at in (340, 370, 400)] == [20, 20, 60]
    assert [starts.get(Fraction(at)) for at in (470, 500, 530)] == [20, 20, 60]


def test_mixed_widths_go_on_from_the_visible_end() -> None:
    result = placed({"width_mm": 1000, "right": {"meets": "open"}}, {**MIXED, "spacing": "visible_end"})
    made, between = along(result)
    assert made[-6:] == [20, 20, 60, 20, 20, 60]
    assert between[-1] == 0


def test_a_pattern_of_one_width_is_that_width() -> None:
    plain = placed({"width_mm": 1000}, {"width_mm": 30, "gap_mm": 12, "spacing": "spacer", "closing": "gap"})
    same = placed(
        {"width_mm": 1000},
        {"width_mm": 40, "gap_mm": 12, "spacing": "spacer", "closing": "gap", "pattern": {"widths_mm": [30]}},
    )
    assert [slat.extent for slat in same.slats] == [slat.extent for slat in plain.slats]


def test_a_pattern_names_the_slats_at_which_to_measure_again() -> None:
    """Every fifth slat, as the rod is marked: the first after five is the second of the third pair."""
    result = placed({"width_mm": 1030}, {**DOUBLED, "spacing": "spacer", "spacer_tolerance_mm": 1})
    chosen = as_json(result)["chosen"]
    assert chosen["reset_every"] == 5
    # slat 6 is the second of the third pair: 2 x 105 + 45; slat 11 the first of the sixth: 5 x 105
    assert chosen["reset_at_mm"][:2] == [255, 525]


def test_every_way_to_set_a_pattern_out_is_drawn_with_its_slats() -> None:
    """The strip of a way shows what the set-out would place: as many slats of each width."""
    result = placed({"width_mm": 505}, {**DOUBLED, "spacing": "spacer"})
    for way in result.alternatives:
        strip = ElementTree.fromstring(choice_strip(result, way))
        drawn = [one for one in strip.iter(f"{SVG}rect") if one.attrib.get("fill") == SLAT]
        assert len(drawn) == way.slat_count
    assert len(result.alternatives) > 2
