"""Every job path is signed or does not matter, and moving it does to the facts what the list says."""

import copy
import fnmatch
import itertools
import json
import re
from typing import Any

import pytest
from measured_jobs import OFF_CUT_NOT_SIGNED, OFF_CUT_SIGNED, WHOLE_OFF_CUT

from viewer.answers.set_out import set_outs_of
from viewer.job.check import check_job
from viewer.job.choices import chosen_finish
from viewer.job.model import Job
from viewer.signoff.agreed import Fact, Tolerances, changes
from viewer.signoff.facts import agreed_facts
from viewer.signoff.scope import AS_IT_WAS, AT_A_CORNER, NOT_MATTERING, SIGNED, job_paths, pattern_of

BOX = {"left_mm": 1480, "bottom_mm": 450, "width_mm": 146, "height_mm": 86}
FINISH = {"name": "A", "timber": "European ash", "stain": "walnut", "coats": 1, "topcoat": "oil"}
LAMP = {"name": "l", "centre_mm": [500, 2500, 2000], "size_mm": [600, 600], "faces": "down", "lumens": 3000}
WALL: dict[str, Any] = {
    "width_mm": 4200,
    "height_mm": 2550,
    "skirting_mm": 120,
    "skirting_projection_mm": 18,
    "right": {"meets": "wall"},
}
BASE: dict[str, Any] = {
    "format": 1,
    "name": "Wall",
    "wall": WALL,
    "openings": [{"kind": "socket", **BOX}],
    "zones": [{"kind": "hidden", "left_mm": 900, "bottom_mm": 0, "width_mm": 900, "height_mm": 740}],
    "slats": {"width_mm": 44, "depth_mm": 20, "gap_mm": 14},
    "finish": FINISH,
    "finishes": [FINISH],
    "lightings": [{"name": "day", "lamps": [LAMP]}],
}
TONE = {"first": "walnut", "first_parts": 1, "second": "honey", "second_parts": 2}
DOOR = {
    "kind": "door",
    "left_mm": 3000,
    "bottom_mm": 0,
    "width_mm": 900,
    "height_mm": 2000,
    "architrave_mm": 60,
    "leaf": {"hinge": "left", "width_mm": 800},
}
CANDIDATE = {
    **FINISH,
    "coats": 2,
    "between_coats": "dried",
    "fabric": "charcoal felt",
    "faces": "sanded",
    "sides": "planed",
    "backs": "coated",
    "sorting": "clear",
    "sample": "",
}
OPEN = {"meets": "open", "trim_mm": 12}
SPACER = {"slats.spacing": "spacer", "slats.gap_mm": 16, "slats.closing": "gap"}
GROUPED = {"slats.pattern": {"group": 2, "group_gap_mm": 8}}

