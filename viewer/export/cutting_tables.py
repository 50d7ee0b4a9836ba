"""The cutting plan as tables: what to rip and crosscut, with stops counted from one end, and sheets."""

from collections.abc import Iterator
from fractions import Fraction

from finishes.fabric_cut import FabricPlan
from meshes.cutting.crosscut import Crosscut, Pattern
from meshes.cutting.plan import Plan
from meshes.cutting.timber import Timber
from meshes.layout.lengths import rounded_mm
from viewer.export.cells import Cell, Table

Row = tuple[Cell, ...]


def cutting_tables(plan: Plan, fabric: FabricPlan | None) -> tuple[Table, ...]:
    """Sections, ripping, crosscuts, small strips, boards in sheets, saw cuts, and the cloth."""
    return (
        Table(name="sections", head=SECTIONS, rows=tuple(_sections(plan))),
        Table(name="ripping", head=RIPPING, rows=tuple(_ripping(plan))),
        Table(name="crosscuts", head=CROSSCUTS, rows=tuple(_crosscuts(plan))),
        Table(name="small-strips", head=SMALLS, rows=tuple(_smalls(plan))),
        Table(name="boards", head=BOARDS, rows=tuple(_boards(plan))),
        Table(name="sheet-cuts", head=SHEET_CUTS, rows=tuple(_sheet_cuts(plan))),
        Table(name="fabric", head=FABRIC, rows=tuple(_fabric(fabric)) if fabric is not None else ()),
    )


SECTIONS = ("section_mm", "length_mm", "count")


def _sections(plan: Plan) -> Iterator[Row]:
    section = " × ".join(f"{rounded_mm(side)}" for side in plan.stock.section_mm)
    for length, count in plan.sections.items():
        yield section, rounded_mm(length), count


RIPPING = (
    "slat_width_mm",
    "slat_depth_mm",
    "fence_width_mm",
    "fence_depth_mm",
    "columns",
    "rows",
    "slats_per_section",
    "kerf_mm",
)


def _ripping(plan: Plan) -> Iterator[Row]:
    for one in plan.timber:
        lengths = (one.demand.width, one.demand.depth, one.rip.sawn_width, one.rip.sawn_depth)
        yield (
            *(rounded_mm(length) for length in lengths),
            one.rip.columns,
            one.rip.rows,
            one.rip.count,
            rounded_mm(one.rip.kerf),
        )


CROSSCUTS = ("slat_width_mm", "cut", "times", "strip_mm", "piece", "length_mm", "from_mm", "to_mm")
"""``from`` and ``to`` are stops along the strip, counted from one end, end trim and kerfs taken off."""


def _crosscuts(plan: Plan) -> Iterator[Row]:
    for one in plan.timber:
        for number, pattern in enumerate(one.crosscut.patterns, start=1):
            yield from _stopped(one, number, pattern, one.crosscut.order.end_trim)
        from_rests = [pattern for taken in one.from_rests for pattern in taken.patterns]
        for number, pattern in enumerate(from_rests, start=len(one.crosscut.patterns) + 1):
            yield from _stopped(one, number, pattern, Fraction(0))


def _stopped(one: Timber, number: int, pattern: Pattern, trim: Fraction) -> Iterator[Row]:
    for place, (start, end) in enumerate(stops(one.crosscut, pattern, trim), start=1):
        yield (
            rounded_mm(one.demand.width),
            number,
            pattern.times,
            rounded_mm(pattern.stock_length),
            place,
            rounded_mm(end - start),
            rounded_mm(start),
            rounded_mm(end),
        )


def stops(
    crosscut: Crosscut, pattern: Pattern, trim: Fraction | None = None
) -> tuple[tuple[Fraction, Fraction], ...]:
    """Start and end of each piece along its strip [mm]: after the end trim, a kerf between neighbours.

    ``trim``: another than the order's; a strip out of a rest has lost its ends with the section.
    """
    found = []
    at = crosscut.order.end_trim if trim is None else trim
    for piece in pattern.pieces:
        found.append((at, at + piece))
        at += piece + crosscut.order.kerf
    return tuple(found)


SMALLS = ("name", "length_mm", "width_mm", "depth_mm", "from")


def _smalls(plan: Plan) -> Iterator[Row]:
    for used in plan.reuse.used:
        sides = (used.bar.width, used.bar.depth, used.bar.length)
        came_from = f"{used.bar.came_from} {' × '.join(f'{rounded_mm(side)}' for side in sides)}"
        for small in used.smalls:
            sizes = (small.length, small.width, small.depth)
            yield small.name, *(rounded_mm(size) for size in sizes), came_from
    for small in plan.reuse.to_buy:
        sizes = (small.length, small.width, small.depth)
        yield small.name, *(rounded_mm(size) for size in sizes), "to buy"


BOARDS = ("sheet", "board", "left_mm", "bottom_mm", "width_mm", "height_mm", "turned")


def _boards(plan: Plan) -> Iterator[Row]:
    for number, layout in enumerate(plan.sheets.layouts if plan.sheets else (), start=1):
        for lying in layout.boards:
            sides = (lying.left, lying.bottom, lying.width, lying.height)
            yield (
                number,
                plan.board_names[lying.board],
                *(rounded_mm(side) for side in sides),
                "turned" if lying.turned else "",
            )


SHEET_CUTS = ("sheet", "cut", "runs", "at_mm", "from_mm", "to_mm")


def _sheet_cuts(plan: Plan) -> Iterator[Row]:
    for number, layout in enumerate(plan.sheets.layouts if plan.sheets else (), start=1):
        for place, cut in enumerate(layout.cuts, start=1):
            lengths = (cut.at, cut.start, cut.end)
            yield (
                number,
                place,
                "upright" if cut.upright else "level",
                *(rounded_mm(length) for length in lengths),
            )


FABRIC = ("drop", "starts_mm", "length_mm", "board", "left_mm", "across_mm", "along_mm")


def _fabric(fabric: FabricPlan) -> Iterator[Row]:
    for number, drop in enumerate(fabric.drops, start=1):
        start, length = round(drop.start_mm, 1), round(drop.length_mm, 1)
        if drop.spare:
            yield number, start, length, "spare", None, None, None
        for piece in drop.pieces:
            sides = (piece.left_mm, piece.across_mm, piece.along_mm)
            yield number, start, length, piece.board, *(round(side, 1) for side in sides)
