"""Laws that every set-out obeys, on walls that hypothesis makes up."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from laid_out import job

from meshes.layout.checks import check
from meshes.layout.placed import Rect, SetOut
from meshes.layout.report import as_json
from meshes.layout.setout import set_out

Json = dict[str, Any]

KINDS = ("socket", "switch", "data", "thermostat", "vent", "radiator", "window", "bracket")
LAWS = settings(max_examples=25, deadline=None)


def sizes(low: int, high: int) -> st.SearchStrategy[float]:
    """Lengths in half millimetres."""
    return st.integers(2 * low, 2 * high).map(lambda halves: halves / 2)


@st.composite
def openings(draw: st.DrawFn, width: float, height: float) -> list[Json]:
    """Up to four openings, each in its own quarter of the wall so that none overlap."""
    found = []
    for quarter in draw(st.sets(st.integers(0, 3))):
        low, high = quarter * width / 4, (quarter + 1) * width / 4
        size = min(draw(sizes(20, 600)), high - low)
        left = draw(sizes(int(low) + 1, max(int(low) + 1, int(high - size))))
        tall = min(draw(sizes(20, 1200)), height / 2)
        found.append(
            {
                "kind": draw(st.sampled_from(KINDS)),
                "left_mm": left,
                "bottom_mm": draw(sizes(0, int(height / 2))),
                "width_mm": min(size, width - left),
                "height_mm": tall,
                "clearance_mm": draw(st.sampled_from([0, 0, 4])),
            }
        )
    return found


@st.composite
def ends(draw: st.DrawFn) -> Json:
    meets = draw(st.sampled_from(["wall", "open", "inside_corner", "outside_corner"]))
    return {
        "meets": meets,
        "shadow_gap_mm": draw(st.sampled_from([0, 0, 8, 12.5])),
        "trim_mm": draw(st.sampled_from([0, 12])) if meets == "open" else 0,
        "out_of_plumb_mm": draw(st.sampled_from([0, 0, 5, -7])),
    }


@st.composite
def jobs(draw: st.DrawFn, **fixed: Any) -> Json:
    """A sound job: what a person could measure and wish for."""
    width, height = draw(sizes(300, 6000)), draw(sizes(700, 2600))
    wall = {"width_mm": width, "height_mm": height, "left": draw(ends()), "right": draw(ends())}
    if draw(st.booleans()):
        wall["studs_mm"] = [at for at in range(150, int(width), draw(st.integers(300, 650)))]
    slats = {
        "width_mm": draw(sizes(10, 120)),
        "gap_mm": draw(sizes(2, 60)),
        "ends": draw(st.sampled_from(["slat", "gap"])),
        "run": draw(st.sampled_from(["upright", "upright", "level"])),
        "shift_for_openings": draw(st.booleans()),
        **fixed.get("slats", {}),
    }
    zones = [
        {
            "kind": draw(st.sampled_from(["hidden", "no_drill", "access", "raking_light"])),
            "left_mm": draw(sizes(0, int(width * 0.6))),
            "bottom_mm": draw(sizes(0, int(height * 0.6))),
            "width_mm": width / 5,
            "height_mm": height / 5,
        }
        for _ in range(draw(st.integers(0, 2)))
    ]
    panels = {
        "sheet_mm": [1220, 2700] if slats["run"] == "upright" else [1220, 6100],
        **fixed.get("panels", {}),
    }
    return {
        "wall": wall,
        "slats": slats,
        "panels": panels,
        "zones": zones,
        "openings": draw(openings(width, height)),
    }


def laid(given_job: Json) -> SetOut:
    parts = job(**given_job)
    assume(check(**parts) == [])
    return set_out(**parts)


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
    made=jobs(), spacing=SPACINGS, closing=st.sampled_from(["slat", "gap"]), group=st.sampled_from([1, 1, 2])
)
def test_slats_gaps_and_ends_are_the_run(made: Json, spacing: str, closing: str, group: int) -> None:
    extra: Json = {"spacing": spacing, "closing": closing, "feature_mm": made["wall"]["width_mm"] / 3}
    if group > 1:
        extra = {
            "pattern": {"group": group, "group_gap_mm": 3, "last_to_first": 2},
            "shift_for_openings": False,
        }
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

    if made["slats"]["run"] == "level":
        # along level slats nothing counts from a datum: which are loose, and where fixed, is free to differ
        keys = ("gap", "face", "pieces", "panels", "shadow_gaps", "bands")
        ours, theirs = shape(one, False), shape(other, True)
        assert {key: ours[key] for key in keys} == {key: theirs[key] for key in keys}
    else:
        assert shape(one, False) == shape(other, True)


def doubled(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: doubled(item) for key, item in value.items()}
    if isinstance(value, list):
        return [doubled(item) for item in value]
    return value if isinstance(value, bool | str) else 2 * value


@LAWS
@given(made=jobs(slats={"shift_for_openings": False}))
def test_all_lengths_doubled_double_the_set_out(made: Json) -> None:
    """What has no length in the job is left out: weight, and what common practice says in millimetres."""
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
    assume(made["slats"]["run"] == "upright")
    slats = {**made["slats"], "depth_mm": 16}
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
