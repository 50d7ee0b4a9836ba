"""The set-out as plain values for JSON; lengths rounded once, to 0.001 mm, from exact positions."""

from collections.abc import Sequence
from math import atan2, degrees
from typing import Any

from meshes.layout.alternative import Alternative
from meshes.layout.face import Strip
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import Band, Panel, SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.rod import Rod, panel_rod, wall_rod

Json = dict[str, Any]


def walls_json(set_outs: Sequence[SetOut]) -> Json:
    """What ``set-out`` prints: the first wall, and under ``next_walls`` those round its corners."""
    first, *others = (as_json(one) for one in set_outs)
    return {**first, "next_walls": others} if others else first


def as_json(set_out: SetOut) -> Json:
    """One wall. One ``slats`` entry a piece, so a slat that openings or joints cut has several."""
    return {
        "run": set_out.run,
        "datum": set_out.datum,
        "turns": set_out.turns,
        "slat_count": len(set_out.slats),
        "gap_mm": rounded_mm(set_out.gap),
        "gap_exact": str(set_out.gap),
        "pitch_mm": rounded_mm(set_out.pitch),
        "pitch_exact": str(set_out.pitch),
        "run_mm": rounded_mm(set_out.run_length),
        "ends": set_out.ends,
        "slat_width_mm": rounded_mm(set_out.slat_width),
        "slat_depth_mm": rounded_mm(set_out.slat_depth),
        "build_up_mm": rounded_mm(set_out.build_up.total),
        "chosen": _choice(set_out.chosen) if set_out.chosen else None,
        "slats": [
            {
                "slat": slat.index,
                "panel": slat.panel,
                **rect_json(piece),
                **({"loose": True} if slat.loose else {}),
                **_cut_top(slat, piece),
            }
            for slat in set_out.slats
            for piece in slat.pieces
        ],
        "panels": [_panel(panel) for panel in set_out.panels],
        "trims": [_strip(strip) for strip in set_out.trims],
        "shadow_gaps": [_strip(strip) for strip in set_out.shadow_gaps],
        "skirting": rect_json(set_out.skirting) if set_out.skirting else None,
        "scribes": [
            {
                "side": scribe.side,
                "at_start_mm": rounded_mm(scribe.at_start),
                "at_end_mm": rounded_mm(scribe.at_end),
            }
            for scribe in set_out.scribes
        ],
        "plates": [
            {
                "opening": plate.index,
                "kind": plate.kind,
                "sits": plate.sits,
                "stands_out_mm": rounded_mm(plate.stands_out),
                **rect_json(plate.rect),
            }
            for plate in set_out.plates
        ],
        "no_drill": [
            {"why": band.why, **rect_json(band.rect), **_lower_edge(band)} for band in set_out.bands
        ],
        "alternatives": [_choice(other) for other in set_out.alternatives],
        "rejected": [
            {"kind": one.kind, "gap_mm": rounded_mm(one.gap), "rule": one.rule} for one in set_out.rejected
        ],
        "flatness": _flatness(set_out),
        "movement": _movement(set_out),
        "rod": rod_json(wall_rod(set_out)),
        "panel_rods": [rod_json(panel_rod(set_out, panel)) for panel in set_out.panels],
        "warnings": list(set_out.warnings),
    }


def off_square_deg(slat: Slat) -> float:
    """How far a swept slat's top is off a square cut [degrees], always above 0."""
    left, right = slat.rise
    return round(degrees(atan2(abs(right - left), slat.extent.width)), 2)


def _cut_top(slat: Slat, piece: Rect) -> Json:
    """The top of a piece that is cut to the ceiling; ``top_mm`` is then its lower corner."""
    left, right = slat.rise_of(piece)
    if left == right:
        return {}
    sides = slat.sides_of(piece)
    return {
        "top_left_mm": rounded_mm(piece.top + left),
        "top_right_mm": rounded_mm(piece.top + right),
        "longer_side_mm": rounded_mm(max(sides)),
        "shorter_side_mm": rounded_mm(min(sides)),
        "off_square_deg": off_square_deg(slat),
    }


