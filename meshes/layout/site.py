"""The run as the spacing sees it: its length, its two ends from the datum on, and what is wished for."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from meshes.layout.axes import axes_of
from meshes.layout.closing import RunEnd
from meshes.layout.face import Face, ceiling_strip, end_trim
from meshes.layout.gaps import Rhythm, rhythm_of
from meshes.layout.levels import ceiling_line, floor_line
from meshes.layout.spacing import Slats
from meshes.layout.survey import End, Wall

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """How a wall meets the wall before it, on its left: turned inside or outside.

    Round an inside corner the run starts at the build-up of the wall before [mm], with a gap; round an
    outside corner at the corner itself, where the post stands.
    """

    turns: Literal["inside", "outside"]
    build_up: Fraction

    @property
    def starts_at(self) -> Fraction:
        return self.build_up if self.turns == "inside" else ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A run [mm] with its two ends, from the datum on, and what is wished for on it.

    ``at_corner``: the run starts with a gap, because it meets the wall before it in an inside corner.
    """

    run: Fraction
    width: Fraction
    slats: Slats
    ends: tuple[RunEnd, RunEnd]
    at_corner: tuple[bool, bool]
    feature: Fraction | None

    def rhythm(self, ends: str) -> Rhythm:
        first, last = ("gap" if corner else ends for corner in self.at_corner)
        return rhythm_of(self.slats, self.width, (first, last))


def slat_size(slats: Slats) -> tuple[Fraction, Fraction]:
    """(width, depth) of the slats as they are: as machined when that was measured, else as wished; mm."""
    made = slats.as_machined_mm
    if made:
        return made.width, made.depth
    alike = set(slats.pattern.widths_mm)
    return (alike.pop() if len(alike) == 1 else slats.width_mm), slats.depth_mm


def site_of(wall: Wall, slats: Slats, face: Face, corner: Corner | None) -> Site:
    """The run of a framed face."""
    axes = axes_of(slats.run, slats.datum, face.rect)
    start, end = axes.across(face.rect)
    ends = _sides(wall) if slats.run == "upright" else _foot_and_head(wall)
    inside = slats.run == "upright" and corner is not None and corner.turns == "inside"
    at_corner = (inside, False)
    feature = slats.feature_mm
    return Site(
        run=end - start,
        width=slat_size(slats)[0],
        slats=slats,
        ends=ends if axes.forward else (ends[1], ends[0]),
        at_corner=at_corner if axes.forward else (False, inside),
        feature=None if feature is None else axes.place(feature),
    )


def _sides(wall: Wall) -> tuple[RunEnd, RunEnd]:
    return _side("left", wall.left), _side("right", wall.right)


def _side(name: str, end: End) -> RunEnd:
    return RunEnd(
        name=name,
        open=end.meets == "open",
        shadow_gap=end.shadow_gap_mm,
        trim=end_trim(end),
        taper=abs(end.out_of_plumb_mm),
        hides_taper=bool(end.shadow_gap_mm or end_trim(end)),
    )


def _foot_and_head(wall: Wall) -> tuple[RunEnd, RunEnd]:
    floor, ceiling = floor_line(wall), ceiling_line(wall)
    foot = RunEnd(
        name="bottom",
        open=False,
        shadow_gap=ZERO,
        trim=ZERO,
        taper=floor.highest - min(floor.left, floor.right),
        hides_taper=bool(wall.plinth_mm or wall.closing_trim_mm),
    )
    strip = ceiling_strip(wall)
    head = RunEnd(
        name="top",
        open=False,
        shadow_gap=strip if wall.ceiling == "shadow" else ZERO,
        trim=strip if wall.ceiling == "trim" else ZERO,
        taper=ceiling.highest - ceiling.lowest,
        hides_taper=bool(strip),
    )
    return foot, head
