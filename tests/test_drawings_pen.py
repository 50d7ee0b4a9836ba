"""The drawing pen: lines of ISO 128, lettering of ISO 3098, SVG that a browser and a PDF writer both take."""

from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from viewer.drawings import pen as p
from viewer.drawings.dimension import LINE_SPACING, Stop, kept_stops
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch
from viewer.drawings.labels import Labels
from viewer.drawings.scale import SERIES, choose_scale

ISO_128_2_WIDTHS_MM = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""ISO 128-2:2020, line widths (from memory)."""


def sheet() -> p.Pen:
    return p.Pen(width=100, height=50, title="Sheet", description="For a test")


def test_line_widths_are_of_the_standard_series_and_stand_as_one_to_two_to_four() -> None:
    widths = [line.width for line in (p.NARROW, p.WIDE, p.EXTRA_WIDE)]
    assert all(width in ISO_128_2_WIDTHS_MM for width in widths)
    # neighbours two steps apart in a series that grows by the square root of two
    assert [ISO_128_2_WIDTHS_MM.index(width) for width in widths] == [1, 3, 5]


def test_broken_lines_are_made_of_the_standard_parts() -> None:
    # ISO 128-2: dashes 12 d, gaps 3 d, long dashes 24 d, dots at most 0.5 d (from memory)
    assert p.DASHED.dashes == (12, 3)
    assert p.CHAIN.dashes == (24, 3, 0.5, 3)
    assert p.DASHED.attributes.endswith('stroke-dasharray="2.16 0.54"')


def test_words_are_escaped_and_the_sheet_is_well_formed() -> None:
    pen = sheet()
    with pen.group('a "title" & <more>', mark="x<y"):
        pen.text(1, 2, "<script>&")
    root = ElementTree.fromstring(pen.svg(left=1.5))
    assert root.attrib["data-left"] == "1.5"
    assert [child.text for child in root[:2]] == ["Sheet", "For a test"]
    group = root[2]
    assert group.attrib["data-mark"] == "x<y"
    assert [element.text for element in group] == ['a "title" & <more>', "<script>&"]


def test_no_style_attribute_that_a_strict_policy_would_drop() -> None:
    pen = sheet()
    pen.line(0, 0, 1, 1, p.CHAIN)
    pen.text(1, 2, "words", turned=True, bold=True)
    assert "style=" not in pen.svg()
    assert "<style" not in pen.svg()


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        (Fraction(40), "40"),
        (Fraction(4132, 71), "58.2"),
        (Fraction(1008, 71), "14.2"),
        (Fraction(1, 20), "0"),  # half to even
        (Fraction(3, 20), "0.2"),
        (Fraction(99_999, 1000), "100"),
        (Fraction(-5, 2), "−2.5"),
    ],
)
def test_lengths_are_rounded_once_to_a_tenth(length: Fraction, expected: str) -> None:
    assert figure(length) == expected


def test_of_values_that_would_touch_the_higher_rank_stays() -> None:
    spacing = Fraction(LINE_SPACING).limit_denominator(1000)
    stops = [Stop(at=spacing * k / 2, rank=k % 3) for k in range(9)]
    kept = kept_stops(stops, 1.0, float(spacing))
    assert [stop.at for stop in kept] == sorted(stop.at for stop in kept)
    assert all(b.at - a.at >= spacing for a, b in pairwise(kept))
    assert {stop.at for stop in stops if stop.rank == 2} <= {stop.at for stop in kept}


def ends(data: str) -> list[tuple[float, float]]:
    return [tuple(float(part) for part in pair.split()) for pair in data.replace("M", "L").split("L")[1:]]  # type: ignore[misc]


@pytest.mark.parametrize("falling", [False, True])
def test_hatching_stays_inside_its_rectangle_at_45_degrees_and_even_spacing(falling: bool) -> None:
    pen = sheet()
    hatch(pen, 10, 5, 30, 8, spacing=1.5, falling=falling)
    data = ElementTree.fromstring(pen.svg())[2].attrib["d"]
    points = ends(data)
    assert len(points) > 20
    offsets = []
    for (x1, y1), (x2, y2) in zip(points[::2], points[1::2], strict=True):
        assert 10 - 2e-3 <= min(x1, x2) <= max(x1, x2) <= 40 + 2e-3
        assert 5 - 2e-3 <= min(y1, y2) <= max(y1, y2) <= 13 + 2e-3
        assert abs(abs(x2 - x1) - abs(y2 - y1)) < 4e-3
        offsets.append(x1 - y1 if falling else x1 + y1)
    steps = {round(b - a, 2) for a, b in pairwise(offsets)}
    assert steps == {round(1.5 * 2**0.5, 2)}


def test_words_give_way_to_what_is_there() -> None:
    labels = Labels(sheet())
    labels.take(0, 0, 50, 50)
    assert not labels.put("Socket", [(25, 20)])
    assert labels.put("Socket", [(25, 20), (75, 20)])
    assert not labels.put("Socket", [(75, 20)])
    assert not labels.put("Socket", [(99, 20)]), "words that leave the sheet are not written"


def test_a_scaled_sheet_takes_the_next_scale_of_iso_5455() -> None:
    assert 1 / choose_scale(4200, 2550, 180, None, to_scale=True) == 50
    assert 1 / choose_scale(4200, 2550, 210, None, to_scale=True) == 20
    assert choose_scale(4200, 2550, 180, 60, to_scale=False) == pytest.approx(60 / 2550)
    assert {1, 2, 5, 10, 20, 50, 100} <= set(SERIES)
