"""The cutting plan of whole walls: set-outs by hand, refusals word for word, the balance of the timber."""

import json
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from meshes.cutting.demand import smalls
from meshes.cutting.export import sheets_json, stock_json
from meshes.cutting.plan import CuttingError, Plan, first_cutting, proven_cutting
from meshes.cutting.stock import Stock
from meshes.layout.face import Strip
from meshes.layout.placed import BuildUp, Panel, SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.scribe import Scribe
from meshes.layout.spacing import Panels

ROOT = Path(__file__).parent.parent


def rect(left: float, bottom: float, width: float, height: float) -> Rect:
    values = (Fraction(str(value)) for value in (left, bottom, width, height))
    return Rect(**dict(zip(("left", "bottom", "width", "height"), values, strict=True)))


def wall(
    pieces: list[list[tuple[float, float]]],
    *,
    width: float = 40,
    depth: float = 16,
    boards: list[tuple[float, float]] = (),  # type: ignore[assignment]
    run: str = "upright",
    trim: bool = False,
    widths: dict[int, float] | None = None,
) -> SetOut:
    """A set-out with the given slats: each a list of (start, length) along the slat, 60 mm apart."""
    slats = []
    for index, parts in enumerate(pieces):
        across = (widths or {}).get(index, width)
        rects = tuple(
            rect(60 * index, start, across, length)
            if run == "upright"
            else rect(start, 60 * index, length, across)
            for start, length in parts
        )
        slats.append(Slat(index=index, extent=rects[0], pieces=rects, panel=0))
    return SetOut(
        run=run,
        wall_width=Fraction(6000),
        wall_height=Fraction(2550),
        face=rect(0, 0, 6000, 2400),
        skirting=None,
        skirting_projection=Fraction(0),
        slat_width=Fraction(str(width)),
        slat_depth=Fraction(str(depth)),
        gap=Fraction(14),
        ends="slat",
        build_up=BuildUp(
            packing=Fraction(0), board=Fraction(12), fabric=Fraction(1), slat=Fraction(str(depth))
        ),
        slats=tuple(slats),
        panels=tuple(
            Panel(index=index, board=rect(0, 0, w, h), cutouts=(), slats=())
            for index, (w, h) in enumerate(boards)
        ),
        trims=(Strip(side="right", rect=rect(5988, 0, 12, 2400)),) if trim else (),
    )


def stock(**fields: object) -> Stock:
    return Stock.model_validate(
        {"section_mm": [44, 94], "lengths_mm": [2700, 3600], "cull_rate": 0, "spares": 0, **fields}
    )


def cut(set_out: SetOut, panels: Panels | None = None, **fields: object) -> Plan:
    return first_cutting([set_out], stock=stock(**fields), panels=panels or Panels())


def assert_balanced(plan: Plan) -> None:
    timber = plan.balance
    parts = (timber.slats, timber.spares, timber.culls, timber.smalls, timber.kerf, timber.kept, timber.waste)
    assert sum(parts) == timber.bought
    assert min(parts) >= 0


def test_seventy_two_slats_of_the_reading_room_by_hand() -> None:
    """44 x 94 gives four of 40 x 16; 2700 gives one of 2430: 18 sections. With culls and spares:
    74 / 0.95 rounds up to 78, 78 / 4 to 20 sections."""
    walls = wall([[(120, 2430)]] * 72)
    bare = cut(walls)
    assert bare.sections == {Fraction(2700): 18}
    assert bare.proven
    with_losses = cut(walls, spares=2, cull_rate=None)
    (timber,) = with_losses.timber
    assert (len(timber.demand.pieces), timber.demand.spares, len(timber.demand.culls)) == (72, 2, 4)
    assert with_losses.sections == {Fraction(2700): 20}
    assert_balanced(with_losses)


def test_construction_softwood_is_sorted_harder_than_joinery() -> None:
    walls = wall([[(0, 2400)]] * 100)
    culls = [
        len(cut(walls, cull_rate=None, grade=grade).timber[0].demand.culls)
        for grade in ("joinery", "construction")
    ]
    assert culls == [6, 22]  # 100 / 0.95 = 105.3, 100 / 0.825 = 121.2


def test_short_pieces_come_from_culls_first() -> None:
    """Eight pieces of 380 beside sockets: three fit the sound half (1200) of a cull."""
    walls = wall([[(0, 2400)]] * 40 + [[(0, 380), (2020, 380)]] * 4)
    (timber,) = cut(walls, cull_rate=0.05).timber
    assert [len(cull.pieces) for cull in timber.demand.culls] == [3, 3, 2]
    assert timber.demand.to_cut == {Fraction(2400): 43}


