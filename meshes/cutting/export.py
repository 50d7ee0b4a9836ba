"""The cutting plan as plain JSON values: ``stock`` and ``sheets`` of the take-off, printed lengths in mm."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from meshes.cutting.beside import FromRest
from meshes.cutting.crosscut import Crosscut, Pattern
from meshes.cutting.demand import Small
from meshes.cutting.plan import Plan
from meshes.cutting.reuse import Bar, Reused
from meshes.cutting.rip import Rip
from meshes.cutting.sheets import Lying, SheetLayout
from meshes.cutting.timber import Timber
from meshes.layout.lengths import rounded_mm

Json = dict[str, Any]


def stock_json(plan: Plan) -> Json:
    """Sections to buy with bound and proof; per slat width how to rip and crosscut; what is left; balance."""
    balance = plan.balance
    return {
        "section_mm": [rounded_mm(side) for side in plan.stock.section_mm],
        "sections": _counted(plan.sections.items()),
        "section_count": sum(plan.sections.values()),
        "length_mm": rounded_mm(plan.cost),
        "bound_mm": rounded_mm(plan.bound),
        "proven": plan.timber_proven,
        "gap_share": round(float(plan.timber_gap), 4),
        "slats": [_timber(one) for one in plan.timber],
        "small_strips": [_reused(one) for one in plan.reuse.used],
        "small_strips_to_buy": [_small(small) for small in plan.reuse.to_buy],
        "offcuts_kept": [{**_bar(bar), "count": count} for bar, count in plan.reuse.kept],
        "balance_m3": {
            name: round(float(getattr(balance, name)) / 1e9, 6)
            for name in ("bought", "slats", "spares", "culls", "smalls", "kerf", "kept", "waste")
        },
        "ready_made_strips": [
            {
                "width_mm": rounded_mm(one.demand.width),
                "depth_mm": rounded_mm(one.demand.depth),
                "strips": _counted(one.ready_made.sections),
                "length_mm": rounded_mm(one.ready_made.cost),
            }
            for one in plan.timber
        ],
        "warnings": list(plan.warnings),
    }


def sheets_json(plan: Plan) -> Json:
    """Sheets to buy with bound and proof, and where every board lies."""
    sheets = plan.sheets
    if sheets is None:
        return {"count": 0, "bound": 0, "proven": True, "sheet_mm": None, "layouts": []}
    return {
        "sheet_mm": [rounded_mm(side) for side in sheets.order.sheet],
        "thickness_mm": rounded_mm(plan.panels.thickness_mm),
        "count": sheets.count,
        "bound": sheets.bound,
        "proven": sheets.proven,
        "boards": len(sheets.order.boards),
        "kerf_mm": rounded_mm(sheets.order.kerf),
        "layouts": [_layout(plan, layout) for layout in sheets.layouts],
    }


def _counted(sections: Iterable[tuple[Fraction, int]]) -> list[Json]:
    return [{"length_mm": rounded_mm(length), "count": count} for length, count in sections]


def _timber(one: Timber) -> Json:
    demand = one.demand
    lengths: dict[Fraction, list[list[int]]] = {}
    for piece in demand.pieces:
        lengths.setdefault(piece.length, []).append([piece.wall, piece.slat, piece.part])
    return {
        "width_mm": rounded_mm(demand.width),
        "depth_mm": rounded_mm(demand.depth),
        "pieces": [
            {"length_mm": rounded_mm(length), "count": len(which), "wall_slat_part": which}
            for length, which in sorted(lengths.items(), reverse=True)
        ],
        "tops_to_cut": [
            {
                "wall_slat_part": [piece.wall, piece.slat, piece.part],
                "longer_side_mm": rounded_mm(piece.length),
                "shorter_side_mm": rounded_mm(piece.shorter),
                "longer_at": piece.longer_at,
            }
            for piece in demand.pieces
            if piece.shorter is not None
        ],
        "piece_count": len(demand.pieces),
        "spares": demand.spares,
        "culls": [
            {"length_mm": rounded_mm(cull.length), "pieces_mm": [rounded_mm(piece) for piece in cull.pieces]}
            for cull in demand.culls
        ],
        "rip": _rip(one.rip),
        "crosscut": _crosscut(one.crosscut),
        "from_rests": [_from_rest(taken) for taken in one.from_rests],
    }


def _from_rest(taken: FromRest) -> Json:
    """Slats out of what ripping wider ones leaves: ``rests`` bars, each ripped again, strips cut as said."""
    return {
        **_bar(taken.bar),
        "rests": taken.bars,
        "slats_per_rest": taken.rip.count,
        "fence_mm": [rounded_mm(taken.rip.sawn_width), rounded_mm(taken.rip.sawn_depth)],
        "patterns": [_pattern(pattern) for pattern in taken.patterns],
        "strips_left_whole": taken.uncut,
    }


def _rip(rip: Rip) -> Json:
    return {
        "slats_per_section": rip.count,
        "across_mm": rounded_mm(rip.across),
        "along_mm": rounded_mm(rip.along),
        "columns": rip.columns,
        "rows": rip.rows,
        "fence_mm": [rounded_mm(rip.sawn_width), rounded_mm(rip.sawn_depth)],
        "faces": [
            {
                "column": slat.column,
                "row": slat.row,
                "front": slat.front,
                "back": slat.back,
                "edges": list(slat.edges),
            }
            for slat in rip.slats
        ],
        "rests": [
            {"width_mm": rounded_mm(rest.width), "depth_mm": rounded_mm(rest.depth), "count": rest.count}
            for rest in rip.rests
        ],
        "front_rounding_mm": rounded_mm(rip.front_rounding),
    }


def _crosscut(plan: Crosscut) -> Json:
    return {
        "sections": _counted(plan.sections),
        "strips_per_section": plan.order.strips_per_section,
        "kerf_mm": rounded_mm(plan.order.kerf),
        "end_trim_mm": rounded_mm(plan.order.end_trim),
        "patterns": [_pattern(pattern) for pattern in plan.patterns],
        "strips_left_whole": _counted(plan.uncut),
        "length_mm": rounded_mm(plan.cost),
        "bound_mm": rounded_mm(plan.bound),
        "proven": plan.proven,
        "gap_share": round(float(plan.gap), 4),
    }


def _pattern(pattern: Pattern) -> Json:
    return {
        "strip_mm": rounded_mm(pattern.stock_length),
        "times": pattern.times,
        "pieces_mm": [rounded_mm(length) for length in pattern.pieces],
        "end_trims_mm": rounded_mm(pattern.end_trims),
        "kerf_mm": rounded_mm(pattern.kerf),
        "rest_mm": rounded_mm(pattern.rest),
    }


def _bar(bar: Bar) -> Json:
    return {
        "from": bar.came_from,
        "width_mm": rounded_mm(bar.width),
        "depth_mm": rounded_mm(bar.depth),
        "length_mm": rounded_mm(bar.length),
    }


def _small(small: Small) -> Json:
    return {
        "name": small.name,
        "length_mm": rounded_mm(small.length),
        "width_mm": rounded_mm(small.width),
        "depth_mm": rounded_mm(small.depth),
    }


def _reused(one: Reused) -> Json:
    return {
        **_bar(one.bar),
        "gives": [_small(small) for small in one.smalls],
        "rest_mm": rounded_mm(one.rest),
    }


def _layout(plan: Plan, layout: SheetLayout) -> Json:
    keep = plan.stock.keep_board_mm
    kept = [one for one in layout.offcuts if min(one.width, one.height) >= keep]
    return {
        "boards": [
            {**_lying(one), "name": plan.board_names[one.board], "turned": one.turned}
            for one in layout.boards
        ],
        "cuts": [
            {
                "runs": "upright" if cut.upright else "level",
                "at_mm": rounded_mm(cut.at),
                "from_mm": rounded_mm(cut.start),
                "to_mm": rounded_mm(cut.end),
            }
            for cut in layout.cuts
        ],
        "offcuts_kept": [_lying(one) for one in kept],
    }


def _lying(one: Lying) -> Json:
    return {
        "left_mm": rounded_mm(one.left),
        "bottom_mm": rounded_mm(one.bottom),
        "width_mm": rounded_mm(one.width),
        "height_mm": rounded_mm(one.height),
    }
