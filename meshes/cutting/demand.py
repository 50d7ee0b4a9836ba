"""From the set-out to what has to be cut: slat pieces by ripping width, spares, culls, and small strips.

Culls are strips sorted out after ripping. They are counted on top of the slats and cut from full lengths; the
short pieces beside openings come out of their sound parts first, so they cost nothing as long as they fit.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from meshes.cutting.stock import Stock
from meshes.layout.face import Strip
from meshes.layout.placed import SetOut, Slat
from meshes.layout.rect import Rect

ZERO = Fraction(0)
SOUND_SHARE = Fraction(1, 2)
"""Share of a culled strip that is sound in one piece (common practice: one defect decides, half is good)."""
FEW = 3
"""Slats of a width fewer than this (a ripped closing slat) come from the next wider strips."""
SPACERS = 2
"""Spacers made per gap, one for each end of the slat (common practice)."""
SPACER_LENGTH = Fraction(300)
"""Length of a spacer [mm] (common practice)."""
SHADOW_DEPTH = Fraction(6)
"""Depth of the strip that closes a shadow gap at its back [mm] (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlatPiece:
    """One piece to cut: ``wall`` and ``slat`` as in the set-outs, ``part`` from the start of the slat.

    ``length`` is that of its longer side; one whose top is cut to a sloping ceiling has a ``shorter`` side.
    """

    wall: int
    slat: int
    part: int
    length: Fraction
    width: Fraction
    shorter: Fraction | None = None
    longer_at: str = ""
    """left or right, seen from the room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Small:
    """A strip other than a slat, finished sizes in mm: trim, shadow strip or spacer."""

    name: str
    length: Fraction
    width: Fraction
    depth: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class FromCull:
    """One culled strip of ``length``, and the short pieces cut from its sound part, longest first [mm]."""

    length: Fraction
    pieces: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What one ripping width has to give; ``to_cut`` is the sum that the crosscut plan works on."""

    width: Fraction
    depth: Fraction
    pieces: tuple[SlatPiece, ...]
    spares: int
    culls: tuple[FromCull, ...]

    @property
    def longest(self) -> Fraction:
        return max(piece.length for piece in self.pieces)

    @property
    def to_cut(self) -> dict[Fraction, int]:
        """How many of each length [mm], longest first: pieces and spares, less what comes out of culls."""
        counts = Counter(piece.length for piece in self.pieces)
        counts.subtract(length for cull in self.culls for length in cull.pieces)
        counts[self.longest] += self.spares + len(self.culls)
        return {length: count for length, count in sorted(counts.items(), reverse=True) if count}


def slat_pieces(set_outs: Sequence[SetOut]) -> tuple[SlatPiece, ...]:
    """Every piece of every slat, in the order of the walls and slats."""
    return tuple(
        _piece(set_out.run == "upright", wall, slat, part, rect)
        for wall, set_out in enumerate(set_outs)
        for slat in set_out.slats
        for part, rect in enumerate(slat.pieces)
    )


def _piece(upright: bool, wall: int, slat: Slat, part: int, rect: Rect) -> SlatPiece:
    if not upright:
        return SlatPiece(wall=wall, slat=slat.index, part=part, length=rect.width, width=rect.height)
    left, right = slat.sides_of(rect)
    return SlatPiece(
        wall=wall,
        slat=slat.index,
        part=part,
        length=max(left, right),
        width=rect.width,
        shorter=None if left == right else min(left, right),
        longer_at="" if left == right else "left" if left > right else "right",
    )


def demands(set_outs: Sequence[SetOut], stock: Stock) -> tuple[Demand, ...]:
    """One demand a ripping width, the widest first; spares go to the width with the most pieces."""
    by_depth: dict[Fraction, list[SlatPiece]] = {}
    for piece in slat_pieces(set_outs):
        by_depth.setdefault(set_outs[piece.wall].slat_depth, []).append(piece)
    groups = [
        (width, depth, pieces)
        for depth, having in sorted(by_depth.items(), reverse=True)
        for width, pieces in _by_width(having)
    ]
    most = max((len(pieces) for _, _, pieces in groups), default=0)
    found = []
    for width, depth, pieces in groups:
        spares = stock.spares if len(pieces) == most else 0
        most = most if not spares else -1
        found.append(
            Demand(
                width=width,
                depth=depth,
                pieces=tuple(pieces),
                spares=spares,
                culls=_culls(pieces, spares, stock),
            )
        )
    return tuple(found)


def _by_width(pieces: Sequence[SlatPiece]) -> list[tuple[Fraction, list[SlatPiece]]]:
    groups: list[tuple[Fraction, list[SlatPiece]]] = []
    counts = Counter(piece.width for piece in pieces)
    for width in sorted(counts, reverse=True):
        own = [piece for piece in pieces if piece.width == width]
        if groups and counts[width] < FEW:
            groups[-1][1].extend(own)
        else:
            groups.append((width, own))
    return groups


def _culls(pieces: Sequence[SlatPiece], spares: int, stock: Stock) -> tuple[FromCull, ...]:
    """Full strips to rip beyond the need, so that enough stay when the share is sorted out of all of them."""
    longest = max(piece.length for piece in pieces)
    sound = longest * SOUND_SHARE
    full = spares + sum(1 for piece in pieces if piece.length > sound)
    culls = ceil(full / (1 - stock.culled)) - full
    short = sorted((piece.length for piece in pieces if piece.length <= sound), reverse=True)
    left = [sound] * culls
    taken: list[list[Fraction]] = [[] for _ in range(culls)]
    for length in short:
        place = next((number for number, room in enumerate(left) if room >= length), None)
        if place is not None:
            taken[place].append(length)
            left[place] -= length + stock.kerf_mm
    return tuple(FromCull(length=longest, pieces=tuple(lengths)) for lengths in taken)


def smalls(set_outs: Sequence[SetOut]) -> tuple[Small, ...]:
    """Trims, shadow strips, scribed strips and spacers of all walls, the longest first."""
    found: list[Small] = []
    for set_out in set_outs:
        scribed = {scribe.side: max(scribe.at_start, scribe.at_end) for scribe in set_out.scribes}
        for strip in (*set_out.trims, *set_out.shadow_gaps):
            found.append(_strip(strip, set_out, scribed.pop(strip.side, ZERO)))
        found += [_scribed(side, width, set_out) for side, width in scribed.items() if width > 0]
    for thickness, depth in sorted({(_spacer(one), one.slat_depth) for one in set_outs}):
        if thickness:
            found += [Small(name="spacer", length=SPACER_LENGTH, width=thickness, depth=depth)] * SPACERS
    return tuple(sorted(found, key=lambda one: (-one.length, one.name)))


def _strip(strip: Strip, set_out: SetOut, scribed: Fraction) -> Small:
    """A frame strip; where it is cut to a wall out of true, as wide as its wider end."""
    shadow = strip.kind == "shadow_gap"
    return Small(
        name="shadow strip" if shadow else strip.kind,
        length=max(strip.edges),
        width=max(strip.width, scribed),
        depth=SHADOW_DEPTH if shadow else set_out.build_up.total,
    )


def _scribed(side: str, width: Fraction, set_out: SetOut) -> Small:
    """A hidden strip where no trim or shadow gap stands between the first slat and what is out of true."""
    face, sweep = set_out.face, set_out.sweep
    length = face.width if side in ("top", "bottom") else face.height
    if sweep is not None and side in ("left", "right"):
        length = sweep.at(face.left if side == "left" else face.right) - face.bottom
    return Small(name="scribed strip", length=length, width=width, depth=SHADOW_DEPTH)


def _spacer(set_out: SetOut) -> Fraction:
    """The spacer to measure: the one that the chosen set-out names, else the gap."""
    return (set_out.chosen.spacer if set_out.chosen is not None else ZERO) or set_out.gap
