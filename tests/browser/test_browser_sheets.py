"""The sheets page prints as the sheets it shows: one a page, at the paper's own size."""

from collections.abc import Callable
from pathlib import Path

import pytest
from browser_visit import Visit
from paper_read import POINTS_PER_MM, sizes

pytestmark = pytest.mark.browser

# ISO 216 A4 and ANSI/ASME Y14.1 size A, in mm
A4, LETTER = (210.0, 297.0), (215.9, 279.4)


@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_setting_out_prints_one_sheet_a_page(
    visit: Callable[..., Visit], tmp_path: Path, paper: str, size: tuple[float, float]
) -> None:
    page = visit(f"/jobs/demo/sheets/setting-out?paper={paper}").page
    printed = sizes(page.pdf(prefer_css_page_size=True), tmp_path)
    upright = (round(size[0] * POINTS_PER_MM), round(size[1] * POINTS_PER_MM))
    # the elevation lies
    assert [(round(width), round(height)) for width, height in printed] == [upright[::-1], upright]
