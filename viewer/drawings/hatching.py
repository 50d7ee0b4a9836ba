"""Hatching of cut material (ISO 128-3): narrow parallel lines at 45°, cut to the hatched outline."""

from collections.abc import Sequence

from viewer.drawings import pen as p

Point = tuple[float, float]


def hatch(
    pen: p.Pen, x: float, y: float, width: float, height: float, *, spacing: float, falling: bool = False
) -> None:
    """Lines across a rectangle, ``spacing`` [mm] apart, rising to the right, or ``falling`` so that
    neighbours differ."""
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    hatch_outline(pen, corners, spacing=spacing, falling=falling)


def hatch_outline(pen: p.Pen, corners: Sequence[Point], *, spacing: float, falling: bool = False) -> None:
    """The same across a convex outline [mm of paper].

    The lines lie on one grid for the whole sheet, so pieces of one board hatch as one.
    """
    step = spacing * 2**0.5
    # a rising line is x + y = c, a falling one x - y = c
    reached = [x - y if falling else x + y for x, y in corners]
    edges = [
        (one, two, start, end)
        for one, two, start, end in zip(
            corners, [*corners[1:], corners[0]], reached, [*reached[1:], reached[0]], strict=True
        )
        if start != end
    ]
    data = []
    for count in range(int(min(reached) // step) + 1, int(-(-max(reached) // step))):
        c = count * step
        met = sorted(
            _at(one, two, (c - start) / (end - start))
            for one, two, start, end in edges
            if min(start, end) <= c <= max(start, end)
        )
        (x1, y1), (x2, y2) = met[0], met[-1]
        data.append(f"M{x1:.3f} {y1:.3f}L{x2:.3f} {y2:.3f}")
    if data:
        pen.path("".join(data), p.NARROW)


def _at(one: Point, two: Point, share: float) -> Point:
    return one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1])
