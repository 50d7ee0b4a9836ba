"""Litres, tins, metres of fabric and days: published rates, exact sums, laws."""

import itertools
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.catalogue import Catalogue, load
from finishes.choice import Finish, Recipe
from finishes.coverage import take_off
from finishes.fabric_cut import Board, drops_for_width, fabric
from finishes.schedule import UnknownZoneError, schedule, zone
from finishes.tins import least_cost
from finishes.workshop import ageing, sample_board_recipe, sign_off_words

AREAS = {"slat_front": 24.0, "slat_side": 16.0}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


# ---------------------------------------------------------------- coverage


def test_spread_rates_are_the_wood_handbooks(catalogue: Catalogue) -> None:
    # FPL-GTR-190 ch. 16: 200-400 ft2/gal smooth, 100-200 saw-textured; 1 ft2/gal = 0.0245424 m2/l
    planed, sawn = catalogue.rate("planed spread rate"), catalogue.rate("sawn spread rate")
    assert (planed.low, planed.high) == pytest.approx((200 * 0.0245424, 400 * 0.0245424), abs=0.05)
    assert (sawn.low, sawn.high) == pytest.approx((100 * 0.0245424, 200 * 0.0245424), abs=0.06)


def test_one_coat_on_planed_and_sawn_faces(catalogue: Catalogue) -> None:
    # 24 m2 at 7.35 and 16 m2 at 3.65 m2/l with 12.5 % loss; the same sum with 10 % is 8.50 l
    found = take_off(AREAS, Finish(coats=1), catalogue)
    assert found.litres.likely == pytest.approx((24 / 7.35 + 16 / 3.65) / 0.875)
    assert found.litres.likely * 0.875 / 0.9 == pytest.approx(8.50, abs=0.005)
    assert found.litres.low < found.litres.likely < found.litres.high


def test_a_second_coat_takes_half_to_six_tenths_of_the_first(catalogue: Catalogue) -> None:
    one, two = (take_off(AREAS, Finish(coats=n), catalogue).litres for n in (1, 2))
    assert two.low / one.low == pytest.approx(1.5)
    assert two.high / one.high == pytest.approx(1.6)


def test_litres_never_fall_when_a_coat_is_added(catalogue: Catalogue) -> None:
    for tone, between in itertools.product(catalogue.stain, ("wet on wet", "dried")):
        litres = [
            take_off(AREAS, Finish(stain=tone, coats=n, between_coats=between), catalogue).litres.likely
            for n in range(7)
        ]
        assert all(first < second for first, second in itertools.pairwise(litres)), tone


def test_sourced_rates_of_an_entry_replace_the_general_ones(catalogue: Catalogue, tmp_path: object) -> None:
    from pathlib import Path

    own = Path(str(tmp_path)) / "own.toml"
    rate = 'source = "drawdown of 3 March", tag = "measured"'
    own.write_text(
        f"""[[stain]]
name = "walnut"
loads = {{ umber = 1 }}
source = "own drawdown"
tag = "measured"
drying = {{ recoat_h = 12, handle_h = 24, touch_fabric_h = 48, {rate} }}
planed_m2_per_l = {{ low = 10, likely = 10, high = 10, {rate} }}
sawn_m2_per_l = {{ low = 5, likely = 5, high = 5, {rate} }}
further_coat_share = {{ low = 0.3, likely = 0.3, high = 0.3, {rate} }}
"""
    )
    found = take_off(AREAS, Finish(stain="walnut", coats=2), load([own.parent]))
    assert found.litres.likely == pytest.approx((24 / 10 + 16 / 5) * 1.3 / 0.875)


def test_backs_get_one_thin_coat_when_slats_are_thin(catalogue: Catalogue) -> None:
    areas = {**AREAS, "slat_back": 24.0}

    def backs(finish: Finish, depth_mm: float) -> list[tuple[int, float]]:
        stain = take_off(areas, finish, catalogue, slat_depth_mm=depth_mm).stain
        assert stain is not None
        return [(line.coat, line.share) for line in stain.lines if line.surface == "slat_back"]

    assert backs(Finish(coats=3), 16) == [(1, 0.5)]
    assert backs(Finish(coats=3), 18) == []
    assert backs(Finish(coats=1, backs="coated"), 40) == [(1, 0.5)]
    assert backs(Finish(coats=1, backs="bare"), 10) == []