def test_what_culls_do_not_hold_is_cut_from_new_strips() -> None:
    walls = wall([[(0, 2400)]] * 10 + [[(0, 380), (2020, 380)]] * 4)
    (timber,) = cut(walls, cull_rate=0.05).timber
    assert timber.demand.to_cut == {Fraction(2400): 11, Fraction(380): 5}


def test_a_ripped_closing_slat_comes_from_a_whole_strip_and_a_pattern_of_widths_is_ripped_apart() -> None:
    one = cut(wall([[(0, 2400)]] * 10, widths={9: 27}))
    assert [timber.demand.width for timber in one.timber] == [40]
    assert len(one.timber[0].demand.pieces) == 10
    two = cut(wall([[(0, 2400)]] * 10, widths={index: 20 for index in range(0, 10, 2)}))
    assert [(timber.demand.width, timber.rip.count) for timber in two.timber] == [
        (40, 4),
        (20, 6),
    ]  # 3 columns of 22, 2 rows of 17
    assert_balanced(two)


def test_level_slats_take_the_joints_of_the_set_out_and_are_refused_without() -> None:
    jointed = cut(wall([[(0, 3000), (3000, 3000)]] * 10, run="level"), lengths_mm=[3600])
    assert jointed.timber[0].demand.to_cut == {Fraction(3000): 20}
    with pytest.raises(CuttingError) as refused:
        cut(wall([[(0, 6000)]] * 10, run="level"), lengths_mm=[3600])
    assert refused.value.problems == (
        (
            "stock.lengths_mm",
            "a slat of 6000 mm is longer than the longest length on sale, 3600 mm; "
            "add a longer length or allow joints (slats.longest_mm)",
        ),
    )


def test_every_refusal_is_told_at_once() -> None:
    with pytest.raises(CuttingError) as refused:
        cut(wall([[(0, 4000)]], width=43, boards=[(698, 2500)]), section_mm=[44, 44])
    assert [path for path, _ in refused.value.problems] == [
        "stock.section_mm",
        "stock.lengths_mm",
        "panels.sheet_mm",
    ]
    assert refused.value.problems[2][1] == (
        "a board of 698 x 2500 mm does not come out of a sheet of 1220 x 2440 mm; "
        "take a larger sheet or smaller panels (panels.max_width_mm)"
    )


def test_a_slat_as_long_as_its_stock_is_cut_with_a_warning_about_snipe() -> None:
    plan = cut(wall([[(0, 2400)]] * 8), lengths_mm=[2440])
    assert plan.sections == {Fraction(2440): 2}
    assert plan.warnings == (
        "the longest slat leaves only 20 mm to trim at each end of the longest length, not 50 mm: "
        "look out for snipe, or buy longer",
    )


def test_a_section_at_the_lower_limit_of_en_336_is_pointed_at() -> None:
    """47 x 99.5 may measure 46 x 98.5: five slats 17 mm deep with four kerfs need 97, and 46 >= 44."""
    assert cut(wall([[(0, 2400)]], width=42), section_mm=[47, 100]).warnings == ()
    tight = cut(wall([[(0, 2400)]], width=42), section_mm=[47, 97.5])
    assert tight.warnings == (
        "a section that measures the least that EN 336 allows gives 4 slats of 42 mm, not 5: measure before "
        "buying",
    )


def test_trims_and_spacers_come_from_what_is_left() -> None:
    """The rest of ripping, 42 x 14 mm, holds the trim of 12 x 29 (14 x 31 before planing) but no spacer."""
    plan = cut(wall([[(0, 2400)]] * 9, trim=True))
    assert [(one.bar.came_from, [small.name for small in one.smalls]) for one in plan.reuse.used] == [
        ("rest", ["trim"]),
        ("strip", ["spacer", "spacer"]),
    ]
    assert plan.reuse.to_buy == ()
    assert_balanced(plan)


def test_a_trim_that_no_remainder_holds_is_named_to_buy() -> None:
    """Four slats of 19 mm fill 94 mm but for 5 mm, and every strip is needed."""
    plan = cut(wall([[(0, 2400)]] * 8, depth=19, trim=True))
    assert stock_json(plan)["small_strips_to_buy"][0] == {
        "name": "trim",
        "length_mm": 2400,
        "width_mm": 12,
        "depth_mm": 32,
    }


