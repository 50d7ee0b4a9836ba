"""Whole documents page by page: nothing off the sheet or over something else, no page for a line or two."""

import json
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest
from paper_read import Box, boxes

from finishes.catalogue import load
from viewer.job.check import check_text
from viewer.job.choices import chosen_finish, finish_label
from viewer.pack.files import pack_files

SLOPING = {
    "name": "Under the roof",
    "wall": {
        "width_mm": 3400,
        "height_mm": {"left": 2100, "middle": 2290, "right": 2440},
        "floor_out_of_level_mm": 14,
        "ceiling": "swept",
        "skirting": "removed",
        "plinth_mm": 60,
        "left": {"out_of_plumb_mm": 6, "shadow_gap_mm": 10},
        "right": {"meets": "open", "trim_mm": 15},
    },
    "openings": [
        {"kind": "socket", "left_mm": 700, "bottom_mm": 450, "width_mm": 146, "height_mm": 86},
        {"kind": "window", "left_mm": 1500, "bottom_mm": 1200, "width_mm": 600, "height_mm": 500},
    ],
    "zones": [
        {"kind": "raking_light", "left_mm": 2800, "bottom_mm": 300, "width_mm": 500, "height_mm": 1500}
    ],
    "slats": {"width_mm": 45, "depth_mm": 20, "gap_mm": 15},
}
"""57 slats, each of its own length."""
INCHES = {
    "name": "Den, 12 by 8 ft",
    "wall": {"width_mm": 3657.6, "height_mm": 2438.4, "skirting_mm": 139.7, "skirting_projection_mm": 14.29},
    "openings": [
        {"kind": "socket", "left_mm": 609.6, "bottom_mm": 355.6, "width_mm": 69.85, "height_mm": 114.3}
    ],
    "slats": {"width_mm": 38.1, "depth_mm": 19.05, "gap_mm": 12.7, "rod_parts_of_inch": 32},
    "panels": {"thickness_mm": 12.7, "sheet_mm": [1219.2, 2438.4], "max_width_mm": 609.6},
    "stock": {"section_mm": [41.275, 88.9], "lengths_mm": [2438.4, 3048, 3657.6], "kerf_mm": 3.175},
}
TINY = {
    "name": "Niche",
    "wall": {"width_mm": 600, "height_mm": 2100, "left": {"shadow_gap_mm": 8}, "right": {"shadow_gap_mm": 8}},
    "slats": {"width_mm": 30, "depth_mm": 15, "gap_mm": 10},
}
ROUND_A_CORNER = {
    **TINY,
    "name": "Corner",
    "wall": {"width_mm": 600, "height_mm": 2100, "right": {"meets": "inside_corner"}},
    "next_walls": [{"turns": "inside", "wall": {"width_mm": 500, "height_mm": 2100}}],
}
LEAST_WORDS = 50
"""Title, title block and the head of a list take about 30."""


def documents(job: dict[str, object], paper: str) -> dict[str, bytes]:
    found = check_text(json.dumps(job).encode())
    assert found.job is not None, found.problems
    finish = chosen_finish(found.job)
    files = pack_files(
        job=found.job,
        document=found.document,
        finish=finish,
        label=finish_label(finish, 0),
        catalogue=load(),
        paper=paper,  # type: ignore[arg-type]
    )
    return {name: data for name, data in files.items() if name.endswith(".pdf")}


@pytest.fixture(scope="module")
def papers() -> dict[str, dict[str, bytes]]:
    return {
        "sloping": documents(SLOPING, "A4"),
        "inches": documents(INCHES, "Letter"),
        "tiny": documents(TINY, "A4"),
    }


def inner(box: Box) -> tuple[float, float, float, float]:
    """Without the room that a line keeps above and below its signs, a quarter of it at each side."""
    x1, y1, x2, y2, _word = box
    rim = min(x2 - x1, y2 - y1) / 4
    return x1 + rim, y1 + rim, x2 - rim, y2 - rim


