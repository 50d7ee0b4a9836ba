"""The values of a set-out: where everything goes. Those that one module makes alone stand beside it.

All lengths are exact ``Fraction`` millimetres in wall coordinates. The law that everything rests on is an
equality, not an approximation: slats + gaps + ends = run.

Section through an upright slat wall, seen from above (z out of the wall, into the room)::

    z
    ^   |<-w->|<-gap->|<-w->|            slat_front
    |   +-----+       +-----+   ------ build-up (face of the slats)
    |   |slat |       |slat |   depth
    |   +-----+-------+-----+   ------ fabric face
    |   =====================   fabric
    |   ######f||<c>||f######   board; at a joint behind a slat each is cut under by c/2 and the wrap f
    |   : : : : : : : : : : :   packing
    +---------------------------> x     the wall

Along the run: end | slat | gap | slat | ... | slat | end. A joint stands behind the middle of a slat, and
that slat belongs to the panel on its far side from the datum: it overhangs towards the datum, so that each
panel is pressed on and slides under nothing. An end is nothing, a closing gap, or a gap and a ripped closing
slat.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.face import Strip
from meshes.layout.flatness import Flatness
from meshes.layout.levels import Line
from meshes.layout.movement import Movement
from meshes.layout.rect import Rect
from meshes.layout.scribe import Scribe


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
    """One slat of the rhythm: its whole extent, and the pieces left after openings were cut out.

    Pieces that touch are joints of a slat longer than its stock. A loose slat goes on last, over fixings.
    ``rise``: how much higher than the extent the left and the right corner of its top stand, where it is cut
    to a ceiling that slopes; the extent goes up to the lower of them.
    """

    index: int
    extent: Rect
    pieces: tuple[Rect, ...]
    panel: int
    loose: bool = False
    rise: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))

    def rise_of(self, piece: Rect) -> tuple[Fraction, Fraction]:
        """The same for one of its pieces: only that at its top is cut to the ceiling."""
        return self.rise if piece.top == self.extent.top else (Fraction(0), Fraction(0))

    def sides_of(self, piece: Rect) -> tuple[Fraction, Fraction]:
        """Lengths of an upright piece along its left and its right edge [mm]."""
        left, right = self.rise_of(piece)
        return piece.height + left, piece.height + right


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixing:
    """A point where a panel is fixed to the wall, under slat ``slat``; ``cleared_by`` answers for a band."""

    x: Fraction
    y: Fraction
    slat: int
    on_stud: bool = False
    cleared_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One backing board with its slats. ``board`` is what is cut from the sheet, ``cutouts`` on the wall.

    ``wrap`` is the cloth round the board's edges. ``parts`` are the boards that it is made of where it is
    longer than a sheet; one otherwise. ``removable``: comes off for access without touching its neighbours.
    """

    index: int
    board: Rect
    cutouts: tuple[Rect, ...]
    slats: tuple[int, ...]
    wrap: Fraction = Fraction(0)
    parts: tuple[Rect, ...] = ()
    weight_kg: Fraction = Fraction(0)
    removable: bool = False
    fixings: tuple[Fixing, ...] = ()

    @property
    def outline(self) -> Rect:
        """The panel as it stands on the wall, cloth round its edges included."""
        board, wrap = self.board, self.wrap
        return Rect(
            left=board.left - wrap,
            bottom=board.bottom - wrap,
            width=board.width + 2 * wrap,
            height=board.height + 2 * wrap,
        )

    def from_own_corner(self, cut: Rect) -> Rect:
        """A cut-out dimensioned from the lower left corner of the board that is cut."""
        return Rect(
            left=cut.left - self.board.left,
            bottom=cut.bottom - self.board.bottom,
            width=cut.width,
            height=cut.height,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedOpening:
    """An opening where it lies on the wall, its kind and index in the survey; ``hole`` is free of slats."""

    index: int
    kind: str
    rect: Rect
    hole: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """The visible cover of an opening, with the opening's kind and index in the survey.

    ``sits``: in a pocket, on the board or on the slats; ``stands_out``: from the wall to the plate's back.
    """

    index: int
    kind: str
    rect: Rect
    sits: str = "pocket"
    stands_out: Fraction = Fraction(0)
    lab_d65: tuple[Fraction, Fraction, Fraction] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Where nothing is drilled without a person's name to it, and why.

    ``lower``: its lower edge, where the ceiling over it is out of level and its upper edge is that ceiling;
    ``rect`` is then the rectangle round it.
    """

    rect: Rect
    why: str
    lower: Line | None = None

    @property
    def depth(self) -> Fraction:
        """From its lower edge up to its upper one [mm], the same everywhere."""
        return self.rect.height if self.lower is None else self.rect.top - self.lower.highest


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOut:
    """One wall, set out. ``run`` is upright or level; ``slat_width`` is measured across the slat.

    ``gap`` is the solved or chosen gap; in a pattern or at a closing end single gaps differ: the slats' own
    extents are the truth. ``turns``: first, or inside or outside the corner from the wall before.
    """

    run: str
    wall_width: Fraction
    wall_height: Fraction
    """Up to the ceiling: to its lowest point, or where slats are swept to it, to its highest."""
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
    openings: tuple[PlacedOpening, ...] = ()
    plates: tuple[Plate, ...] = ()
    """Those openings that a visible plate covers."""
    leans: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    """How far the walls at the left and right end lean into the run at the top [mm]; below 0 away from it."""
    ceiling: tuple[Fraction, Fraction, Fraction] | None = None
    """Height of a ceiling that is not level at the wall's left end, middle and right end [mm]."""
    floor_rise: Fraction = Fraction(0)
    """How much higher the floor is at the wall's right end than at its left, where y = 0 [mm]."""
    sweep: Line | None = None
    """The line that upright slats are cut to, under a ceiling that they are swept to; else None."""
    alternatives: tuple[Alternative, ...] = ()
    warnings: tuple[str, ...] = ()
    datum: str = "left"
    rod_parts: int = 16
    """Of an inch, to which rods are marked."""
    turns: Literal["first", "inside", "outside"] = "first"
    chosen: Alternative | None = None
    rejected: tuple[Rejected, ...] = ()
    scribes: tuple[Scribe, ...] = ()
    bands: tuple[Band, ...] = ()
    flatness: Flatness | None = None
    movement: Movement | None = None

    @property
    def pitch(self) -> Fraction:
        return self.slat_width + self.gap

    @property
    def lowest_floor(self) -> Fraction:
        """The floor's lowest point, 0 or below [mm]."""
        return min(Fraction(0), self.floor_rise)

    @property
    def run_length(self) -> Fraction:
        """What slats, gaps and ends fill exactly [mm]."""
        return self.face.width if self.run == "upright" else self.face.height
