"""Openings and zones held against the wall and against each other."""

from collections.abc import Sequence
from fractions import Fraction
from math import floor

from meshes.layout.levels import height_over
from meshes.layout.openings import PLATED, opening_rect, overlap
from meshes.layout.spans import SpanIndex
from meshes.layout.survey import Opening, Wall, Zone
from meshes.layout.words import mm

Problem = tuple[str, str]

MOST_NAMED = 3
"""Of the openings that one overlaps."""


def regions(wall: Wall, openings: Sequence[Opening], zones: Sequence[Zone], *, goes_on: str) -> list[Problem]:
    """What does not fit. ``goes_on`` is the path of the wall round the right-hand corner, or empty."""
    return [
        *_inside("openings", openings, wall, goes_on),
        *_inside("zones", zones, wall, goes_on),
        *_overlaps(openings),
        *_kinds(openings),
    ]


def _inside(name: str, places: Sequence[Opening | Zone], wall: Wall, goes_on: str) -> list[Problem]:
    problems = []
    for index, region in enumerate(places):
        over = height_over(wall, region.left_mm, region.left_mm + region.width_mm)
        height = Fraction(floor(10 * over), 10)  # as it is said
        whose_height = "ceiling over it, at" if wall.ceiling == "swept" else "wall's height of"
        for low, size, limit, whose in (
            ("left_mm", "width_mm", wall.width_mm, "wall's"),
            ("bottom_mm", "height_mm", height, whose_height),
        ):
            at, length = getattr(region, low), getattr(region, size)
            path = f"{name}[{index}]"
            corner = (
                f"; what is round the corner belongs to {goes_on}.{name}"
                if goes_on and low == "left_mm"
                else ""
            )
            if at >= limit:
                accepted = corner or f"; give less than {mm(limit)}"
                problems.append((f"{path}.{low}", f"{mm(at)} lies beyond the {whose} {mm(limit)}{accepted}"))
            elif at < 0:
                problems.append((f"{path}.{low}", f"{mm(at)} lies before the wall; give 0 to {mm(limit)}"))
            elif length == 0:
                problems.append(
                    (f"{path}.{size}", f"0 is no size; give more than 0 and at most {mm(limit - at)}")
                )
            elif at + length > limit:
                problems.append(
                    (
                        f"{path}.{size}",
                        f"{mm(length)} from {mm(at)} reaches {mm(at + length)}, beyond the {whose} "
                        f"{mm(limit)}; give at most {mm(limit - at)}{corner}",
                    )
                )
    return problems


def _overlaps(openings: Sequence[Opening]) -> list[Problem]:
    """One problem an opening, however many stand on the same spot."""
    rects = [opening_rect(opening) for opening in openings]
    index = SpanIndex(((rect.left, rect.right), number) for number, rect in enumerate(rects))
    problems = []
    for second, rect in enumerate(rects):
        before = [
            first
            for first in sorted(index.meeting(rect.left, rect.right))
            if first < second and overlap(rects[first], rect)
        ]
        if before:
            named = ", ".join(f"openings[{first}] ({openings[first].kind})" for first in before[:MOST_NAMED])
            more = f" and {len(before) - MOST_NAMED} more" if len(before) > MOST_NAMED else ""
            message = f"{openings[second].kind} overlaps {named}{more}; move it or make them one opening"
            problems.append((f"openings[{second}]", message))
    return problems


def _kinds(openings: Sequence[Opening]) -> list[Problem]:
    """Keys that only some kinds of opening have."""
    problems = []
    for index, opening in enumerate(openings):
        path, kind = f"openings[{index}]", opening.kind
        if opening.architrave_mm and kind not in ("door", "window"):
            problems.append((f"{path}.architrave_mm", f"a {kind} has none; leave it out"))
        if opening.leaf is not None and kind != "door":
            problems.append((f"{path}.leaf", f"a {kind} has none; leave it out"))
        if opening.plate != "pocket" and kind not in PLATED:
            problems.append((f"{path}.plate", f"a {kind} has no plate; leave it out"))
    return problems
