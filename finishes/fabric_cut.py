"""Fabric for the boards: pieces with wrap and shrinkage, drops from the roll, metres, staples and glue.

A drop is a length cut from the roll; boards that fit beside each other within the usable width share one::

    <------------ usable width ------------>
    +------------+------------+------------+---+
    |  board 0   |  board 1   |  board 2   |   |   one drop, as long as its longest piece
    +------------+------------+------------+---+
                                               ^ left over

Which boards share a drop is worked out in :mod:`finishes.drops`. Cut-outs for openings never reduce the
metres. A cloth with a nap is cut one way only.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal, TypeAlias

from finishes.catalogue import Catalogue
from finishes.catalogue.entries import FabricEntry
from finishes.drops import Size, share

Lay: TypeAlias = Literal["along", "across"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board to be covered [mm]; ``height_mm`` is the direction in which the nap shall hang."""

    name: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece in a drop [mm]: ``across_mm`` and ``along_mm`` are measured on the roll, from its left edge.

    ``seam`` counts the widths that are sewn or butted to make a board wider than the roll; 0 is a whole
    piece.
    """

    board: str
    left_mm: float
    across_mm: float
    along_mm: float
    seam: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """One length cut from the roll [mm] with its pieces; ``start_mm`` is where it begins on the roll."""

    start_mm: float
    length_mm: float
    pieces: tuple[Piece, ...]
    spare: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricPlan:
    """The cutting diagram as data, and what to buy.

    lay : pieces lie along the roll (height along its length) or across it.
    fewest_drops : no plan of this lay has fewer drops than this.
    could_save_mm : what another sharing of the same pieces might still save at most; 0 is a proof of the
        least.
    edge_m, area_m2 : of the boards; staples go along the edge, glue over the area; ``between`` is low and
        high.
    """

    fabric: str
    lay: Lay
    usable_width_mm: float
    drops: tuple[Drop, ...]
    fewest_drops: int
    could_save_mm: float
    metres: float
    edge_m: float
    area_m2: float
    staples: int
    staples_between: tuple[int, int]
    glue_l: float
    glue_between_l: tuple[float, float]
    notes: tuple[str, ...]


def fabric(
    boards: Sequence[Board],
    entry: FabricEntry,
    catalogue: Catalogue,
    *,
    lay: Lay | None = None,
    wrap_mm: float | None = None,
    usable_width_mm: float | None = None,
    spare_drops: int = 1,
) -> FabricPlan:
    """Drops and metres for the boards.

    lay : None chooses the one without seams and then with the fewer metres; a cloth with a nap is never
    mixed, and lies along unless asked.
    wrap_mm, usable_width_mm : replace the catalogue's.
    Raises ValueError for a board without size, a wrap below 0, or a painted backing.
    """
    if entry.kind != "fabric" or entry.usable_width_mm is None or entry.shrinkage_percent is None:
        raise ValueError(f"{entry.name!r} is a paint; it has no metres")
    if not boards or any(not (board.width_mm > 0 and board.height_mm > 0) for board in boards):
        raise ValueError("boards: at least one is needed, each wider and higher than 0 mm")
    wrap = catalogue.rate("fabric wrap").likely if wrap_mm is None else wrap_mm
    if not wrap >= 0:
        raise ValueError(f"wrap_mm is {wrap:g}; it must be 0 or more")
    usable = entry.usable_width_mm.value if usable_width_mm is None else usable_width_mm
    grown = 1.0 / (1.0 - entry.shrinkage_percent.value / 100.0)
    seam = catalogue.rate("fabric seam").likely
    if not usable > seam:
        raise ValueError(f"usable_width_mm is {usable:g}; it must be more than the seam's {seam:g}")
    lays: tuple[Lay, ...] = (lay,) if lay else ("along",) if entry.nap else ("along", "across")
    plans = [_plan(boards, way, wrap, grown, usable, seam) for way in lays]
    best = min(range(len(plans)), key=lambda n: (_seams(plans[n][0]), _length_mm(plans[n][0]), n))
    drops = list(plans[best][0])
    for _ in range(spare_drops):
        longest = max(drop.length_mm for drop in plans[best][0])
        start = drops[-1].start_mm + drops[-1].length_mm
        drops.append(Drop(start_mm=start, length_mm=longest, pieces=(), spare=True))
    total = _length_mm(drops)
    spacing, adhesive = catalogue.rate("staple spacing"), catalogue.rate("adhesive")
    edge = sum(2.0 * (board.width_mm + board.height_mm) for board in boards) / 1000.0
    area = sum(board.width_mm * board.height_mm for board in boards) / 1e6
    widths = sum(piece.across_mm for drop in drops for piece in drop.pieces)
    return FabricPlan(
        fabric=entry.name,
        lay=lays[best],
        usable_width_mm=usable,
        drops=tuple(drops),
        fewest_drops=ceil(widths / usable - 1e-9),
        could_save_mm=plans[best][1],
        metres=ceil(total / 100.0 - 1e-9) / 10.0,
        edge_m=edge,
        area_m2=area,
        staples=ceil(edge * 1000.0 / spacing.likely),
        staples_between=(ceil(edge * 1000.0 / spacing.high), ceil(edge * 1000.0 / spacing.low)),
        glue_l=area * adhesive.likely,
        glue_between_l=(area * adhesive.low, area * adhesive.high),
        notes=_notes(entry, lays[best], any(piece.seam for drop in drops for piece in drop.pieces)),
    )


def drops_for_width(piece_mm: float, usable_mm: float, seam_mm: float) -> int:
    """Widths of cloth that a piece needs: ceil(piece / (roll - seam)); 1 when it fits whole."""
    return 1 if piece_mm <= usable_mm else ceil(piece_mm / (usable_mm - seam_mm) - 1e-9)


def _plan(
    boards: Sequence[Board], lay: Lay, wrap: float, grown: float, usable: float, seam: float
) -> tuple[tuple[Drop, ...], float]:
    """The drops of one lay, and what another sharing might still save [mm]."""
    waiting: dict[Size, list[Piece]] = {}
    for board in boards:
        width, height = (
            (board.width_mm, board.height_mm) if lay == "along" else (board.height_mm, board.width_mm)
        )
        across, along = (width + 2.0 * wrap) * grown, (height + 2.0 * wrap) * grown
        count = drops_for_width(across, usable, seam)
        share_mm = across if count == 1 else across / count + seam
        for n in range(count):
            piece = Piece(
                board=board.name,
                left_mm=0.0,
                across_mm=share_mm,
                along_mm=along,
                seam=0 if count == 1 else n + 1,
            )
            waiting.setdefault((share_mm, along), []).append(piece)
    shared = share([size for size, pieces in waiting.items() for _ in pieces], usable)
    drops, start = [], 0.0
    for sizes in shared.drops:
        left, placed = 0.0, []
        for size in sizes:
            placed.append(replace(waiting[size].pop(0), left_mm=left))
            left += size[0]
        length = max(along for _, along in sizes)
        drops.append(Drop(start_mm=start, length_mm=length, pieces=tuple(placed)))
        start += length
    return tuple(drops), max(0.0, shared.length_mm - shared.shortest_mm)


def _seams(drops: Sequence[Drop]) -> int:
    return sum(piece.seam > 1 for drop in drops for piece in drop.pieces)


def _length_mm(drops: Sequence[Drop]) -> float:
    return sum(drop.length_mm for drop in drops)


def _notes(entry: FabricEntry, lay: Lay, seamed: bool) -> tuple[str, ...]:
    notes = ["Cut-outs for openings are cut after covering; they save no cloth."]
    if entry.nap:
        notes.append(
            "Mark the nap with an arrow on the back of the cloth before the first cut; all arrows point down."
        )
    if lay == "across":
        notes.append("The pieces lie across the roll: check that the weave looks right turned by a quarter.")
    if seamed:
        notes.append("A board is wider than the roll: place the seam behind a slat.")
    if entry.light_fastness:
        notes.append(entry.light_fastness)
    return tuple(notes)
