"""Slats whose tops are cut to a sloping ceiling: the longer side is cut, both sides are listed."""

from fractions import Fraction

from laid_out import SOCKET, StockOf, placed, problems

from meshes.cutting.demand import slat_pieces
from meshes.cutting.export import stock_json
from meshes.cutting.plan import first_cutting
from meshes.cutting.stock import Stock
from meshes.layout.areas import areas
from meshes.layout.spacing import Panels

SLOPE = {"width_mm": 3000, "height_mm": 2300, "ceiling": "swept", "ceiling_out_of_level_mm": 90}
"""The ceiling rises 3 in 100: slats of 40 are 1.2 mm longer at their right edge."""


def test_the_longer_side_of_a_swept_slat_is_cut() -> None:
    laid = placed(SLOPE, {"width_mm": 40, "gap_mm": 12}, openings=[{**SOCKET, "left_mm": 500}])
    for piece in slat_pieces([laid]):
        slat = laid.slats[piece.slat]
        if piece.part < len(slat.pieces) - 1:
            assert (piece.shorter, piece.longer_at) == (None, "")
            continue
        bottom = slat.pieces[-1].bottom
        assert piece.length == 2300 + slat.extent.right * Fraction(3, 100) - bottom
        assert piece.shorter == piece.length - Fraction(12, 10)
        assert piece.longer_at == "right"
    plan = first_cutting([laid], stock=Stock(), panels=Panels())
    (timber,) = stock_json(plan)["slats"]
    first = timber["tops_to_cut"][0]
    assert first["wall_slat_part"] == [0, 0, 0]
    assert (first["longer_side_mm"], first["shorter_side_mm"], first["longer_at"]) == (2301.2, 2300, "right")
    assert len(timber["tops_to_cut"]) == len(laid.slats)
    assert timber["pieces"][0]["length_mm"] == max(one["longer_side_mm"] for one in timber["tops_to_cut"])


def test_a_swept_front_is_a_trapezium() -> None:
    laid = placed({**SLOPE, "width_mm": 520, "ceiling_out_of_level_mm": 52}, {"width_mm": 40, "gap_mm": 20})
    by_hand = sum(40 * (2300 + (slat.extent.left + 20) / 10) for slat in laid.slats)
    assert areas(laid)["slat_front"] == by_hand


def test_stock_that_is_too_short_for_the_highest_slat_is_refused() -> None:
    ((path, message),) = problems(SLOPE, stock=StockOf(2450))
    assert path == "stock.lengths_mm"
    assert message.startswith("the longest, 2450, leaves 2350 between its end trims, and a slat is 2390;")
