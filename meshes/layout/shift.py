"""Shift the grid so that plate edges fall in gaps and no short pieces of slat are left at openings.

::

       slat      gap    slat                 slat      gap    slat
    |########|        |########|          |########|        |########|
           +-----------------+      -->             +-----------------+
           |  plate          |                      |  plate          |

Candidates are the shifts at which an edge comes to lie on a slat's edge or in the middle of a gap, and those
at which an end just closes. Harm changes only there, so that none better is missed.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from meshes.layout.alternative import Alternative
from meshes.layout.closing import (
    CLOSING_GAP_SHARE,
    LEAST_CLOSING_MM,
    LEAST_CLOSING_SHARE,
    gap_in_range,
)
from meshes.layout.given import Filled, choice_of, close_run
from meshes.layout.scaled import Scale
from meshes.layout.site import Site
from meshes.layout.spacer import spacers_to_try
from meshes.layout.spans import Span
from meshes.layout.words import mm

SHORTEST_PIECE_MM = Fraction(100)
"""Shorter pieces of slat split at the pin and show every unevenness (common practice)."""

Hole = tuple[Span, Span]
"""(start, end) along the run and (low, high) along the slat [mm]."""


@dataclass(frozen=True, slots=True, order=True)
class Harm:
    """What openings do to a grid: slats that would be left with short pieces, and plate edges over a slat."""

    short_pieces: int
    cut_edges: int


def short_spans(holes: Sequence[Hole], low: Fraction, high: Fraction) -> list[Span]:
    """Where along the run a slat would keep a piece under 100 mm: (start, end) [mm], for each such piece."""
    spans = []
    ordered = sorted(holes)
    for number, ((start, end), (below, above)) in enumerate(ordered):
        for length in (below - low, high - above):
            if 0 < length < SHORTEST_PIECE_MM:
                spans.append((start, end))
        for (other_start, other_end), (other_below, other_above) in ordered[number + 1 :]:
            if other_start >= end:
                break
            between = max(other_below - above, below - other_above)
            if 0 < between < SHORTEST_PIECE_MM:
                spans.append((other_start, min(end, other_end)))
    return spans


def shifted(
    site: Site, chosen: Alternative, holes: Sequence[Hole], low: Fraction, high: Fraction
) -> Alternative | None:
    """A shifted grid that openings harm less, its ends closed by the rules; None when none is better.

    First the chosen gap, then spacers around the wish. ``holes`` in run coordinates; ``low``, ``high``: of
    the slats.
    """
    if not holes or not chosen.regular or chosen.gap == 0:
        return None
    spans = short_spans(holes, low, high)
    edges = [edge for span, _ in holes for edge in span]
    before = _Grid(site, chosen.gap, edges, spans).harm_at(chosen.first)
    best: tuple[Harm, Fraction, Fraction, Alternative] | None = None
    for gap in dict.fromkeys([chosen.gap, *spacers_to_try(site.slats)]):
        if before == Harm(0, 0) or gap_in_range(gap, site.slats.gap_range_mm):
            continue
        grid = _Grid(site, gap, edges, spans)
        for harm, moved, place in grid.ranked(chosen.first):
            rank = (harm, abs(gap - chosen.gap), moved)
            if not harm < before or (best is not None and rank >= best[:3]):
                break
            filled = close_run(site, gap, place, "either")
            if isinstance(filled, Filled):
                words = _bought(chosen, gap, before, harm, len(edges))
                choice = choice_of(site, "shifted", gap, filled, words)
                best = (*rank, replace(choice, closing="either"))
                break
    return best[3] if best else None


class _Grid:
    """Slats from ``first + k pitch`` on, in whole numbers of a common denominator."""

    def __init__(self, site: Site, gap: Fraction, edges: Sequence[Fraction], spans: Sequence[Span]) -> None:
        least = gap + max(LEAST_CLOSING_SHARE * site.width, LEAST_CLOSING_MM)
        narrow, wide = CLOSING_GAP_SHARE[0] * gap, CLOSING_GAP_SHARE[1] * gap
        ends = [edge for span in spans for edge in span]
        self._scale = Scale([site.run, site.width, gap, least, narrow, wide, *edges, *ends])
        whole = self._scale.whole
        self._pitch, self._width = whole(site.width + gap), whole(site.width)
        self._edges = sorted(whole(edge) % self._pitch for edge in edges)
        self._short = [(whole(start), whole(end)) for start, end in spans]
        self._run_and_gap = whole(site.run + gap)
        self._narrow, self._wide, self._least = whole(narrow), whole(wide), whole(least)

    def harm_at(self, first: Fraction) -> Harm:
        """What openings do to the grid with a slat starting at ``first`` [mm]."""
        common = lcm(self._scale.unit, first.denominator)
        if common == self._scale.unit:
            return self._harm(self._scale.whole(first))
        finer = common // self._scale.unit
        return self._harm(first.numerator * (common // first.denominator), finer)

    def _harm(self, first: int, finer: int = 1) -> Harm:
        pitch, width = self._pitch * finer, self._width * finer
        begin = first % pitch
        cut = self._edges_between(begin, begin + width, finer)
        if begin + width > pitch:
            cut += self._edges_between(begin - pitch, begin + width - pitch, finer)
        short = 0
        for start, end in self._short:
            # slats of which some part lies strictly between start and end
            before = (start * finer - first - width) // pitch
            until = -((first - end * finer) // pitch) - 1
            short += until - before
        return Harm(short, cut)

    def _edges_between(self, low: int, high: int, finer: int) -> int:
        """Plate edges, each at its place within the pitch, strictly between two places."""
        return max(0, bisect_left(self._edges, -(-high // finer)) - bisect_right(self._edges, low // finer))

    def ranked(self, origin: Fraction) -> list[tuple[Harm, Fraction, Fraction]]:
        """(harm, how far moved, first slat) of every candidate whose ends may close, least harm first."""
        half_gap = (self._pitch - self._width) // 2
        marks = [*self._edges, *(edge for span in self._short for edge in span)]
        steps = (0, half_gap, -self._width, -self._width - half_gap)
        firsts = {(mark + step) % self._pitch for mark in marks for step in steps}
        for space in (0, self._narrow, self._wide, self._least):
            firsts |= {space % self._pitch, (self._run_and_gap - space) % self._pitch}
        pitch = self._scale.length(self._pitch)
        found = []
        for first in firsts:
            if self._may_end(first) and self._may_end((self._run_and_gap - first) % self._pitch):
                place = self._scale.length(first)
                away = (place - origin) % pitch
                found.append((self._harm(first), min(away, pitch - away), place))
        return sorted(found)

    def _may_end(self, space: int) -> bool:
        return space == 0 or self._narrow <= space <= self._wide or space >= self._least


def _bought(chosen: Alternative, gap: Fraction, before: Harm, after: Harm, edges: int) -> str:
    said = (
        f"Grid shifted for the openings: {edges - after.cut_edges} of {edges} plate edges fall in gaps "
        f"instead of {edges - before.cut_edges}"
    )
    if before.short_pieces:
        said += f", {after.short_pieces} short pieces instead of {before.short_pieces}"
    if gap != chosen.gap:
        said += f", gap {mm(gap)} mm"
    return said
