"""Labels: the code on a panel's back holds the panel's identity, module for module."""

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import segno
from paper_read import POINTS_PER_MM, streams, words
from test_pack_files import SMALL, checked

from finishes.catalogue import load
from viewer.job.choices import chosen_finish
from viewer.sheets.book import Book
from viewer.sheets.finishing import add_finishing
from viewer.sheets.handover import handover
from viewer.sheets.labels import CODE, QUIET, identity, labels, modules
from viewer.sheets.matter import Matter, matter_of

FILL = re.compile(r"([\d.]+) ([\d.]+) ([\d.]+) -?([\d.]+) re f")


def matter(**changed: object) -> Matter:
    job, document = checked({**SMALL, **changed})
    return matter_of(
        job=job,
        document=document,
        finish=chosen_finish(job),
        label="A",
        catalogue=load(),
        prices=None,
        paper="A4",
    )


def test_the_bars_are_the_codes_dark_modules() -> None:
    """ISO/IEC 18004: four light modules all round."""
    matrix = [list(row) for row in segno.make("wall: 1\npanel: 2", error="m", micro=False).matrix]
    side = CODE / (len(matrix) + 2 * QUIET)
    found = [[0] * len(matrix) for _row in matrix]
    for x, y, width, _height in modules("wall: 1\npanel: 2"):
        row, start = round(y / side) - QUIET, round(x / side) - QUIET
        for column in range(start, start + round(width / side)):
            found[row][column] = 1
    assert found == [[1 if dark else 0 for dark in row] for row in matrix]


def test_a_label_opens_its_panels_page_where_the_job_has_one() -> None:
    one = replace(matter(), address="https://walls.example/jobs/7")
    assert identity(one, 0, one.set_outs[0].panels[1]) == "https://walls.example/jobs/7/panels/1-2"


def test_a_label_states_job_version_panel_and_board(tmp_path: Path) -> None:
    one = matter()
    panel = one.set_outs[0].panels[1]
    said = identity(one, 0, panel).split("\n")
    assert said == [
        "slatwright 1",
        "job: Hall, by hand",
        f"version: {one.stamp.version}",
        "wall: 1",
        "panel: 2",
        "board_mm: 583 x 2398",
    ]
    pdf = labels(one).pdf()
    read = words(pdf, tmp_path)
    assert "Panel 1" in read
    assert "Panel 2" in read
    assert "board 583 × 2398 mm" in read
    drawn = len(FILL.findall(streams(pdf)[0]))
    bars = sum(len(list(modules(identity(one, 0, one_panel)))) for one_panel in one.set_outs[0].panels)
    assert drawn == bars
    widest = max(float(width) for _x, _y, width, _height in FILL.findall(streams(pdf)[0]))
    assert widest < CODE * POINTS_PER_MM


def test_a_long_name_is_cut_to_two_lines_and_says_so(tmp_path: Path) -> None:
    name = "Bedroom, two walls round a corner with a name that has to be cut somewhere on a label"
    read = words(labels(matter(name=name)).pdf(), tmp_path)
    assert "Bedroom, two walls round a corner" in read
    assert len(re.findall(r"with a name that has.* …", read)) >= 1
    assert "…" not in words(labels(matter()).pdf(), tmp_path)


def test_oily_rags_are_warned_of_where_the_finish_has_oil(tmp_path: Path) -> None:
    for topcoat, warned in (("oil", True), ("matt", False)):
        one = matter(finish={"topcoat": topcoat, "stain": "milk white"})
        book = Book(one.stamp, title="Finishing")
        add_finishing(book, one)
        stain_is_oily = one.catalogue.named("stain", "milk white").oily
        assert ("rags catch fire" in words(book.pdf(), tmp_path)) == (warned or stain_is_oily)


def test_a_removable_panel_says_how_it_opens(tmp_path: Path) -> None:
    zone = {"kind": "access", "left_mm": 700, "bottom_mm": 300, "width_mm": 300, "height_mm": 300}
    one = matter(zones=[zone])
    removable = [panel.index + 1 for panel in one.set_outs[0].panels if panel.removable]
    assert removable
    read = words(handover(one).pdf(), tmp_path)
    assert f"Panel {removable[0]}: made to come off" in " ".join(read.split())
    assert "No panel was made to come off" in " ".join(words(handover(matter()).pdf(), tmp_path).split())


def test_the_handover_sheet_gives_the_gap_over_the_year(tmp_path: Path) -> None:
    """Wood Handbook (FPL-GTR-190), equation 13-2, white oak: 40 × 0.00365 × 2 = 0.292 mm each way."""
    one = matter(slats={**SMALL["slats"], "species": "white oak"})  # type: ignore[dict-item]
    moved = one.set_outs[0].movement
    assert moved is not None
    gap, slat = Fraction(130, 11), Fraction("0.292")
    board = (40 + gap) * Fraction("0.0004") * 2
    assert moved.narrowest_gap_mm == gap - slat + board
    read = " ".join(words(handover(one).pdf(), tmp_path).split())
    assert "a gap of 11.8 mm may be from 11.6 to 12.1 mm over the year" in read
