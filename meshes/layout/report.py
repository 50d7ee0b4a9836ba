"""The set-out as plain values for JSON; lengths rounded once, to 0.001 mm, from exact positions."""

from typing import Any

from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import Rect, SetOut


def as_json(set_out: SetOut) -> dict[str, Any]:
    """What ``set-out`` prints. One ``slats`` entry a piece, so a slat cut by an opening has several."""
    return {
        "run": set_out.run,
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
        "slats": [
            {"slat": slat.index, "panel": slat.panel, **rect_json(piece)}
            for slat in set_out.slats
            for piece in slat.pieces
        ],
        "panels": [
            {
                "panel": panel.index,
                **rect_json(panel.board),
                "slats": list(panel.slats),
                "cutouts": [rect_json(cut) for cut in panel.cutouts],
            }
            for panel in set_out.panels
        ],
        "trims": [{"side": strip.side, **rect_json(strip.rect)} for strip in set_out.trims],
        "shadow_gaps": [{"side": strip.side, **rect_json(strip.rect)} for strip in set_out.shadow_gaps],
        "plates": [
            {"opening": plate.index, "kind": plate.kind, **rect_json(plate.rect)} for plate in set_out.plates
        ],
        "alternatives": [
            {
                "slat_count": other.slat_count,
                "gap_mm": rounded_mm(other.gap),
                "gap_exact": str(other.gap),
                "ends": other.ends,
                "reason": other.reason,
            }
            for other in set_out.alternatives
        ],
        "warnings": list(set_out.warnings),
    }


def rect_json(rect: Rect) -> dict[str, int | float]:
    """left, width, bottom, top [mm], each rounded by itself from its exact value."""
    return {
        "left_mm": rounded_mm(rect.left),
        "width_mm": rounded_mm(rect.width),
        "bottom_mm": rounded_mm(rect.bottom),
        "top_mm": rounded_mm(rect.top),
    }
