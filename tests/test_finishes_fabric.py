"""Cloth: drops from the roll to the least length, shrinkage, nap, staples, glue."""

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.catalogue import Catalogue
from finishes.drops import Size, bound_mm, share
from finishes.fabric_cut import Board, drops_for_width, fabric


def test_length_to_cut_for_shrinkage_iso_5077(catalogue: Catalogue) -> None:
    # ISO 5077: change in percent of the first length, so a 2440 mm finish at 3 % needs 2440 / 0.97 = 2515.5
    entry = catalogue.fabric["mid grey wool"]
    plan = fabric([Board(name="0", width_mm=600, height_mm=2440)], entry, catalogue, wrap_mm=0, lay="along")
    assert plan.drops[0].length_mm == pytest.approx(2515.46, abs=0.01)


@pytest.mark.parametrize(("width", "drops"), [(600, 1), (1350, 1), (1351, 2), (2790, 2), (2791, 3)])
def test_count_of_widths_for_one_board(width: float, drops: int) -> None:
    # ceil((W + 2 wrap) / (roll - seam)) once it no longer fits whole; roll 1470, wrap 60, seam 15
    assert drops_for_width(width + 2 * 60, 1470, 15) == drops


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
def test_pieces_lie_in_their_drops_without_overlap(
    catalogue: Catalogue, boards: list[Board], name: str
) -> None:
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
    cut = [drop for drop in plan.drops if not drop.spare]
    assert sorted(piece.board for drop in cut for piece in drop.pieces if piece.seam < 2) == ["b"] * len(
        boards
    )
    assert plan.could_save_mm == 0  # eight boards are always worked out to the least


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


# ---------------------------------------------------------------- sharing drops


def partitions(items: list[Size]) -> Iterator[list[list[Size]]]:
    """Every way to put these pieces into drops."""
    if not items:
        yield []
        return
    for rest in partitions(items[1:]):
        yield [[items[0]], *rest]
        for number, drop in enumerate(rest):
            yield [*rest[:number], [items[0], *drop], *rest[number + 1 :]]


def least_length(sizes: list[Size], usable: float) -> float:
    return min(
        sum(max(along for _, along in drop) for drop in drops)
        for drops in partitions(sizes)
        if all(sum(across for across, _ in drop) <= usable for drop in drops)
    )


@given(sizes=st.lists(st.tuples(st.integers(1, 10), st.integers(1, 9)), min_size=1, max_size=7))
def test_drops_are_shared_to_the_least_length_there_is(sizes: list[Size]) -> None:
    found = share(sizes, 10)
    assert sorted(size for drop in found.drops for size in drop) == sorted(sizes)
    assert all(sum(across for across, _ in drop) <= 10 for drop in found.drops)
    assert found.length_mm == least_length(sizes, 10)
    assert found.proven
    assert bound_mm(sizes, 10) <= found.length_mm


def test_first_fit_would_cut_more() -> None:
    # longest first into the first drop with room: 6+3, 4, 7 wide and 24 + 20 + 12 = 56 long; the least is
    # 6+4 and 3+7, 24 + 24 = 48
    sizes: list[Size] = [(6, 24), (3, 24), (4, 20), (7, 12)]
    assert share(sizes, 10).length_mm == least_length(sizes, 10) == 48


def test_many_different_pieces_come_with_a_bound() -> None:
    sizes: list[Size] = [(200 + 13 * n % 611, 900 + 17 * n) for n in range(60)]
    found = share(sizes, 1470)
    assert sorted(size for drop in found.drops for size in drop) == sorted(sizes)
    assert all(sum(across for across, _ in drop) <= 1470 + 1e-6 for drop in found.drops)
    assert found.shortest_mm <= found.length_mm <= 1.15 * found.shortest_mm


def test_a_long_run_of_equal_boards_is_proven() -> None:
    found = share([(620.0, 2400.0)] * 150 + [(400.0, 2400.0)], 1470)
    assert found.proven
    assert found.length_mm == 76 * 2400
