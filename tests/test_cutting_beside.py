"""Slats of several widths out of the same sections: rests of the wider ones give the narrower."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from laid_out import placed

from meshes.cutting.export import stock_json
from meshes.cutting.plan import Plan, first_cutting, proven_cutting, with_parts_of
from meshes.cutting.stock import Stock
from meshes.layout.spacing import Panels


def plan_of(widths: list[float], wall_mm: int = 3000, **stock: Any) -> Plan:
    slats = {"width_mm": 40, "depth_mm": 18, "gap_mm": 12, "pattern": {"widths_mm": widths}}
    laid = placed({"width_mm": wall_mm, "height_mm": 2400}, slats)
    return first_cutting([laid], stock=Stock.model_validate(stock), panels=Panels())


def balanced(plan: Plan) -> bool:
    timber = plan.balance
    parts = (timber.slats, timber.spares, timber.culls, timber.smalls, timber.kerf, timber.kept, timber.waste)
    return sum(parts) == timber.bought and min(parts) >= 0


def test_the_rest_beside_wide_slats_gives_the_narrow_ones_by_hand() -> None:
    """47 x 100 for slats of 60 and 20, sawn 62 and 22 by 19: one column of 62 leaves 100 - 62 - 3 = 35, which
    gives one of 22; 47 gives two rows. Of 22 and 45 slats, two spares of 20 and 5 % culled make 24 and 50:
    12 sections for the wide ones leave 12 rests of two strips, and 26 more need 26 / 8, four sections."""
    plan = plan_of([20, 20, 60])
    wide, narrow = plan.timber
    assert (sum(wide.demand.to_cut.values()), sum(narrow.demand.to_cut.values())) == (24, 50)
    assert dict(wide.crosscut.sections) == {3000: 12}
    (taken,) = narrow.from_rests
    assert (taken.bar.width, taken.bar.depth, taken.bar.length) == (35, 47, 2900)
    assert (taken.bars, taken.rip.count, sum(taken.pieces.values())) == (12, 2, 24)
    assert dict(narrow.crosscut.sections) == {3000: 4}
    assert balanced(plan)
    # no plan does with less: the ends of 16 sections are what 24 and 50 strips need
    assert plan.timber_proven
    shown = stock_json(plan)
    assert (shown["section_count"], shown["proven"]) == (16, True)
    assert shown["slats"][1]["from_rests"][0]["rests"] == 12


def test_without_room_beside_them_each_width_has_its_own_sections() -> None:
    plan = plan_of([20, 80])
    assert [one.from_rests for one in plan.timber] == [(), ()]
    assert balanced(plan)


@settings(deadline=None, max_examples=20)
@given(
    widths=st.lists(st.sampled_from([15, 20, 25, 30, 45, 60, 80]), min_size=2, max_size=4),
    wall=st.integers(600, 3200),
    kerf=st.sampled_from([2, 3]),
)
def test_every_piece_is_cut_once_and_no_plan_is_below_its_bound(
    widths: list[float], wall: int, kerf: int
) -> None:
    first = plan_of(widths, wall, kerf_mm=kerf)
    for plan in (first, proven_cutting(first, time_limit_s=1)):
        assert balanced(plan)
        assert plan.bound <= plan.cost
        for one in plan.timber:
            made = {length: count for length, count in one.demand.to_cut.items() if count}
            for taken in one.from_rests:
                for length, count in taken.pieces.items():
                    made[length] -= count
            missing = {length: count for length, count in made.items() if count}
            assert missing == {length: count for length, count in one.crosscut.order.pieces.items() if count}
        assert with_parts_of(first, plan).cost == plan.cost


@pytest.mark.parametrize("widths", [[40], [40, 40]])
def test_one_width_is_planned_as_before(widths: list[float]) -> None:
    plan = plan_of(widths)
    (one,) = plan.timber
    assert one.from_rests == ()
    assert plan.bound == one.crosscut.bound
    assert isinstance(plan.bound, Fraction)
