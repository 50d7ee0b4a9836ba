"""Boards from sheets: published guillotine optima, a checker of its own, and the laws of every plan."""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from separable import separable

from meshes.cutting.guillotine import best_layout
from meshes.cutting.sheet_proof import proven_sheets
from meshes.cutting.sheets import SheetOrder, SheetPlan
from meshes.cutting.shelves import first_sheets

# OR-Library (J. E. Beasley, JORS 36, 1985), gcut1: sheet 250 x 250, value = area, copies without limit.
GCUT1 = [
    (167, 184), (114, 118), (167, 152), (83, 140), (70, 86),
    (143, 166), (120, 160), (66, 148), (87, 141), (69, 165),
]  # fmt: skip


@pytest.mark.parametrize(("may_turn", "best"), [(False, 56460), (True, 58136)])
def test_gcut1_guillotine_optimum_as_published(may_turn: bool, best: int) -> None:
    areas = [w * h for w, h in GCUT1]
    value, tree = best_layout(250, 250, GCUT1, areas, may_turn=may_turn)
    assert value == best
    assert tree is not None


def order(
    boards: list[tuple[float, float]], sheet: tuple[int, int], kerf: int = 3, turn: bool = True
) -> SheetOrder:
    return SheetOrder(
        boards=tuple((Fraction(w), Fraction(h)) for w, h in boards),
        sheet=(Fraction(sheet[0]), Fraction(sheet[1])),
        kerf=Fraction(kerf),
        may_turn=turn,
    )


def assert_sound(plan: SheetPlan) -> None:
    wanted = plan.order
    width, height = wanted.sheet
    for layout in plan.layouts:
        everything = [*layout.boards, *layout.offcuts]
        assert separable(everything, sheet_width=width, sheet_height=height, kerf=wanted.kerf)
        used = sum(one.width * one.height for one in everything)
        assert used + layout.kerf_area == width * height
        assert 0 <= layout.kerf_area <= wanted.kerf * sum(cut.end - cut.start for cut in layout.cuts)
        for one in layout.boards:
            size = (one.height, one.width) if one.turned else (one.width, one.height)
            assert size == wanted.boards[one.board]
            assert wanted.may_turn or not one.turned
    assert Counter(one.board for layout in plan.layouts for one in layout.boards) == Counter(
        range(len(wanted.boards))
    )
    assert plan.bound <= plan.count


@dataclass
class Box:
    left: Fraction
    bottom: Fraction
    width: Fraction
    height: Fraction


def boxes(*rects: tuple[int, int, int, int]) -> list[Box]:
    return [Box(*map(Fraction, rect)) for rect in rects]


def test_the_checker_refuses_a_pinwheel_and_what_it_is_told_to() -> None:
    """Five boards round a middle: no edge-to-edge cut exists."""
    pinwheel = boxes((0, 0, 6, 3), (7, 0, 3, 6), (4, 7, 6, 3), (0, 4, 3, 6), (4, 4, 2, 2))
    sheet = {"sheet_width": Fraction(10), "sheet_height": Fraction(10)}
    assert not separable(pinwheel, **sheet, kerf=Fraction(1))
    assert separable(pinwheel[1:], **sheet, kerf=Fraction(1))
    assert not separable(pinwheel[1:], **sheet, kerf=Fraction(2))  # closer than the saw is wide
    assert not separable(boxes((0, 0, 11, 1)), **sheet, kerf=Fraction(0))  # over the edge
    assert not separable(boxes((0, 0, 5, 5), (4, 4, 3, 3)), **sheet, kerf=Fraction(0))  # overlap


