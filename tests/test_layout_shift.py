"""Shifting the grid: found quickly, held against every shift tried one by one; and the index it rests on."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from laid_out import job, placed

from meshes.layout.face import face_of
from meshes.layout.given import Filled, close_run
from meshes.layout.openings import opening_rect
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from meshes.layout.site import site_of
from meshes.layout.spans import SpanIndex, merged

PLATES = st.lists(
    st.tuples(st.integers(0, 15), st.integers(20, 150), st.sampled_from([40, 300, 1000])),
    min_size=1,
    max_size=3,
)


def harm(starts: list[Fraction], width: Fraction, holes: list[Rect], height: Fraction) -> tuple[int, int]:
    """(short pieces, plate edges over a slat), counted slat by slat."""
    short = edges = 0
    for start in starts:
        over = [hole for hole in holes if hole.left < start + width and start < hole.right]
        at = Fraction(0)
        for hole in sorted(over, key=lambda one: one.bottom):
            short += 0 < hole.bottom - at < 100
            at = max(at, hole.top)
        short += bool(over) and 0 < height - at < 100
        edges += sum(start < edge < start + width for hole in holes for edge in (hole.left, hole.right))
    return short, edges


def spread(plates: list[tuple[int, int, int]]) -> list[dict[str, Any]]:
    """One plate to each 600 mm, so that none overlap."""
    return [
        {"left_mm": 100 + 600 * number + 20 * step, "width_mm": width, "bottom_mm": bottom, "height_mm": 80}
        for number, (step, width, bottom) in enumerate(plates)
    ]


def of(result: SetOut) -> list[Fraction]:
    """Where whole slats start; closing slats at the ends are out of the plates' reach."""
    return [slat.extent.left for slat in result.slats if slat.extent.width == 40]


@settings(max_examples=25, deadline=None)
@given(plates=PLATES, gap=st.integers(8, 30))
def test_no_shift_of_the_same_gap_is_better(plates: list[tuple[int, int, int]], gap: int) -> None:
    parts = {"openings": spread(plates), "panels": {"sheet_mm": [1220, 2600]}}
    slats = {"width_mm": 40, "gap_mm": gap}
    plain = placed({"width_mm": 2000}, slats, **parts)
    asked = placed({"width_mm": 2000}, {**slats, "shift_for_openings": True}, **parts)
    given_job = job({"width_mm": 2000}, slats, **parts)
    holes = [opening_rect(opening) for opening in given_job["openings"]]
    face = face_of(given_job["wall"], build_up=Fraction(29))
    site = site_of(given_job["wall"], given_job["slats"], face, None)
    width, pitch = Fraction(40), plain.pitch
    found = harm(of(asked), width, holes, Fraction(2550))
    assert found <= harm(of(plain), width, holes, Fraction(2550))
    for quarter in range(int(4 * pitch)):
        filled = close_run(site, plain.gap, Fraction(quarter, 4), "either")
        if isinstance(filled, Filled):
            whole = [filled.spaces[0] + index * pitch for index in range(filled.whole)]
            assert found <= harm(whole, width, holes, Fraction(2550))


def test_a_feature_between_the_grids_steps_is_shifted_exactly() -> None:
    """The feature's line is a thousandth off any other length of the job: harm is still counted exactly."""
    opening = {"left_mm": 1005, "width_mm": 70}
    slats = {"width_mm": 40, "gap_mm": 20, "spacing": "feature", "feature_mm": 700.001}
    result = placed({"width_mm": 2000}, slats, openings=[opening])
    assert result.chosen is not None
    assert result.chosen.kind == "feature"
    (better,) = [choice for choice in result.alternatives if choice.kind == "shifted"]
    assert "2 of 2 plate edges fall in gaps instead of" in better.reason


SPANS = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 15)).map(lambda s: (Fraction(s[0]), Fraction(sum(s))))
)


@given(spans=SPANS, start=st.integers(0, 50), length=st.integers(0, 10))
def test_the_index_finds_what_a_search_one_by_one_finds(
    spans: list[tuple[Fraction, Fraction]], start: int, length: int
) -> None:
    index = SpanIndex((span, number) for number, span in enumerate(spans))
    end = start + length
    expected = [number for number, (low, high) in enumerate(spans) if low < end and start < high]
    assert sorted(index.meeting(Fraction(start), Fraction(end))) == expected


@given(spans=SPANS)
def test_merged_spans_cover_the_same_and_are_apart(spans: list[tuple[Fraction, Fraction]]) -> None:
    whole = merged(spans)
    assert all(before[1] < after[0] for before, after in pairwise(whole))
    for place in (Fraction(half, 2) for half in range(120)):
        assert any(a < place < b for a, b in whole) >= any(a < place < b for a, b in spans)