def test_samples_and_the_touch_up_pot_are_bought_too(catalogue: Catalogue) -> None:
    stain = take_off(AREAS, Finish(coats=1), catalogue).stain
    assert stain is not None
    assert stain.touch_up_l == 0.25
    assert stain.samples_l.likely == pytest.approx(3 * 0.06 / 7.35 / 0.875)
    assert stain.to_buy_l.likely == pytest.approx(stain.litres.likely + stain.samples_l.likely + 0.25)
    (part,) = stain.parts
    assert part.tins.volume_ml >= stain.to_buy_l.likely * 1000
    assert "one batch" in stain.advice


def test_an_own_tone_buys_its_two_tones_by_their_parts(catalogue: Catalogue) -> None:
    finish = Finish(own_tone=Recipe(first="walnut", second="honey", second_parts=3))
    found = take_off(AREAS, finish, catalogue)
    assert found.stain is not None
    walnut, honey = found.tins
    assert (walnut.name, honey.name) == ("walnut", "honey")
    assert walnut.litres.likely * 3 == pytest.approx(honey.litres.likely)
    assert walnut.litres.likely + honey.litres.likely == pytest.approx(found.stain.to_buy_l.likely)


def test_topcoat_and_painted_backing_have_their_own_litres(catalogue: Catalogue) -> None:
    found = take_off({**AREAS, "fabric": 9.0}, Finish(topcoat="oil", fabric="black paint"), catalogue)
    assert found.topcoat is not None
    assert found.topcoat.coats == 2
    assert found.backing_paint is not None
    assert found.backing_paint.litres.likely == pytest.approx(2 * 9 / 12 / 0.875)
    plain = take_off({**AREAS, "fabric": 9.0}, Finish(topcoat="none", coats=0), catalogue)
    assert (plain.stain, plain.topcoat, plain.backing_paint) == (None, None, None)


def test_a_negative_area_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(ValueError, match=r"areas_m2\['slat_side'\] is -1; an area must be 0 or more"):
        take_off({"slat_side": -1.0}, Finish(), catalogue)


# ---------------------------------------------------------------- tins