def _lower_edge(band: Band) -> Json:
    """The lower edge of a band under a ceiling out of level, at the wall's left end, middle and right end."""
    if band.lower is None:
        return {}
    edge = band.lower
    return {
        "bottom_left_mm": rounded_mm(edge.left),
        "bottom_middle_mm": rounded_mm(edge.middle),
        "bottom_right_mm": rounded_mm(edge.right),
    }


def rect_json(rect: Rect) -> dict[str, int | float]:
    """left, width, bottom, top [mm], each rounded by itself from its exact value."""
    return {
        "left_mm": rounded_mm(rect.left),
        "width_mm": rounded_mm(rect.width),
        "bottom_mm": rounded_mm(rect.bottom),
        "top_mm": rounded_mm(rect.top),
    }


def rod_json(rod: Rod) -> Json:
    """A rod's marks; inches to 1/16 or 1/32 beside the millimetres."""
    return {
        "datum": rod.datum,
        "length_mm": rounded_mm(rod.length),
        "marks": [
            {
                "at_mm": rounded_mm(mark.at),
                "at_in": mark.inches.replace("−", "-"),
                "kind": mark.kind,
                "index": mark.index,
                "bold": mark.bold,
            }
            for mark in rod.marks
        ],
    }


def _strip(strip: Strip) -> Json:
    left, right = strip.rise
    top = strip.rect.top
    sloping = {"top_left_mm": rounded_mm(top + left), "top_right_mm": rounded_mm(top + right)}
    found = {"side": strip.side, "kind": strip.kind, **rect_json(strip.rect)}
    return {**found, **sloping} if any(strip.rise) else found


def _choice(choice: Alternative) -> Json:
    return {
        "kind": choice.kind,
        "slat_count": choice.slat_count,
        "gap_mm": rounded_mm(choice.gap),
        "gap_exact": str(choice.gap),
        "ends": choice.ends,
        "reason": choice.reason,
        "spacer_mm": rounded_mm(choice.spacer),
        "drift_mm": rounded_mm(choice.drift),
        "reset_every": choice.reset_every,
        "reset_at_mm": [rounded_mm(place) for place in choice.resets],
        "closing_slats_mm": [rounded_mm(slat) for slat in (choice.start_slat, choice.end_slat) if slat],
    }


def _panel(panel: Panel) -> Json:
    """A panel as it stands, cloth included; the board as it is cut; cut-outs from the board's own corner."""
    return {
        "panel": panel.index,
        **rect_json(panel.outline),
        "slats": list(panel.slats),
        "board": rect_json(panel.board),
        "parts": [rect_json(part) for part in panel.parts],
        "cutouts": [rect_json(cut) for cut in panel.cutouts],
        "cutouts_from_corner": [rect_json(panel.from_own_corner(cut)) for cut in panel.cutouts],
        "weight_kg": round(float(panel.weight_kg), 2),
        "removable": panel.removable,
        "fixings": [
            {
                "x_mm": rounded_mm(point.x),
                "y_mm": rounded_mm(point.y),
                "slat": point.slat,
                **({"on_stud": True} if point.on_stud else {}),
                **({"cleared_by": point.cleared_by} if point.cleared_by else {}),
            }
            for point in panel.fixings
        ],
    }


def _flatness(set_out: SetOut) -> Json | None:
    flatness = set_out.flatness
    if flatness is None:
        return None
    return {
        "under_2_m_mm": rounded_mm(flatness.under_2_m),
        "treatment": flatness.treatment,
        "packers_mm": [[rounded_mm(depth) for depth in row] for row in flatness.packers],
    }


def _movement(set_out: SetOut) -> Json | None:
    moved = set_out.movement
    if moved is None:
        return None
    return {
        "species": moved.species,
        "slat_mm": rounded_mm(moved.slat_mm),
        "narrowest_gap_mm": rounded_mm(moved.narrowest_gap_mm),
        "widest_gap_mm": rounded_mm(moved.widest_gap_mm),
        "panel_mm": rounded_mm(moved.panel_mm),
        "end_clearance_mm": rounded_mm(moved.end_clearance_mm),
    }
