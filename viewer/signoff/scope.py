"""Every path of the job file: what a signature says of it, or why it says nothing.

``SIGNED`` gives the fact that a path feeds (see ``facts``) and the tolerance that goes with it;
``NOT_MATTERING`` the reason why a change there breaks no agreement. Walls round a corner are signed like the
first, so their paths are derived. A test says that no path of the schema is in neither, that none is stale,
and that moving a path moves its fact, or none.
"""

import re

AS_IT_WAS = "as it was"
"""Instead of a tolerance: words and counts that must stay."""


def _several(paths: str, fact: str, tolerance: str) -> dict[str, tuple[str, str]]:
    return {path: (fact, tolerance) for path in paths.split()}


_WALL_SIGNED: dict[str, tuple[str, str]] = {
    **_several(
        "wall.width_mm wall.width_mm.floor wall.width_mm.middle wall.width_mm.ceiling", "right", "ends_mm"
    ),
    **_several(
        "wall.height_mm wall.height_mm.left wall.height_mm.middle wall.height_mm.right", "top", "ends_mm"
    ),
    **_several("wall.skirting", "skirting_kept", AS_IT_WAS),
    **_several("wall.skirting_mm", "skirting", "ends_mm"),
    **_several("wall.skirting_projection_mm", "skirting_depth", "ends_mm"),
    **_several("wall.closing_trim_mm wall.floor_out_of_level_mm wall.plinth_mm", "bottom", "ends_mm"),
    **_several("wall.cornice_mm wall.ceiling_out_of_level_mm", "top", "ends_mm"),
    **_several("wall.ceiling", "ceiling", AS_IT_WAS),
    **_several("wall.ceiling_mm", "top", "ends_mm"),
    **_several("wall.left.meets", "left_meets", AS_IT_WAS),
    **_several("wall.right.meets", "right_meets", AS_IT_WAS),
    **_several("wall.left.shadow_gap_mm", "left_shadow_gap", "ends_mm"),
    **_several("wall.right.shadow_gap_mm", "right_shadow_gap", "ends_mm"),
    **_several("wall.left.trim_mm", "left_trim", "ends_mm"),
    **_several("wall.right.trim_mm", "right_trim", "ends_mm"),
    **_several("wall.left.closes_with", "left_return", AS_IT_WAS),
    **_several("wall.right.closes_with", "right_return", AS_IT_WAS),
    **_several("wall.right.post_mm", "right_post", "ends_mm"),
    **_several("openings[].kind", "opening_*.kind", AS_IT_WAS),
    **_several("zones[].kind", "zone_*.kind", AS_IT_WAS),
    **_several("openings[].left_mm", "opening_*.left", "openings_mm"),
    **_several("openings[].bottom_mm", "opening_*.bottom", "openings_mm"),
    **_several("openings[].width_mm", "opening_*.width", "openings_mm"),
    **_several("openings[].height_mm", "opening_*.height", "openings_mm"),
    **_several("openings[].clearance_mm", "opening_*.clearance", "openings_mm"),
    **_several("openings[].architrave_mm", "opening_*.architrave", "openings_mm"),
    **_several("openings[].architrave_projection_mm", "opening_*.architrave_depth", "openings_mm"),
    **_several("openings[].plate", "opening_*.plate", AS_IT_WAS),
    **_several("openings[].plate_lab_d65", "opening_*.colour", AS_IT_WAS),
    **_several("openings[].leaf openings[].leaf.hinge", "opening_*.hinge", AS_IT_WAS),
    **_several("openings[].leaf.width_mm", "opening_*.leaf", "openings_mm"),
    **_several("openings[].leaf.handle_mm", "opening_*.handle", "openings_mm"),
    **_several("zones[].left_mm", "zone_*.left", "openings_mm"),
    **_several("zones[].bottom_mm", "zone_*.bottom", "openings_mm"),
    **_several("zones[].width_mm", "zone_*.width", "openings_mm"),
    **_several("zones[].height_mm", "zone_*.height", "openings_mm"),
}

AT_A_CORNER = frozenset(
    {"wall.left.meets", "wall.left.trim_mm", "wall.left.closes_with", "wall.left.post_mm"}
)
"""What no next wall may state: its left end is always the corner."""

SIGNED: dict[str, tuple[str, str]] = {
    **_WALL_SIGNED,
    **{f"next_walls[].{path}": feeds for path, feeds in _WALL_SIGNED.items() if path not in AT_A_CORNER},
    "next_walls[].turns": ("turns", AS_IT_WAS),
    "slats.run": ("run", AS_IT_WAS),
    **_several("slats.width_mm slats.as_machined_mm slats.as_machined_mm.width", "slat_width", "slat_mm"),
    **_several("slats.depth_mm slats.as_machined_mm.depth", "slat_depth", "slat_mm"),
    **_several("slats.gap_mm slats.gap_range_mm slats.spacers_mm[]", "gap", "gap_mm"),
    "slats.ends": ("ends", AS_IT_WAS),
    **_several("slats.datum slats.centre_on", "first_slat", "ends_mm"),
    **_several("slats.closing slats.spacing", "last_slat", "ends_mm"),
    "slats.feature_mm": ("feature", "ends_mm"),
    "slats.shift_for_openings": ("first_slat", "ends_mm"),
    "slats.pattern.widths_mm[]": ("width_*", "slat_mm"),
    **_several("slats.pattern.group slats.pattern.group_gap_mm", "gap_least", "gap_mm"),
    "slats.pattern.last_to_first": ("gap_most", "gap_mm"),
    "slats.longest_mm": ("slat_joints", AS_IT_WAS),
    **_several("panels.thickness_mm panels.packing_mm panels.fabric_mm", "build_up", "ends_mm"),
    "stock.spares": ("spares", AS_IT_WAS),
    **{
        f"finish.{name}": (f"finish.{name}", AS_IT_WAS)
        for name in (
            "timber stain own_tone.first own_tone.first_parts own_tone.second own_tone.second_parts coats "
            "between_coats topcoat fabric faces sides backs sorting sample off_cut.name off_cut.timber "
            "off_cut.tone off_cut.coats off_cut.between_coats off_cut.faces off_cut.topcoat off_cut.date "
            "off_cut.lamp"
        ).split()
    },
    "finish.own_tone": ("finish.own_tone.first", AS_IT_WAS),
    "finish.off_cut": ("finish.off_cut.name", AS_IT_WAS),
    "finish.off_cut.reflectance[]": ("finish.off_cut.reflectance", AS_IT_WAS),
}


