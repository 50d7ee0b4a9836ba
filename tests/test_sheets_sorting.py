"""The sorting plan: groups worked by hand from zones and eye height."""

from pathlib import Path

from paper_read import words
from test_pack_files import SMALL
from test_sheets_labels import matter

from viewer.sheets.book import Book
from viewer.sheets.sorting import add_sorting, groups

# gap 130/11: slat k of 23 stands from 10 + (k − 1) · 570/11, 40 wide, 2400 long
HIGH_CHEST = {"kind": "hidden", "left_mm": 0, "bottom_mm": 0, "width_mm": 300, "height_mm": 1200}
LOW_CHEST = {**HIGH_CHEST, "height_mm": 400}
GRAZED = {"kind": "raking_light", "left_mm": 1150, "bottom_mm": 0, "width_mm": 50, "height_mm": 2400}


def test_slats_that_a_chest_hides_by_a_fifth_take_the_worst() -> None:
    one = matter(zones=[HIGH_CHEST, GRAZED])
    found = groups(one.set_outs[0], one.job.zones)
    # slat 6 stands from 269.09 to 309.09: 30.9 of 40 mm of its width lie behind, times half its length: 0.386
    assert found == {"light": [23], "best": list(range(7, 23)), "plain": [], "hidden": [1, 2, 3, 4, 5, 6]}
    low = matter(zones=[LOW_CHEST])
    assert groups(low.set_outs[0], low.job.zones)["hidden"] == []  # 400 of 2400 is less than a fifth


def test_level_slats_are_best_at_eye_height() -> None:
    one = matter(slats={**SMALL["slats"], "run": "level"})  # type: ignore[dict-item]
    (set_out,) = one.set_outs
    found = groups(set_out, ())
    for number in found["best"]:
        extent = set_out.slats[number - 1].extent
        assert extent.bottom < 1800
        assert extent.top > 1200
    assert found["plain"][0] == 1
    assert found["plain"][-1] == len(set_out.slats)


def test_the_sheet_names_every_slat_once(tmp_path: Path) -> None:
    one = matter(zones=[HIGH_CHEST, GRAZED])
    book = Book(one.stamp, title="Sorting")
    add_sorting(book, one)
    said = " ".join(words(book.pdf(), tmp_path).split())
    assert "at eye height the best figure and tone 16 7–22" in said
    assert "behind furniture knots, filler, odd tones 6 1–6" in said