WALL_MOVES: list[tuple[str, Any, dict[str, Any]]] = [
    ("wall.width_mm", 4250, {}),
    ("wall.width_mm.floor", 4150, {"wall.width_mm": {"floor": 4200, "middle": 4210, "ceiling": 4220}}),
    ("wall.width_mm.middle", 4150, {"wall.width_mm": {"floor": 4200, "middle": 4210, "ceiling": 4220}}),
    ("wall.width_mm.ceiling", 4150, {"wall.width_mm": {"floor": 4200, "middle": 4210, "ceiling": 4220}}),
    ("wall.height_mm", 2600, {}),
    ("wall.height_mm.left", 2500, {"wall.height_mm": {"left": 2550, "middle": 2551, "right": 2552}}),
    ("wall.height_mm.middle", 2500, {"wall.height_mm": {"left": 2550, "middle": 2551, "right": 2552}}),
    ("wall.height_mm.right", 2500, {"wall.height_mm": {"left": 2550, "middle": 2551, "right": 2552}}),
    ("wall.skirting", "removed", {}),
    ("wall.skirting_mm", 100, {}),
    ("wall.skirting_projection_mm", 15, {}),
    ("wall.closing_trim_mm", 10, {}),
    ("wall.floor_out_of_level_mm", 9, {}),
    ("wall.plinth_mm", 80, {"wall.skirting_mm": 0, "wall.skirting_projection_mm": 0}),
    ("wall.cornice_mm", 70, {}),
    ("wall.ceiling_out_of_level_mm", -9, {}),
    ("wall.ceiling", "shadow", {"wall.ceiling_mm": 20, "wall.ceiling": "trim"}),
    ("wall.ceiling_mm", 20, {"wall.ceiling": "shadow", "wall.ceiling_mm": 12}),
    ("wall.left.meets", "open", {}),
    ("wall.right.meets", "open", {}),
    ("wall.left.shadow_gap_mm", 14, {"wall.left": {"shadow_gap_mm": 10}}),
    ("wall.right.shadow_gap_mm", 14, {"wall.right": {"shadow_gap_mm": 10}}),
    ("wall.left.trim_mm", 14, {"wall.left": OPEN}),
    ("wall.right.trim_mm", 14, {"wall.right": OPEN}),
    ("wall.left.closes_with", "return", {"wall.left": OPEN}),
    ("wall.right.closes_with", "return", {"wall.right": OPEN}),
    ("wall.right.post_mm", 60, {"wall.right": {"meets": "outside_corner"}}),
    ("openings[0].kind", "door", {}),
    ("openings[0].left_mm", 1490, {}),
    ("openings[0].bottom_mm", 460, {}),
    ("openings[0].width_mm", 156, {}),
    ("openings[0].height_mm", 96, {}),
    ("openings[0].clearance_mm", 6, {"openings[0].clearance_mm": 2}),
    ("openings[0].architrave_mm", 70, {"openings[0]": DOOR}),
    ("openings[0].architrave_projection_mm", 20, {"openings[0]": {**DOOR, "architrave_projection_mm": 15}}),
    ("openings[0].plate", "slats", {}),
    ("openings[0].plate_lab_d65", [20, 0, 0], {}),
    ("openings[0].leaf", {"hinge": "left", "width_mm": 800}, {"openings[0]": {**DOOR, "leaf": None}}),
    ("openings[0].leaf.hinge", "right", {"openings[0]": DOOR}),
    ("openings[0].leaf.width_mm", 700, {"openings[0]": DOOR}),
    ("openings[0].leaf.handle_mm", 70, {"openings[0]": DOOR}),
    ("zones[0].kind", "no_drill", {}),
    ("zones[0].left_mm", 910, {}),
    ("zones[0].bottom_mm", 10, {}),
    ("zones[0].width_mm", 910, {}),
    ("zones[0].height_mm", 750, {}),
]
MOVES = [
    *WALL_MOVES,
    ("next_walls[0].turns", "outside", {}),
    ("slats.run", "level", {}),
    ("slats.width_mm", 40, {}),
    ("slats.as_machined_mm", {"width": 43, "depth": 20}, {}),
    ("slats.as_machined_mm.width", 42, {"slats.as_machined_mm": {"width": 43, "depth": 20}}),
    ("slats.depth_mm", 22, {}),
    ("slats.as_machined_mm.depth", 19, {"slats.as_machined_mm": {"width": 43, "depth": 20}}),
    ("slats.gap_mm", 17, {}),
    ("slats.gap_range_mm", [10, 13.5], {}),
    ("slats.spacers_mm[0]", 19, {"slats.spacing": "spacer", "slats.gap_mm": 20, "slats.spacers_mm": [20]}),
    ("slats.ends", "gap", {}),
    ("slats.datum", "right", SPACER),
    ("slats.spacing", "spacer", {"slats.gap_mm": 16, "slats.closing": "gap"}),
    ("slats.centre_on", "gap", {"slats.spacing": "centred"}),
    ("slats.closing", "slat", SPACER),
    ("slats.feature_mm", 2010, {"slats.spacing": "feature", "slats.feature_mm": 2100}),
    ("slats.shift_for_openings", True, {"slats.spacing": "centred", "openings[0].left_mm": 1530}),
    ("slats.pattern.widths_mm[0]", 40, {"slats.pattern": {"widths_mm": [44, 60]}}),
    ("slats.pattern.group", 2, {"slats.pattern": {"group_gap_mm": 8}}),
    ("slats.pattern.group_gap_mm", 9, GROUPED),
    ("slats.pattern.last_to_first", 2, {"slats.pattern": {"last_to_first": 1.5}}),
    ("slats.longest_mm", 1200, {}),
    ("panels.thickness_mm", 15, {}),
    ("panels.packing_mm", 10, {}),
    ("panels.fabric_mm", 2, {}),
    ("stock.spares", 3, {}),
    ("finish.timber", "European oak", {}),
    ("finish.stain", "honey", {}),
    ("finish.own_tone", TONE, {}),
    ("finish.own_tone.first", "honey", {"finish.own_tone": TONE}),
    ("finish.own_tone.first_parts", 3, {"finish.own_tone": TONE}),
    ("finish.own_tone.second", "walnut", {"finish.own_tone": TONE}),
    ("finish.own_tone.second_parts", 3, {"finish.own_tone": TONE}),
    ("finish.coats", 2, {}),
    ("finish.between_coats", "dried", {}),
    ("finish.topcoat", "matt", {}),
    ("finish.fabric", "charcoal felt", {}),
    ("finish.faces", "sanded", {}),
    ("finish.sides", "planed", {}),
    ("finish.backs", "coated", {}),
    ("finish.sorting", "clear", {}),
    *OFF_CUT_SIGNED,
]
WALL_STILL: list[tuple[str, Any, dict[str, Any]]] = [
    ("wall.build", "masonry", {}),
    ("wall.studs_mm", [400, 1000, 1600], {}),
    ("wall.flatness_mm", [[0, 3, 0], [0, 4, 0], [0, 2, 0]], {}),
    ("wall.cornice_projection_mm", 90, {"wall.cornice_mm": 70, "wall.cornice_projection_mm": 60}),
    ("wall.left.out_of_plumb_mm", 6, {}),
    ("wall.right.out_of_plumb_mm", 6, {}),
    ("wall.floor_to_come_mm", 12, {}),
]
STILL: list[tuple[str, Any, dict[str, Any]]] = [
    *WALL_STILL,
    ("wall.left.post_mm", 60, {"wall.left": {"meets": "outside_corner"}}),
    ("name", "Another name", {}),
    ("revised", "2026-11-21", {}),
    ("finish.name", "B", {}),
    ("finishes", [{**CANDIDATE, "own_tone": TONE, "off_cut": WHOLE_OFF_CUT, "fabric_lay": "across"}], {}),
    *OFF_CUT_NOT_SIGNED,
    ("room.depth_mm", 5000, {}),
    ("room.beyond_left_mm", 500, {}),
    ("room.beyond_right_mm", 500, {}),
    ("room.reflectance", {"floor": 0.2, "ceiling": 0.7, "walls": 0.5}, {}),
    (
        "lightings",
        [
            {
                "name": "evening",
                "lamps": [{**LAMP, "name": "m", "lumens": 900, "spectrum": "LED-B3", "dimmed_to": 0.5}],
            }
        ],
        {},
    ),
    ("slats.width_tolerance_mm", 0.5, {}),
    ("slats.spacer_tolerance_mm", 0.5, {}),
    ("slats.species", "white oak", {}),
    ("slats.moisture_percent", [6, 12], {}),
    ("slats.ripped_at_percent", 14, {}),
    ("slats.density_kg_m3", 700, {}),
    ("panels.density_kg_m3", 600, {}),
    ("panels.max_width_mm", 560, {}),
    ("panels.sheet_mm", [1250, 2800], {}),
    ("panels.joint_clearance_mm", 3, {}),
    ("panels.saw_kerf_mm", 4, {}),
    ("panels.side_clearance_mm", 3, {}),
    ("panels.max_weight_kg", 18, {}),
    ("panels.way_in_mm", [800, 2600], {}),
    ("panels.fixing_spacing_mm", 600, {}),
    ("panels.cleared", [{"left_mm": 1522.77, "bottom_mm": 1000, "by": "a person"}], {}),
    ("stock", {"section_mm": [50, 100], "lengths_mm": [3000, 3600], "kerf_mm": 4, "planing_mm": 2}, {}),
    ("stock", {"grade": "construction", "cull_rate": 0.1, "boards_may_turn": False}, {}),
    ("stock", {"width_allowance_mm": 3, "arris_radius_mm": 2, "end_trim_mm": 60}, {}),
    ("stock", {"keep_strip_mm": 400, "keep_depth_mm": 9, "keep_board_mm": 300}, {}),
]


