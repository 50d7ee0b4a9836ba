"""The blank survey sheet: one page a wall, everything on the paper, boxes in the order of the form."""

import re
from pathlib import Path

import pytest
from paper_read import POINTS_PER_MM, sizes, streams, words

from viewer.pages.survey_fields import wall_groups
from viewer.sheets.paper import PAPER_SIZES, PaperName, Stamp, upright
from viewer.sheets.survey_sheet import survey_sheet

STAMP = Stamp(job="Niche, two walls", version="1a2b3c4d", job_format=1, revised="2026-11-20")
BOX = re.compile(r"(-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) re")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_page_a_wall_and_every_box_on_the_paper_above_the_title_block(
    paper: PaperName, tmp_path: Path
) -> None:
    pdf = survey_sheet(walls=2, paper=paper, stamp=STAMP)
    wide, high = PAPER_SIZES[paper]
    pages_of = sizes(pdf, tmp_path)
    assert len(pages_of) == 2
    for found in pages_of:
        assert found == pytest.approx((wide * POINTS_PER_MM, high * POINTS_PER_MM), abs=0.1)
    sheet = upright(paper)
    pages = [stream for stream in streams(pdf) if " re" in stream]
    assert len(pages) == 2
    for page in pages:
        boxes = [tuple(float(one) / POINTS_PER_MM for one in found) for found in BOX.findall(page)]
        assert len(boxes) > 60
        for x, y, width, height in boxes:
            low, top = sorted((y, y + height))
            assert sheet.left - 0.01 <= min(x, x + width)
            assert max(x, x + width) <= sheet.right + 0.01
            assert low >= high - sheet.bottom - 0.01, "a box reaches into the title block"
            assert top <= high


def test_boxes_follow_the_form(tmp_path: Path) -> None:
    text = words(survey_sheet(walls=1, paper="A4", stamp=STAMP), tmp_path)
    numbered = re.findall(r"^ *(\d+)\s+([A-Z][a-z]+(?: [a-z]+)?)", text, re.MULTILINE)
    assert [int(number) for number, _heading in numbered] == list(range(1, 11))
    headings = [heading for _number, heading in numbered]
    assert headings[:4] == ["Width", "Height", "Openings", "Zones"]
    form = [group.heading.split()[0] for group in wall_groups("") if not group.first]
    assert [heading.split()[0] for heading in headings[4:9]] == form
    assert "Niche, two walls" in text
    assert "page 1 of 1" in text
