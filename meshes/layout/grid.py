"""The chosen spacing as slats along the run, with what openings cut out of each.

Positions along the run from the datum; turned into wall coordinates, and numbered from left to right or from
the floor up, only when slats and panels are made.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.across import Cuts, calm_spans, slat_cuts, split
from meshes.layout.alternative import Alternative
from meshes.layout.axes import Axes, axes_of
from meshes.layout.bands import zone_rect
from meshes.layout.face import Face
from meshes.layout.gaps import gap_for, starts_of, widths_of
from meshes.layout.levels import Line
from meshes.layout.openings import cuts_by_slat, left_of, slat_hole
from meshes.layout.site import Site
from meshes.layout.spacing import Slats
from meshes.layout.spans import Span
from meshes.layout.survey import Opening, Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The slats from the datum on: start and width of each, (low, high) along it, and its pieces.

    ``rises``: of the left and the right corner of each top over ``high``, where it is cut to the ceiling.
    """

    axes: Axes
    face: Face
    starts: tuple[Fraction, ...]
    widths: tuple[Fraction, ...]
    middles: tuple[Fraction, ...]
    reach: tuple[Span, ...]
    rises: tuple[Span, ...] | None
    pieces: tuple[tuple[Span, ...], ...]
    joints: tuple[Cuts, Cuts] | None

    @property
    def count(self) -> int:
        return len(self.starts)

    def number(self, index: int) -> int:
        """A slat's number on the wall, from left to right or from the floor up."""
        return index if self.axes.forward else self.count - 1 - index


def grid_of(
    site: Site,
    chosen: Alternative,
    face: Face,
    slats: Slats,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
) -> Grid:
    """Place the slats of a choice on its face and cut them at openings and at joints."""
    axes = axes_of(slats.run, slats.datum, face.rect)
    start, end = axes.across(face.rect)
    starts, widths = _rhythm(site, chosen, end - start)
    low, high = axes.along(face.rect)
    reach, rises = [(low, high)] * len(starts), None
    if face.sweep is not None and axes.upright:
        tops = [_tops(face.sweep, axes, at, width) for at, width in zip(starts, widths, strict=True)]
        reach = [(low, min(top)) for top in tops]
        rises = [(left - min(left, right), right - min(left, right)) for left, right in tops]
    holes = [(axes.across(hole), axes.along(hole)) for hole in map(slat_hole, openings)]
    cuts = cuts_by_slat(starts, widths, holes)
    joints = None
    over = [max(rise) for rise in rises] if rises is not None else [Fraction(0)] * len(starts)
    tallest = max(top + more for (_, top), more in zip(reach, over, strict=True))
    if slats.longest_mm is not None and tallest - low > slats.longest_mm:
        hidden = [axes.along(zone_rect(zone)) for zone in zones if zone.kind == "hidden"]
        calm = calm_spans(low, tallest, hidden, axes.upright)
        joints = slat_cuts(low, tallest, slats.longest_mm, calm)
    pieces = []
    for index, (bottom, top) in enumerate(reach):
        left = left_of(bottom, top, cuts[index]) if index in cuts else [(bottom, top)]
        if joints is not None and slats.longest_mm is not None:
            at = joints[index % 2].at
            longest = slats.longest_mm - over[index]
            left = [part for piece in left for part in split(piece, at, longest)]
        pieces.append(tuple(left))
    return Grid(
        axes=axes,
        face=face,
        starts=tuple(starts),
        widths=tuple(widths),
        middles=_middles(starts, widths),
        reach=tuple(reach),
        rises=None if rises is None else tuple(rises),
        pieces=tuple(pieces),
        joints=joints,
    )


def _rhythm(site: Site, chosen: Alternative, run: Fraction) -> tuple[list[Fraction], list[Fraction]]:
    if chosen.kind == "even":
        rhythm = site.rhythm(chosen.ends)
        even = gap_for(run, rhythm, chosen.slat_count)
        assert even is not None  # the choice was solved on this run
        return starts_of(rhythm, even), widths_of(rhythm, even.count)
    pitch = chosen.width + chosen.gap
    if not chosen.regular:
        starts = [start for start, _ in chosen.slats]
        return _with_closing(chosen, run, starts, [width for _, width in chosen.slats])
    starts = [chosen.first + index * pitch for index in range(chosen.whole)]
    return _with_closing(chosen, run, starts, [chosen.width] * chosen.whole)


def _with_closing(
    chosen: Alternative, run: Fraction, starts: list[Fraction], widths: list[Fraction]
) -> tuple[list[Fraction], list[Fraction]]:
    """The slats with those that are ripped to close the run."""
    if chosen.start_slat:
        starts, widths = [Fraction(0), *starts], [chosen.start_slat, *widths]
    if chosen.end_slat:
        starts, widths = [*starts, run - chosen.end_slat], [*widths, chosen.end_slat]
    return starts, widths


def _tops(sweep: Line, axes: Axes, start: Fraction, width: Fraction) -> Span:
    """Where the left and the right edge of a slat end, cut to the ceiling over it."""
    near, far = sorted((axes.at(start), axes.at(start + width)))
    return sweep.straight_under(near, far)


def _middles(starts: Sequence[Fraction], widths: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """The slats' middles; most neighbours share one width, and halving it is the costly step."""
    middles = []
    width, half = None, Fraction(0)
    for start, own in zip(starts, widths, strict=True):
        if own is not width:
            width, half = own, own / 2
        middles.append(start + half)
    return tuple(middles)
