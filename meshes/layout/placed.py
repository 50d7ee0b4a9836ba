"""The values of a set-out: where everything goes.

All lengths are exact ``Fraction`` millimetres in wall coordinates. The law that everything rests on is an
equality, not an approximation: slats + gaps + ends = run.

Section through an upright slat wall, seen from above (z out of the wall, into the room)::

    z
    ^   |<-w->|<-gap->|<-w->|            slat_front
    |   +-----+       +-----+   ------ build-up (face of the slats)
    |   |slat |       |slat |   depth
    |   +-----+-------+-----+   ------ fabric face
    |   =====================   fabric
    |   ########|<c>|########   board (two boards meet behind a slat, each cut under by c/2)
    |   : : : : : : : : : : :   packing
    +---------------------------> x     the wall

Along the run: end | slat | gap | slat | ... | slat | end; a joint stands behind the middle of a slat, and
that slat belongs to the panel on its far side from the datum: it overhangs towards the datum.
"""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """An upright rectangle on the wall [mm]."""

    left: Fraction
    bottom: Fraction
    width: Fraction
    height: Fraction

    @property
    def right(self) -> Fraction:
        return self.left + self.width

    @property
    def top(self) -> Fraction:
        return self.bottom + self.height

    @property
    def area(self) -> Fraction:
        """Area [mm2]."""
        return self.width * self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUp:
    """The one named value for how far the construction stands out from the wall [mm]."""

    packing: Fraction
    board: Fraction
    fabric: Fraction
    slat: Fraction

    @property
    def fabric_face(self) -> Fraction:
        return self.packing + self.board + self.fabric

    @property
    def total(self) -> Fraction:
        return self.fabric_face + self.slat


@dataclass(frozen=True, slots=True, kw_only=True)
class Slat:
    """One slat of the rhythm: its whole extent, and the pieces left after openings were cut out."""

    index: int
    extent: Rect
    pieces: tuple[Rect, ...]
    panel: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One backing board with its slats. ``board`` is what is cut from the sheet, ``cutouts`` on the wall."""

    index: int
    board: Rect
    cutouts: tuple[Rect, ...]
    slats: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A trim or a shadow gap at one side of the run: ``side`` is left, right, top or bottom."""

    side: str
    rect: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """The visible cover of an opening, with the opening's kind and index in the survey."""

    index: int
    kind: str
    rect: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another set-out that works: gap, number of slats and the reason in words."""

    slat_count: int
    gap: Fraction
    ends: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOut:
    """One wall, set out. ``run`` is upright or level; ``slat_width`` is measured across the slat."""

    run: str
    wall_width: Fraction
    wall_height: Fraction
    face: Rect
    """The rectangle that slats and gaps fill: the run by the slat length."""
    skirting: Rect | None
    skirting_projection: Fraction
    slat_width: Fraction
    slat_depth: Fraction
    gap: Fraction
    ends: str
    build_up: BuildUp
    slats: tuple[Slat, ...]
    panels: tuple[Panel, ...]
    trims: tuple[Strip, ...] = ()
    shadow_gaps: tuple[Strip, ...] = ()
    plates: tuple[Plate, ...] = ()
    leans: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    """How far the walls at the left and right end lean into the run at the top [mm]; below 0 away from it."""
    alternatives: tuple[Alternative, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def pitch(self) -> Fraction:
        return self.slat_width + self.gap

    @property
    def run_length(self) -> Fraction:
        """What slats, gaps and ends fill exactly [mm]."""
        return self.face.width if self.run == "upright" else self.face.height
