"""Plates of published sizes: each lands in a cut-out, its edges in gaps, or over a slat that is named."""

from fractions import Fraction

import pytest
from laid_out import ONE_PANEL, placed, said

from meshes.layout.rod import inches

INCH = Fraction(254, 10)

UK = [(86, 86), (146, 86)]
"""One gang: guides to BS 1363; two gangs: BS 4662, from memory."""

US = [Fraction(11, 4) + Fraction(29, 16) * more for more in range(4)]
"""Widths of one to four gangs in inches, 1 13/16 apart: ANSI/NEMA WD 6; all 4 1/2 high."""


def test_widths_of_plates_in_sixteenths_as_published() -> None:
    assert [str(inches(width * INCH)) for width in US] == ["2 3/4", "4 9/16", "6 3/8", "8 3/16"]


@pytest.mark.parametrize(("width", "height"), [*UK, *((width * INCH, Fraction(9, 2) * INCH) for width in US)])
@pytest.mark.parametrize("left", [1000, 1013, 1026.5, 1040])
def test_a_plate_lands_in_a_cut_out_and_a_slat_under_its_edge_is_named(
    width: Fraction, height: Fraction, left: float
) -> None:
    socket = {"left_mm": left, "bottom_mm": 450, "width_mm": float(width), "height_mm": float(height)}
    result = placed({"width_mm": 2000}, {"width_mm": 40, "gap_mm": 14}, openings=[socket], panels=ONE_PANEL)
    (plate,) = (one.rect for one in result.plates)
    for slat in result.slats:
        for piece in slat.pieces:
            beside = piece.right <= plate.left or piece.left >= plate.right
            assert beside or piece.top <= plate.bottom or piece.bottom >= plate.top
    over = [
        slat.index + 1
        for slat in result.slats
        if any(slat.extent.left < edge < slat.extent.right for edge in (plate.left, plate.right))
    ]
    assert all(f"lies over slat {number}:" in said(result) for number in over)
    assert said(result).count("of cloth show") == len(over)
    cut = [cut for panel in result.panels for cut in panel.cutouts]
    assert min(one.left for one in cut) == plate.left
    assert max(one.right for one in cut) == plate.right