def over_each_other(found: list[Box]) -> Iterator[tuple[str, str]]:
    for one, other in combinations(found, 2):
        (ax1, ay1, ax2, ay2), (bx1, by1, bx2, by2) = inner(one), inner(other)
        if min(ax2, bx2) > max(ax1, bx1) and min(ay2, by2) > max(ay1, by1):
            yield one[4], other[4]


def title(found: list[Box]) -> str:
    """The words of a page's title: its largest type, at the top."""
    tallest = max(y2 - y1 for _x1, y1, _x2, y2, _word in found)
    return " ".join(word for _x1, y1, _x2, y2, word in found if y2 - y1 > 0.95 * tallest)


@pytest.mark.parametrize("which", ["sloping", "inches", "tiny"])
def test_no_word_leaves_its_sheet_or_stands_over_another(
    papers: dict[str, dict[str, bytes]], which: str, tmp_path: Path
) -> None:
    for name, data in papers[which].items():
        for number, (width, height, found) in enumerate(boxes(data, tmp_path), start=1):
            where = f"{name}, page {number}"
            assert len(found) > 10, where
            assert all(
                x1 > 5 and y1 > 5 and x2 < width - 5 and y2 < height - 5 for x1, y1, x2, y2, _ in found
            )
            assert list(over_each_other(found)) == [], where


@pytest.mark.parametrize("which", ["sloping", "inches", "tiny"])
def test_no_page_of_a_list_is_begun_for_a_few_words(
    papers: dict[str, dict[str, bytes]], which: str, tmp_path: Path
) -> None:
    """Cautions are kept whole, and may need a page."""
    pages = boxes(papers[which]["workshop/workshop.pdf"], tmp_path)
    assert len(pages) > 10
    for _width, _height, found in pages:
        words = [word for *_box, word in found]
        if "(continued)" in words and "care:" not in words:
            assert len(words) > LEAST_WORDS, title(found)


def test_a_heading_stands_on_the_page_of_its_table(
    papers: dict[str, dict[str, bytes]], tmp_path: Path
) -> None:
    pages = [
        [word for *_box, word in found]
        for _width, _height, found in boxes(papers["sloping"]["workshop/workshop.pdf"], tmp_path)
    ]
    (page,) = [words for words in pages if "Tops cut to the ceiling" in " ".join(words)]
    assert "Off" in page
    assert sum(word.endswith("°") for word in page) >= 12


def test_boards_have_the_number_of_their_wall_only_where_there_are_several(
    papers: dict[str, dict[str, bytes]], tmp_path: Path
) -> None:
    def said(data: bytes) -> str:
        return " ".join(word for _w, _h, found in boxes(data, tmp_path) for *_box, word in found)

    alone = said(papers["sloping"]["workshop/workshop.pdf"])
    assert "panel 6" in alone
    assert "wall 1" not in alone.lower()
    several = said(documents(ROUND_A_CORNER, "A4")["workshop/workshop.pdf"])
    assert "wall 1 panel 1" in several
    assert "wall 2 panel 1" in several


def test_a_painted_backing_lists_the_boards_to_tick(tmp_path: Path) -> None:
    painted = documents({**TINY, "finish": {"fabric": "black paint"}}, "A4")["workshop/workshop.pdf"]
    pages = [
        " ".join(word for *_box, word in found)
        for _width, _height, found in boxes(painted, tmp_path)
        if title(found) == "Backing"
    ]
    (page,) = pages
    assert "Coat 1 Coat 2" in page
    assert "Panel 1 578 × 2098" in page


def test_without_a_price_list_amounts_have_their_units_and_nothing_is_said_twice(
    papers: dict[str, dict[str, bytes]], tmp_path: Path
) -> None:
    def said(name: str) -> str:
        pages = boxes(papers["tiny"][name], tmp_path)
        return " ".join(word for _w, _h, found in pages for *_box, word in found)

    listed = said("shop/shopping-list.pdf")
    assert "Amount" in listed
    assert "0.9 l" in listed
    assert "4.5 m" in listed
    estimate = said("maker/estimate.pdf")
    assert estimate.count("Staples") == 1
    assert "all of it is without a price" in estimate
    assert "nothing can be compared" in said("maker/comparison.pdf")
