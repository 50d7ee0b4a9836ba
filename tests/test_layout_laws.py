"""Laws that every set-out obeys, on walls that hypothesis makes up."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from laid_out import job
from made_up import KINDS, LAWS, Json, jobs, laid, sizes

from meshes.layout.checks import check
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from meshes.layout.report import as_json
from meshes.layout.setout import set_out


def along_the_run(result: SetOut, rect: Rect) -> tuple[Fraction, Fraction]:
    return (rect.left, rect.right) if result.run == "upright" else (rect.bottom, rect.top)


def apart(one: Rect, other: Rect) -> bool:
    return (
        one.right <= other.left
        or other.right <= one.left
        or one.top <= other.bottom
        or other.top <= one.bottom
    )


SPACINGS = st.sampled_from(["even", "spacer", "centred", "feature"])


@LAWS
@given(
    made=jobs(),
    spacing=SPACINGS,
    closing=st.sampled_from(["slat", "gap"]),
    pattern=st.sampled_from(
        [
            {},
            {},
            {"group": 2, "group_gap_mm": 3, "last_to_first": 2},
            {"group": 3, "group_gap_mm": 3},
            {"widths_mm": [30, 50, 40]},
            {"widths_mm": [30, 50], "group": 3, "group_gap_mm": 4},
        ]
    ),
)
def test_slats_gaps_and_ends_are_the_run(made: Json, spacing: str, closing: str, pattern: Json) -> None:
    extra: Json = {"spacing": spacing, "closing": closing, "feature_mm": made["wall"]["width_mm"] / 3}
    if pattern:
        extra |= {"pattern": pattern, "shift_for_openings": False}
    if "last_to_first" in pattern:
        extra["spacing"] = "even"
    result = laid({**made, "slats": {**made["slats"], **extra}})
    start, end = along_the_run(result, result.face)
    edges = [start]
    for slat in result.slats:
        edges += along_the_run(result, slat.extent)
    edges.append(end)
    spaces = [after - before for before, after in zip(edges[::2], edges[1::2], strict=True)]
    timber = [after - before for before, after in zip(edges[1:-1:2], edges[2:-1:2], strict=True)]
    assert min(spaces) >= 0
    assert sum(timber) + sum(spaces) == end - start
    assert end - start == result.run_length


@LAWS
@given(made=jobs())
def test_no_slat_overlaps_an_opening(made: Json) -> None:
    result = laid(made)
    for opening in job(**made)["openings"]:
        clear = opening.clearance_mm
        hole = Rect(
            left=opening.left_mm - clear,
            bottom=opening.bottom_mm - clear,
            width=opening.width_mm + 2 * clear,
            height=opening.height_mm + 2 * clear,
        )
        assert all(apart(piece, hole) for slat in result.slats for piece in slat.pieces)


@LAWS
@given(made=jobs())
def test_every_joint_is_behind_a_slat(made: Json) -> None:
    result = laid(made)
    for before, after in pairwise(result.panels):
        joint = (along_the_run(result, before.board)[1] + along_the_run(result, after.board)[0]) / 2
        over = [
            s
            for s in result.slats
            if along_the_run(result, s.extent)[0] < joint < along_the_run(result, s.extent)[1]
        ]
        assert len(over) == 1
        low, high = along_the_run(result, over[0].extent)
        bearing = min(joint - low, high - joint) - 1
        if bearing < 10:
            assert "of slat over each board edge" in " ".join(result.warnings)
        whole = along_the_run(result, after.outline)[0] - along_the_run(result, before.outline)[1]
        assert whole == 2


@LAWS
@given(made=jobs())
def test_no_fixing_is_in_a_no_drill_band(made: Json) -> None:
    result = laid(made)
    for panel in result.panels:
        for point in panel.fixings:
            slat = result.slats[point.slat]
            assert slat.loose
            assert any(p.left < point.x < p.right and p.bottom < point.y < p.top for p in slat.pieces)
            for band in result.bands:
                rect = band.rect
                assert not (rect.left <= point.x <= rect.right and rect.bottom <= point.y <= rect.top)


@LAWS
@given(made=jobs())
def test_every_slat_belongs_to_one_panel_and_every_choice_adds_up(made: Json) -> None:
    result = laid(made)
    owned = [index for panel in result.panels for index in panel.slats]
    assert sorted(owned) == list(range(len(result.slats)))
    assert all(index in result.panels[result.slats[index].panel].slats for index in owned)
    full = result.run_length
    if result.chosen is not None and not any(result.chosen.widened):
        for choice in (result.chosen, *result.alternatives):
            inside = choice.whole * choice.width + (choice.whole - 1) * choice.gap
            assert choice.start_space + inside + choice.end_space + sum(choice.widened) == full


def mirrored(made: Json) -> Json:
    """The same wall seen in a mirror, measured from the other end."""
    wall = made["wall"]
    width = wall["width_mm"]
    turned = {**wall, "left": wall["right"], "right": wall["left"]}
    if "studs_mm" in wall:
        turned["studs_mm"] = [width - at for at in wall["studs_mm"]]
    flip = (
        [{**one, "left_mm": width - one["left_mm"] - one["width_mm"]} for one in made["openings"]],
        [{**one, "left_mm": width - one["left_mm"] - one["width_mm"]} for one in made["zones"]],
    )
    slats = {**made["slats"], "datum": "right"} if made["slats"]["run"] == "upright" else made["slats"]
    return {**made, "wall": turned, "openings": flip[0], "zones": flip[1], "slats": slats}


@LAWS
@given(made=jobs())
def test_a_mirrored_survey_gives_the_mirrored_set_out(made: Json) -> None:
    """Upright slats change their datum with the wall. Level ones have none along them, and need none.

    The law ends where level slats, or boards behind them, are longer than their stock: a single joint beside
    the middle, and which of two staggered ones comes first, cannot be its own mirror on a wall that is.
    """
    one, other = laid(made), laid(mirrored(made))
    width = one.wall_width

    def turned(rect: Rect) -> Rect:
        return Rect(left=width - rect.right, bottom=rect.bottom, width=rect.width, height=rect.height)

    def shape(result: SetOut, flip: bool) -> Any:
        of = turned if flip else lambda rect: rect
        return {
            "gap": result.gap,
            "face": of(result.face),
            "slats": {(of(s.extent), frozenset(map(of, s.pieces)), s.loose) for s in result.slats},
            "pieces": {of(piece) for s in result.slats for piece in s.pieces},
            "panels": {
                (of(p.outline), frozenset(map(of, p.cutouts)), p.weight_kg, p.removable)
                for p in result.panels
            },
            "fixings": {
                (width - point.x if flip else point.x, point.y) for p in result.panels for point in p.fixings
            },
            "shadow_gaps": {of(strip.rect) for strip in result.shadow_gaps},
            "bands": {of(band.rect) for band in result.bands},
        }

    assert shape(one, False) == shape(other, True)


def doubled(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: doubled(item) for key, item in value.items()}
    if isinstance(value, list):
        return [doubled(item) for item in value]
    return value if isinstance(value, bool | str) else 2 * value


@LAWS
@given(
    made=jobs(slats={"shift_for_openings": False}),
    spacing=st.sampled_from(["even", "spacer", "centred", "feature"]),
    width=sizes(38, 120),
)
def test_all_lengths_doubled_double_the_set_out(made: Json, spacing: str, width: float) -> None:
    """Run, gap, slats, pieces, boards and cut-outs double, upright and level, whatever the spacing.

    The law ends where common practice speaks in millimetres, which no doubling of the job reaches: a closing
    slat of at least 25 mm (hence slats from 37.5 here, of which it is two thirds), joints across above 2 m
    and 400 mm apart (hence sheets and lengths that reach), bands of 150 mm and fixing points, pieces of
    100 mm for which a grid is shifted, a bearing of 10 mm where slats differ in width, spacers in steps of
    0.5 mm (hence one that is owned). Weight grows with the volume, so panels are allowed any.
    """
    thing = {**made, "zones": [zone for zone in made["zones"] if zone["kind"] != "raking_light"]}
    lengths = {
        "thickness_mm": 12,
        "packing_mm": 4,
        "fabric_mm": 1,
        "max_width_mm": 700,
        "sheet_mm": [1300, 6500],
        "joint_clearance_mm": 2,
        "saw_kerf_mm": 3,
        "side_clearance_mm": 4,
    }
    slats = {**made["slats"], "depth_mm": 16, "width_mm": width, "spacing": spacing}
    if spacing == "spacer":
        slats["spacers_mm"] = [slats["gap_mm"]]
    if spacing == "feature":
        span = made["wall"]["width_mm" if slats["run"] == "upright" else "height_mm"]
        slats["feature_mm"] = span / 4
    once = {**thing, "slats": slats, "panels": {**lengths, "max_weight_kg": 1000}}
    twice = {**doubled({**thing, "slats": slats}), "panels": {**doubled(lengths), "max_weight_kg": 1000}}
    one, two = laid(once), laid(twice)

    def grown(rect: Rect) -> Rect:
        return Rect(left=2 * rect.left, bottom=2 * rect.bottom, width=2 * rect.width, height=2 * rect.height)

    assert two.gap == 2 * one.gap
    assert two.build_up.total == 2 * one.build_up.total
    assert [s.extent for s in two.slats] == [grown(s.extent) for s in one.slats]
    assert [s.pieces for s in two.slats] == [tuple(map(grown, s.pieces)) for s in one.slats]
    assert [p.board for p in two.panels] == [grown(p.board) for p in one.panels]
    assert [p.cutouts for p in two.panels] == [tuple(map(grown, p.cutouts)) for p in one.panels]


@LAWS
@given(made=jobs(slats={"shift_for_openings": False, "run": "upright"}), kind=st.sampled_from(KINDS))
def test_moving_an_opening_by_a_pitch_moves_its_cuts_and_nothing_else(made: Json, kind: str) -> None:
    bare = laid({**made, "openings": []})
    assume(len(bare.slats) >= 4)
    hole = {"kind": kind, "bottom_mm": 100, "width_mm": 90, "height_mm": 80}
    parts = job(**{**made, "openings": []})
    left = bare.face.left + bare.pitch / 3
    assume(left + bare.pitch + 90 <= bare.wall_width)

    def with_hole(at: Fraction) -> SetOut:
        moved = job(**{**made, "openings": [{**hole, "left_mm": 0}]})["openings"][0]
        opening = moved.model_copy(update={"left_mm": at})
        given_parts = {**parts, "openings": (opening,)}
        assume(check(**given_parts) == [])
        return set_out(**given_parts)

    here, there = with_hole(left), with_hole(left + bare.pitch)
    assert here.gap == there.gap == bare.gap
    assert [s.extent for s in here.slats] == [s.extent for s in there.slats]
    assert [p.board for p in here.panels] == [p.board for p in there.panels]
    cut = [[(p.bottom, p.top) for p in s.pieces] for s in here.slats]
    moved_cut = [[(p.bottom, p.top) for p in s.pieces] for s in there.slats]
    assert moved_cut[1:] == cut[:-1]

    def cutouts(result: SetOut) -> tuple[Fraction, Fraction]:
        cuts = [cut for panel in result.panels for cut in panel.cutouts]
        return min(cut.left for cut in cuts), max(cut.right for cut in cuts)

    for at, at_moved in zip(cutouts(here), cutouts(there), strict=True):
        # an edge of the opening that falls into a joint, 4 mm wide with its cloth, ends at the board's edge
        assert abs(at_moved - at - bare.pitch) <= 4


@LAWS
@given(made=jobs())
def test_the_same_job_gives_the_same_set_out(made: Json) -> None:
    one, other = laid(made), laid(made)
    assert one == other
    assert as_json(one) == as_json(other)


@pytest.mark.parametrize("run", ["upright", "level"])
def test_the_strategy_makes_walls_of_both_kinds(run: str) -> None:
    """The laws are about real walls: a plain one of each kind passes the checks that the strategy assumes."""
    given_job = {
        "wall": {"width_mm": 3000, "height_mm": 2400},
        "slats": {"run": run},
        "panels": {"sheet_mm": [1220, 6100]},
    }
    assert check(**job(**given_job)) == []