def brute_force(wanted: int, prices: dict[int, Decimal]) -> Decimal:
    best = None
    for counts in itertools.product(*(range(wanted // size + 2) for size in prices)):
        if sum(n * size for n, size in zip(counts, prices, strict=True)) >= wanted:
            cost = sum((n * prices[size] for n, size in zip(counts, prices, strict=True)), Decimal(0))
            best = cost if best is None else min(best, cost)
    assert best is not None
    return best


@given(
    wanted=st.integers(0, 3000),
    prices=st.dictionaries(
        st.sampled_from([250, 375, 750, 1000]), st.integers(1, 60).map(Decimal), min_size=1
    ),
)
def test_tins_cost_the_least_that_any_set_costs(wanted: int, prices: dict[int, Decimal]) -> None:
    found = least_cost(wanted, dict(prices))
    assert found.volume_ml >= wanted
    assert found.cost == brute_force(wanted, prices)
    assert found.volume_ml == sum(size * count for size, count in found.counts)


def test_tins_without_prices_leave_the_least_over() -> None:
    found = least_cost(3400, dict.fromkeys((250, 750, 1000, 2500, 5000)))
    assert found.words == "1 × 2.5 l + 1 × 1 l"
    assert found.cost is None
    assert least_cost(0, {250: None}).words == "none"


@pytest.mark.parametrize(
    ("wanted", "sizes", "message"),
    [
        (-1, {250: None}, "wanted_ml is -1"),
        (float("nan"), {250: None}, "wanted_ml is nan"),
        (10, {}, "at least one tin size"),
        (10, {0: None}, "at least one tin size"),
        (10, {250: Decimal(-1)}, "a price is below 0"),
    ],
)
def test_tins_refuse_nonsense(wanted: float, sizes: dict[int, Decimal | None], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        least_cost(wanted, sizes)


# ---------------------------------------------------------------- fabric


def test_length_to_cut_for_shrinkage_iso_5077(catalogue: Catalogue) -> None:
    # ISO 5077: change in percent of the first length, so a 2440 mm finish at 3 % needs 2440 / 0.97 = 2515.5
    entry = catalogue.fabric["mid grey wool"]
    plan = fabric([Board(name="0", width_mm=600, height_mm=2440)], entry, catalogue, wrap_mm=0, lay="along")
    assert plan.drops[0].length_mm == pytest.approx(2515.46, abs=0.01)


@pytest.mark.parametrize(("width", "drops"), [(600, 1), (1350, 1), (1351, 2), (2790, 2), (2791, 3)])
def test_count_of_widths_for_one_board(width: float, drops: int) -> None:
    # ceil((W + 2 wrap) / (roll - seam)) once it no longer fits whole; roll 1470, wrap 60, seam 15
    assert drops_for_width(width, 60, 1470, 15) == drops


def test_boards_share_a_drop_within_the_usable_width(catalogue: Catalogue) -> None:
    boards = [Board(name=str(n), width_mm=560, height_mm=2300) for n in range(5)]
    plan = fabric(boards, catalogue.fabric["black felt"], catalogue, lay="along")
    cut = [drop for drop in plan.drops if not drop.spare]
    assert [len(drop.pieces) for drop in cut] == [2, 2, 1]
    assert len(cut) == plan.fewest_drops
    assert sum(drop.spare for drop in plan.drops) == 1
    for drop in cut:
        right = drop.pieces[-1].left_mm + drop.pieces[-1].across_mm
        assert right <= plan.usable_width_mm
    # four lengths of (2300 + 120) / 0.99, rounded up to a tenth of a metre
    assert plan.metres == 9.8


def test_a_nap_is_never_turned(catalogue: Catalogue) -> None:
    boards = [Board(name="0", width_mm=2000, height_mm=1200)]
    napped = fabric(boards, catalogue.fabric["rust velvet"], catalogue)
    plain = fabric(boards, catalogue.fabric["mid grey wool"], catalogue)
    assert napped.lay == "along"
    assert max(piece.seam for drop in napped.drops for piece in drop.pieces) == 2
    assert any("nap" in note for note in napped.notes)
    assert any("seam behind a slat" in note for note in napped.notes)
    assert plain.lay == "across"
    assert max(piece.seam for drop in plain.drops for piece in drop.pieces) == 0


def test_staples_and_glue_go_by_edge_and_area(catalogue: Catalogue) -> None:
    plan = fabric([Board(name="0", width_mm=500, height_mm=2000)], catalogue.fabric["black felt"], catalogue)
    assert plan.edge_m == 5.0
    assert plan.staples == 100
    assert plan.glue_l == pytest.approx(0.15)


@given(
    boards=st.lists(
        st.tuples(st.integers(100, 3000), st.integers(100, 3000)).map(
            lambda size: Board(name="b", width_mm=size[0], height_mm=size[1])
        ),
        min_size=1,
        max_size=8,
    ),
    name=st.sampled_from(["black felt", "rust velvet", "natural linen"]),
)
def test_pieces_lie_in_their_drops_without_overlap(boards: list[Board], name: str) -> None:
    catalogue = load()
    plan = fabric(boards, catalogue.fabric[name], catalogue)
    end = 0.0
    for drop in plan.drops:
        assert drop.start_mm == pytest.approx(end)
        end = drop.start_mm + drop.length_mm
        place = 0.0
        for piece in drop.pieces:
            assert piece.left_mm >= place - 1e-6
            place = piece.left_mm + piece.across_mm
            assert place <= plan.usable_width_mm + 1e-6
            assert piece.along_mm <= drop.length_mm + 1e-6
    assert plan.metres * 1000 >= end - 1e-6


def test_fabric_refuses_nonsense(catalogue: Catalogue) -> None:
    felt, board = catalogue.fabric["black felt"], Board(name="0", width_mm=500, height_mm=500)
    with pytest.raises(ValueError, match="is a paint"):
        fabric([board], catalogue.fabric["black paint"], catalogue)
    with pytest.raises(ValueError, match="boards: at least one"):
        fabric([], felt, catalogue)
    with pytest.raises(ValueError, match="wrap_mm is -1"):
        fabric([board], felt, catalogue, wrap_mm=-1)
    with pytest.raises(ValueError, match="usable_width_mm is 10"):
        fabric([board], felt, catalogue, usable_width_mm=10)


# ---------------------------------------------------------------- schedule


def test_coats_waits_and_weekend_to_the_first_day_for_fixing(catalogue: Catalogue) -> None:
    # Friday 20 November 2026: 20 m2 take 3 h 20 a coat at 6 m2/h; oil-borne stain waits 16 h, oil 16 h and
    # 120 h
    finish = Finish(stain="walnut", coats=2, between_coats="dried", topcoat="oil")
    found = schedule(finish, catalogue, start=date(2026, 11, 20), zone_name="Europe/London", area_m2=20)
    days = [(step.starts.strftime("%a %d %H:%M"), step.ends.strftime("%H:%M")) for step in found.steps]
    assert days == [
        ("Fri 20 08:00", "11:20"),
        ("Mon 23 08:00", "11:20"),
        ("Tue 24 08:00", "11:20"),
        ("Wed 25 08:00", "11:20"),
    ]
    assert found.steps[-1].ready.strftime("%a %d %H:%M") == "Mon 30 11:20"
    assert found.fit_on == date(2026, 11, 30)
    assert any("Rags with drying oil" in note for note in found.notes)
    assert any("dried seals the wood" in note for note in found.notes)
    assert any("Cuts made at openings" in note for note in found.notes)
    seven_days = schedule(
        finish, catalogue, start=date(2026, 11, 20), zone_name="Europe/London", area_m2=20, weekends=True
    )
    assert seven_days.fit_on == date(2026, 11, 28)


def test_waits_run_in_real_hours_through_a_change_of_clocks(catalogue: Catalogue) -> None:
    # Clocks in London go back on 25 October 2026: 16 h after Saturday 17:00 is Sunday 08:00, not 09:00
    finish = Finish(stain="walnut", coats=1, topcoat="matt")
    found = schedule(
        finish, catalogue, start=date(2026, 10, 24), zone_name="Europe/London", area_m2=54, weekends=True
    )
    assert found.steps[0].ends.strftime("%a %H:%M %z") == "Sat 17:00 +0100"
    assert found.steps[0].ready.strftime("%a %H:%M %z") == "Sun 08:00 +0000"


def test_coats_wet_on_wet_are_one_piece_of_work(catalogue: Catalogue) -> None:
    finish = Finish(stain="walnut", coats=2, topcoat="none")
    found = schedule(finish, catalogue, start=date(2026, 11, 16), zone_name="UTC", area_m2=12)
    (step,) = found.steps
    # Wood Handbook FPL-GTR-190 ch. 16: 20-60 minutes
    assert step.work == "stain, 2 coats wet on wet, 20 to 60 minutes apart: walnut"
    assert step.ends.strftime("%H:%M") == "12:00"


def test_more_coats_never_come_earlier(catalogue: Catalogue) -> None:
    for topcoat in catalogue.topcoat:
        days = [
            schedule(
                Finish(coats=n, topcoat=topcoat, between_coats="dried"),
                catalogue,
                start=date(2026, 11, 16),
                zone_name="UTC",
                area_m2=25,
            ).fit_on
            for n in range(5)
        ]
        assert days == sorted(days)


def test_an_unknown_zone_and_a_negative_area_are_refused(catalogue: Catalogue) -> None:
    with pytest.raises(UnknownZoneError, match="'Europe/Lundon' is not a known time zone"):
        zone("Europe/Lundon")
    with pytest.raises(UnknownZoneError, match="not a known time zone"):
        zone("../etc/passwd")
    with pytest.raises(ValueError, match="area_m2 is -1"):
        schedule(Finish(), catalogue, start=date(2026, 11, 16), zone_name="UTC", area_m2=-1)


# ---------------------------------------------------------------- words


def test_words_for_the_bench_name_the_finish(catalogue: Catalogue) -> None:
    finish = Finish(
        timber="Scots pine",
        own_tone=Recipe(first="walnut", second="light oak", second_parts=2),
        coats=2,
        topcoat="oil",
        sorting="clear",
    )
    recipe = " ".join(sample_board_recipe(finish, catalogue))
    assert "Mix by volume: 1 part walnut + 2 parts light oak" in recipe
    assert "2 coats, each while the one before is wet" in recipe
    assert "What is agreed is the off-cut" in recipe
    assert sign_off_words(finish, catalogue) == (
        "Timber Scots pine, tone 1 part walnut + 2 parts light oak, 2 coats, faces planed, sides sawn, "
        "topcoat oil. Boards sorted free of knots on the faces that show."
    )
    assert len(ageing(finish, catalogue)) == 2


def test_cull_rates_grow_with_how_strictly_boards_are_sorted(catalogue: Catalogue) -> None:
    culls = {name: entry.cull_percent.likely for name, entry in catalogue.sorting.items()}
    assert culls["all knots"] < culls["small sound knots"] < culls["clear"]