def test_strips_of_the_frame_keep_their_kind_and_follow_a_wall_out_of_true() -> None:
    """A trim, a plinth, a shadow gap that tapers from 12 to 19 mm, a scribed strip where there was none."""
    framed = replace(
        wall([[(0, 2400)]] * 4),
        trims=(
            Strip(side="right", rect=rect(5988, 0, 12, 2400)),
            Strip(side="bottom", rect=rect(0, 0, 6000, 80), kind="plinth"),
        ),
        shadow_gaps=(Strip(side="left", rect=rect(0, 0, 12, 2400), kind="shadow_gap"),),
        scribes=(
            Scribe(side="left", at_start=Fraction(19), at_end=Fraction(12)),
            Scribe(side="top", at_start=Fraction(0), at_end=Fraction(9)),
        ),
        gap=Fraction(0),
    )
    assert [(one.name, one.length, one.width, one.depth) for one in smalls([framed])] == [
        ("plinth", 6000, 80, 29),
        ("scribed strip", 6000, 9, 6),
        ("shadow strip", 2400, 19, 6),
        ("trim", 2400, 12, 29),
    ]


def test_a_panel_of_several_boards_is_cut_board_by_board() -> None:
    one = wall([[(0, 3000)]], boards=[(600, 3000)])
    parts = (rect(0, 0, 600, 2000), rect(0, 2000, 600, 1000))
    two = replace(one, panels=(replace(one.panels[0], parts=parts),))
    with pytest.raises(CuttingError):
        cut(one)
    plan = cut(two)
    assert plan.board_names == ("wall 1 panel 1 part 1", "wall 1 panel 1 part 2")
    assert plan.sheets is not None
    assert plan.sheets.order.boards == ((600, 2000), (600, 1000))


def test_ready_made_strips_are_counted_beside_it() -> None:
    plan = cut(wall([[(0, 1700)]] * 10), spares=2)
    assert plan.timber[0].ready_made.sections == ((Fraction(3600), 6),)


def test_the_exports_are_json_and_say_the_same() -> None:
    plan = cut(wall([[(0, 2400)]] * 9, boards=[(524, 2400)] * 3, trim=True))
    timber = json.loads(json.dumps(stock_json(plan)))
    sheets = json.loads(json.dumps(sheets_json(plan)))
    assert timber["section_count"] == sum(one["count"] for one in timber["sections"]) == 3
    assert (timber["length_mm"], timber["bound_mm"], timber["proven"]) == (8100, 8100, True)
    assert (sheets["count"], sheets["bound"], sheets["boards"]) == (2, 2, 3)
    assert [board["name"] for one in sheets["layouts"] for board in one["boards"]] == [
        "wall 1 panel 1", "wall 1 panel 2", "wall 1 panel 3",
    ]  # fmt: skip


def test_progress_is_heard_and_the_first_plan_never_loads_the_solver() -> None:
    heard: list[tuple[int, int]] = []
    plan = cut(wall([[(0, 2400)]] * 9, boards=[(524, 2400)] * 3))
    proven_cutting(plan, progress=lambda done, parts: heard.append((done, parts)))
    assert heard == [(0, 2), (1, 2), (2, 2)]
    code = (
        "import sys; from tests.test_cutting_plan import cut, wall;"
        "cut(wall([[(0, 2400)], [(0, 1999)], [(0, 700)]]));"
        "print('highspy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout == "False\n"


def test_the_solver_writes_nothing_to_standard_output() -> None:
    """It carries the commands' JSON."""
    code = (
        "from meshes.cutting.solver import Column, Row, minimise;"
        "minimise([Column(cost=1, upper=9, entries=((0, 1.0),))], [Row(lower=2)], whole=True, time_limit_s=1)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert (done.stdout, done.stderr) == ("", "")


lengths = st.fractions(min_value=150, max_value=2600, max_denominator=4)


@settings(deadline=None, max_examples=40)
@given(
    pieces=st.lists(st.lists(lengths, min_size=1, max_size=2), min_size=1, max_size=12),
    kerf=st.sampled_from([0, 2.5, 3]),
    cull=st.sampled_from([0, 0.05, 0.175]),
    spares=st.integers(0, 3),
    trim=st.booleans(),
    end_trim=st.sampled_from([0, 50, 100]),
)
def test_pieces_kerf_and_waste_are_the_timber_bought(
    pieces: list[list[Fraction]], kerf: float, cull: float, spares: int, trim: bool, end_trim: int
) -> None:
    walls = wall([[(0, float(length)) for length in parts] for parts in pieces], trim=trim)
    fields = {"kerf_mm": kerf, "cull_rate": cull, "spares": spares, "end_trim_mm": end_trim}
    first = cut(walls, **fields)
    assert_balanced(first)
    plan = proven_cutting(first, time_limit_s=5)
    assert_balanced(plan)
    for one, better in zip(first.timber, plan.timber, strict=True):
        assert one.crosscut.bound <= better.crosscut.bound <= better.crosscut.cost <= one.crosscut.cost
    assert stock_json(proven_cutting(cut(walls, **fields), time_limit_s=5)) == stock_json(plan)