def with_value(job: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """A copy of a job with one place set; objects on the way are made."""
    job = copy.deepcopy(job)
    steps = [int(step) if step.isdigit() else step for step in re.findall(r"[^.\[\]]+", path)]
    at: Any = job
    for step, following in itertools.pairwise(steps):
        if isinstance(at, dict) and at.get(step) is None:
            at[step] = [] if isinstance(following, int) else {}
        at = at[step]
    at[steps[-1]] = value
    return job


def facts(job: dict[str, Any]) -> tuple[Fact, ...]:
    checked = check_job(job)
    assert checked.job is not None, checked.problems
    return agreed_facts(
        checked.job, set_outs_of(checked.job), chosen_finish(checked.job), Tolerances(), price=None
    )


def before_and_after(
    path: str, value: Any, context: dict[str, Any], base: dict[str, Any]
) -> tuple[tuple[Fact, ...], tuple[Fact, ...]]:
    for place, given in context.items():
        base = with_value(base, place, given)
    return facts(base), facts(with_value(base, path, value))


def round_the_corner(moves: list[tuple[str, Any, dict[str, Any]]]) -> list[tuple[str, Any, dict[str, Any]]]:
    prefix = "next_walls[0]."
    # what the left end of a next wall meets is said by the corner itself
    moves = [move for move in moves if move[0] not in AT_A_CORNER]
    return [
        (
            prefix + path,
            value,
            {
                (prefix + at if at.startswith(("wall", "openings", "zones")) else at): v
                for at, v in more.items()
            },
        )
        for path, value, more in moves
    ]


CORNER = {
    **{name: part for name, part in BASE.items() if name not in ("openings", "zones")},
    "wall": {"width_mm": 1000, "height_mm": 2550},
    "next_walls": [{"turns": "inside", **{name: BASE[name] for name in ("wall", "openings", "zones")}}],
}


def covered(moves: list[tuple[str, Any, dict[str, Any]]]) -> set[str]:
    """The listed paths that a table of moves tries, those inside a moved object included."""
    found: set[str] = set()
    for path, value, _context in moves:
        pattern = pattern_of(path)
        found.add(pattern)
        found |= {f"{pattern}{rest}" for rest in leaves(value)}
    return found


def leaves(value: Any) -> set[str]:
    if isinstance(value, dict):
        return {f".{name}{rest}" for name, item in value.items() for rest in leaves(item) | {""}}
    if isinstance(value, list):
        return {f"[]{rest}" for item in value for rest in leaves(item) | {""}}
    return set()


def test_no_path_is_in_neither_list_and_none_is_stale() -> None:
    paths = set(job_paths())
    assert paths - set(SIGNED) - set(NOT_MATTERING) == set()
    assert set(SIGNED) | set(NOT_MATTERING) == paths
    assert set(SIGNED) & set(NOT_MATTERING) == set()


def test_tolerances_named_in_the_list_exist() -> None:
    assert {tolerance for _, tolerance in SIGNED.values()} <= {AS_IT_WAS, *Tolerances.model_fields}
    assert all(reason for reason in NOT_MATTERING.values())


def test_every_path_is_moved_by_a_test() -> None:
    moved = covered(MOVES) | covered(round_the_corner(WALL_MOVES)) | {"finish.sample"}
    assert set(SIGNED) - moved == set()
    still = covered(STILL) | covered(round_the_corner(WALL_STILL))
    # the format has one value, and a next wall whose left end is no corner is refused
    still |= {"format"} | {f"next_walls[].{path}" for path in AT_A_CORNER}
    assert set(NOT_MATTERING) - still == set()


def test_a_measured_sample_is_signed() -> None:
    # no catalogue of the tests holds a sample, so the job is parsed without looking names up
    base = with_value(BASE, "finish.sample", "")
    before, after = (
        agreed_facts(job, set_outs_of(job), job.finish, Tolerances(), price=None)
        for job in (Job.model_validate(base), Job.model_validate(with_value(base, "finish.sample", "S1")))
    )
    assert [change.name for change in changes(before, after)] == ["finish.sample"]


@pytest.mark.parametrize(
    ("path", "value", "context"), MOVES, ids=lambda part: part if isinstance(part, str) else ""
)
def test_moving_a_signed_path_moves_its_fact(path: str, value: Any, context: dict[str, Any]) -> None:
    signed(path, value, context, CORNER if path.startswith("next_walls") else BASE)


@pytest.mark.parametrize(
    ("path", "value", "context"),
    round_the_corner(WALL_MOVES),
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_walls_round_a_corner_are_signed_alike(path: str, value: Any, context: dict[str, Any]) -> None:
    signed(path, value, context, CORNER)


def signed(path: str, value: Any, context: dict[str, Any], base: dict[str, Any]) -> None:
    fact, tolerance = SIGNED[pattern_of(path)]
    before, after = before_and_after(path, value, context, base)
    moved = {change.name.removeprefix("wall_0.").removeprefix("wall_1.") for change in changes(before, after)}
    assert fnmatch.filter(moved, fact), (sorted(moved), fact)
    if tolerance != AS_IT_WAS:
        expected = getattr(Tolerances(), tolerance)
        held = [one.tolerance for one in (*before, *after) if fnmatch.fnmatch(one.name, f"*.{fact}")]
        assert set(held) == {expected}


@pytest.mark.parametrize(
    ("path", "value", "context"), STILL, ids=lambda part: part if isinstance(part, str) else ""
)
def test_what_does_not_matter_changes_nothing(path: str, value: Any, context: dict[str, Any]) -> None:
    before, after = before_and_after(path, value, context, BASE)
    assert changes(before, after) == ()


@pytest.mark.parametrize(("path", "value", "context"), round_the_corner(WALL_STILL))
def test_nor_round_a_corner(path: str, value: Any, context: dict[str, Any]) -> None:
    before, after = before_and_after(path, value, context, CORNER)
    assert changes(before, after) == ()


def test_a_change_of_json_order_or_notes_is_no_change() -> None:
    turned = json.loads(json.dumps(BASE, sort_keys=True))
    assert changes(facts(BASE), facts({**turned, "_note": "seen"})) == ()