def _because(reason: str, paths: str) -> dict[str, str]:
    return dict.fromkeys(paths.split(), reason)


_WALL_NOT_MATTERING: dict[str, str] = {
    **_because(
        "where and how panels are fixed, behind them: nothing of it is seen",
        "wall.build wall.studs_mm[]",
    ),
    **_because("packed out behind the panels; how far the work stands out is signed", "wall.flatness_mm"),
    **_because(
        "a cornice only decides how high the slats go, and their upper end is signed",
        "wall.cornice_projection_mm",
    ),
    **_because(
        "taken up by a hidden scribed strip, never by a gap",
        "wall.left.out_of_plumb_mm wall.right.out_of_plumb_mm",
    ),
    **_because(
        "heights are measured from the finished floor; what is still to come is told to the maker",
        "wall.floor_to_come_mm",
    ),
    **_because("the post stands at the right end of the wall before the corner", "wall.left.post_mm"),
}

NOT_MATTERING: dict[str, str] = {
    **_WALL_NOT_MATTERING,
    **{
        f"next_walls[].{path}": reason
        for path, reason in _WALL_NOT_MATTERING.items()
        if path not in AT_A_CORNER
    },
    **dict.fromkeys(
        (f"next_walls[].{path}" for path in sorted(AT_A_CORNER)), "the corner itself says what meets there"
    ),
    **_because("a label or a date; what it stands for is signed", "format name revised finish.name"),
    **_because(
        "a candidate; the one that is chosen becomes the job's finish, which is signed",
        " ".join(
            f"finishes[].{name}"
            for name in (
                "name timber stain own_tone own_tone.first own_tone.first_parts own_tone.second "
                "own_tone.second_parts coats between_coats topcoat fabric faces sides backs sorting sample "
                "fabric_lay off_cut off_cut.name off_cut.timber off_cut.tone off_cut.coats "
                "off_cut.between_coats off_cut.faces off_cut.topcoat off_cut.date off_cut.lamp "
                "off_cut.reflectance[] "
                "off_cut.uncertainty_de off_cut.rough off_cut.read_from"
            ).split()
        ),
    ),
    **_because(
        "the room and its lamps are the client's own; pictures are kept as they were shown",
        "room.depth_mm room.beyond_left_mm room.beyond_right_mm room.reflectance.floor "
        "room.reflectance.ceiling room.reflectance.walls lightings[].name lightings[].lamps[].name "
        "lightings[].lamps[].centre_mm lightings[].lamps[].size_mm lightings[].lamps[].faces "
        "lightings[].lamps[].lumens lightings[].lamps[].spectrum "
        "lightings[].lamps[].dimmed_to",
    ),
    **_because("how the cloth is cut from its roll", "finish.fabric_lay"),
    **_because("how the rod is written; what it marks is signed", "slats.rod_parts_of_inch"),
    **_because(
        "how sure the measured colour is, and by which means; the colour itself is signed",
        "finish.off_cut.uncertainty_de finish.off_cut.rough finish.off_cut.read_from",
    ),
    **_because(
        "a figure for reckoning (weight, movement, what errors add up to); the wall itself stays",
        "slats.width_tolerance_mm slats.spacer_tolerance_mm slats.species slats.moisture_percent "
        "slats.ripped_at_percent slats.density_kg_m3 panels.density_kg_m3",
    ),
    **_because(
        "how boards are divided and fixed; joints lie behind slats wherever they fall",
        "panels.max_width_mm panels.sheet_mm panels.joint_clearance_mm panels.saw_kerf_mm "
        "panels.side_clearance_mm panels.max_weight_kg panels.way_in_mm panels.fixing_spacing_mm "
        "panels.cleared[].left_mm panels.cleared[].bottom_mm panels.cleared[].by",
    ),
    **_because(
        "what is bought and how it is sawn; the slats that come out of it are signed",
        "stock.section_mm stock.lengths_mm[] stock.kerf_mm stock.planing_mm stock.width_allowance_mm "
        "stock.arris_radius_mm stock.end_trim_mm stock.grade stock.cull_rate stock.keep_strip_mm "
        "stock.keep_depth_mm stock.boards_may_turn stock.keep_board_mm",
    ),
}


def pattern_of(path: str) -> str:
    """``openings[2].left_mm`` as it is listed here: ``openings[].left_mm``."""
    return re.sub(r"\[\d+\]", "[]", path)