@pytest.mark.parametrize(
    ("width", "each"), [(Fraction(37188, 71), 2), (Fraction(49584, 71), 1)], ids=["nine pitches", "twelve"]
)
def test_nine_pitches_give_two_boards_a_sheet_and_twelve_only_one(width: Fraction, each: int) -> None:
    """By hand: pitch 4132/71 mm; nine are 523.8 mm, twelve 698.4 mm; the sheet is 1220 mm wide."""
    plan = first_sheets(order([(width, 2400)] * 6, (1220, 2440)))
    assert_sound(plan)
    assert (plan.count, plan.proven) == (6 // each, True)


def test_the_edge_of_the_sheet_and_the_width_of_the_saw() -> None:
    assert first_sheets(order([(608, 2440)] * 2, (1220, 2440), kerf=4)).count == 1
    assert first_sheets(order([(608, 2440)] * 2, (1220, 2440), kerf=5)).count == 2


def test_grain_keeps_boards_upright() -> None:
    assert first_sheets(order([(2000, 500)] * 2, (1220, 2440))).count == 1
    assert not order([(2000, 500)], (1220, 2440), turn=False).fits((Fraction(2000), Fraction(500)))


def test_cuts_come_in_an_order_that_can_be_sawn() -> None:
    plan = first_sheets(order([(524, 2430), (524, 2430)], (1220, 2440)))
    first = plan.layouts[0].cuts[0]
    assert (first.upright, first.at, first.start, first.end) == (True, 524, 0, 2440)


def test_a_thousand_boards_on_one_sheet_are_cut_without_recursion() -> None:
    """1,154 boards of 50 x 2400 on a sheet of 60 m: the tree of cuts is as deep as there are boards."""
    many = order([(50, 2400)] * 1154, (60_000, 60_000))
    plan = first_sheets(many)
    assert (plan.count, plan.proven) == (1, True)
    (layout,) = plan.layouts
    assert sorted(one.board for one in layout.boards) == list(range(1154))
    used = sum(one.width * one.height for one in (*layout.boards, *layout.offcuts))
    assert used + layout.kerf_area == 60_000**2


def test_a_plan_is_improved_and_proven() -> None:
    """Laying the boards down one after the other takes three sheets; generated layouts take two."""
    boards = [(320, 901)] * 8 + [(368, 1140)] * 4 + [(725, 543)] * 2
    first = first_sheets(order(boards, (1220, 2440), turn=False))
    plan = proven_sheets(first)
    assert_sound(first)
    assert_sound(plan)
    assert (first.count, plan.count, plan.proven) == (3, 2, True)


def test_generated_layouts_take_over_where_sheets_cannot_all_be_listed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    boards = [(320, 901)] * 8 + [(368, 1140)] * 4 + [(725, 543)] * 2
    monkeypatch.setattr("meshes.cutting.sheet_proof.JOININGS", 10)
    plan = proven_sheets(first_sheets(order(boards, (1220, 2440), turn=False)))
    assert_sound(plan)
    assert (plan.count, plan.proven) == (2, True)


def test_boards_that_miss_one_sheet_by_three_millimetres_need_two() -> None:
    """One above the other: 1500 + 3 + 930 of 2440 fit, 1500 + 3 + 940 do not; the area would allow both."""
    first = first_sheets(order([(900, 1500), (1000, 930)], (1220, 2440), turn=False))
    plan = proven_sheets(first)
    assert (first.count, plan.count, plan.proven) == (1, 1, True)
    wide = proven_sheets(first_sheets(order([(900, 1500), (1000, 940)], (1220, 2440), turn=False)))
    assert (wide.count, wide.proven) == (2, True)


cases = st.fixed_dictionaries(
    {
        "boards": st.lists(st.tuples(st.integers(10, 60), st.integers(10, 60)), min_size=1, max_size=7),
        "kerf": st.integers(0, 3),
        "turn": st.booleans(),
    }
)


@settings(deadline=None, max_examples=60)
@given(cases)
def test_every_plan_is_separable_complete_exact_and_never_below_its_bound(case: dict) -> None:  # type: ignore[type-arg]
    wanted = order(case["boards"], (60, 60), case["kerf"], case["turn"])
    first = first_sheets(wanted)
    plan = proven_sheets(first, time_limit_s=5)
    assert_sound(first)
    assert_sound(plan)
    assert first.bound <= plan.bound <= plan.count <= first.count
    assert proven_sheets(first_sheets(wanted), time_limit_s=5) == plan


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(st.integers(10, 60), st.integers(10, 60)), min_size=1, max_size=5), st.booleans())
def test_the_fewest_sheets_are_those_of_brute_force(sizes: list[tuple[int, int]], turn: bool) -> None:
    """Sets of boards that share a sheet, found by trying every tree of cuts; then the fewest sets."""
    from functools import cache

    @cache
    def together(boards: tuple[tuple[int, int], ...], width: int, height: int) -> bool:
        if not boards:
            return True
        if len(boards) == 1:
            w, h = boards[0]
            return (w <= width and h <= height) or (turn and h <= width and w <= height)
        if sum(w * h for w, h in boards) > width * height:
            return False
        for size in range(len(boards)):
            for part in combinations(range(len(boards)), size):
                one = tuple(boards[i] for i in part)
                rest = tuple(boards[i] for i in range(len(boards)) if i not in part)
                for at in range(10, width - 9):
                    if one and together(one, at, height) and together(rest, width - at, height):
                        return True
                for at in range(10, height - 9):
                    if one and together(one, width, at) and together(rest, width, height - at):
                        return True
        return False

    fewest = {0: 0}
    for mask in range(1, 1 << len(sizes)):
        options = []
        part = mask
        while part:
            boards = tuple(sorted(sizes[i] for i in range(len(sizes)) if part >> i & 1))
            if mask ^ part in fewest and together(boards, 60, 60):
                options.append(fewest[mask ^ part] + 1)
            part = (part - 1) & mask
        fewest[mask] = min(options)
    plan = proven_sheets(first_sheets(order(sizes, (60, 60), 0, turn)), time_limit_s=5)
    assert plan.bound == fewest[(1 << len(sizes)) - 1] == plan.count
