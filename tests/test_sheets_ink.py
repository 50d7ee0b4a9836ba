"""One source for page and paper: what the SVG says stands in the PDF, line for line and word for word."""

from pathlib import Path
from xml.etree import ElementTree

import pytest
from fpdf import FPDF
from laid_out import WORKED, placed
from paper_read import POINTS_PER_MM, segments, streams, words

from viewer.drawings.elevation import elevation
from viewer.drawings.pen import CHAIN, Pen
from viewer.drawings.section import section
from viewer.sheets.book import Book, Column
from viewer.sheets.ink import SVG, UnknownInkError, subpaths
from viewer.sheets.paper import Stamp, upright
from viewer.sheets.typeface import Typeface

STAMP = Stamp(job="Hall", version="1a2b3c4d", job_format=1, revised="2026-11-20")


def book() -> Book:
    found = Book(STAMP, title="Test")
    found.begin(upright("A4"), "Drawing", scale="1 : 20")
    return found


def test_every_solid_line_of_a_drawing_stands_on_paper_where_the_page_has_it() -> None:
    svg = section(placed(WORKED), width_mm=170)
    one = book()
    left, top = one.page.sheet.left, one.y
    one.drawing(svg)
    drawn = segments(streams(one.pdf())[0])
    height = one.page.sheet.height
    for line in ElementTree.fromstring(svg).iter(f"{SVG}line"):
        if line.get("stroke-dasharray"):
            continue
        wanted = tuple(
            (
                (left + float(line.attrib[f"x{end}"])) * POINTS_PER_MM,
                (height - top - float(line.attrib[f"y{end}"])) * POINTS_PER_MM,
            )
            for end in (1, 2)
        )
        near = [
            one
            for one in drawn
            if all(
                abs(a - b) < 0.011  # fpdf2 writes hundredths of a point
                for a, b in zip(one, (*wanted[0], *wanted[1]), strict=True)
            )
        ]
        assert near, (line.attrib, wanted)


def test_every_word_of_a_drawing_can_be_copied_from_paper(tmp_path: Path) -> None:
    svg = elevation(placed(WORKED, openings=[{}]), width_mm=170)
    one = book()
    one.drawing(svg)
    read = words(one.pdf(), tmp_path)
    texts = [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    turned = [
        text
        for text in ElementTree.fromstring(svg).iter(f"{SVG}text")
        if "rotate" in text.get("transform", "")
    ]
    assert len(texts) > 8
    assert turned
    for text in texts:
        assert text in read or text.replace(" ", "") in read.replace(" ", "")


@pytest.mark.parametrize(
    ("data", "pieces"),
    [
        ("M1 2H5V7", [([(1, 2), (5, 2), (5, 7)], False)]),
        ("M1 2h3v4h-3z", [([(1, 2), (4, 2), (4, 6), (1, 6)], True)]),
        ("M0 0l2 2m3 0l1 1", [([(0, 0), (2, 2)], False), ([(5, 2), (6, 3)], False)]),
        ("M0 0l-1.4 1 2.8 2", [([(0, 0), (-1.4, 1), (1.4, 3)], False)]),
    ],
)
def test_paths_are_read_as_svg_means_them(data: str, pieces: list[object]) -> None:
    """SVG 1.1, 8.3: relative commands, and pairs after the first of an m are l."""
    found = [([(round(x, 9), round(y, 9)) for x, y in points], closed) for points, closed in subpaths(data)]
    assert found == pieces


def test_what_paper_cannot_draw_is_an_error_and_not_a_missing_line() -> None:
    with pytest.raises(UnknownInkError, match="curves"):
        list(subpaths("M0 0C1 1 2 2 3 3"))
    one = book()
    one.page.strokes.append(
        lambda ink: ink.svg('<svg xmlns="http://www.w3.org/2000/svg"><image/></svg>', 0, 0)
    )
    with pytest.raises(UnknownInkError, match="image"):
        one.pdf()


def test_a_chain_line_is_long_and_short_strokes() -> None:
    pen = Pen(width=50, height=10, title="", description="")
    pen.line(0, 5, 40, 5, CHAIN)
    one = book()
    one.drawing(pen.svg())
    lengths = [
        round((x2 - x1) / POINTS_PER_MM / CHAIN.width, 1)
        for x1, y1, x2, y2 in segments(streams(one.pdf())[0])
        if y1 == y2 and x2 - x1 < 30
    ]
    # ISO 128-2: 24 d, gap 3 d, dot 0.5 d, gap 3 d; to 0.2 d since a point has two decimals
    assert lengths[0] == pytest.approx(24, abs=0.2)
    assert lengths[1] == pytest.approx(0.5, abs=0.2)
    assert lengths[2] == pytest.approx(24, abs=0.2)


def test_the_title_block_stands_on_every_page(tmp_path: Path) -> None:
    one = book()
    one.table([Column(head="mm", share=1, end=True)], [[f"{number}.5"] for number in range(120)])
    pdf = one.pdf()
    assert len(one.pages) > 2
    for number in range(1, len(one.pages) + 1):
        page = words(pdf, tmp_path, page=number)
        assert f"page {number} of {len(one.pages)}" in page
        for part in ("Hall", "version 1a2b3c4d", "job format 1", "2026-11-20", "A4", "scale: 1 : 20"):
            assert part in page
    read = words(pdf, tmp_path)
    assert all(f"{number}.5" in read for number in range(120))


def test_letters_of_other_scripts_come_from_their_own_files(tmp_path: Path) -> None:
    one = book()
    if one.typeface.stands_in:
        pytest.skip("the typeface is not installed")
    one.text("Žluťoučký kůň, Ελλάδα, Жук, 7 3⁄16, and a sign that no file has: \U0001f600")
    read = words(one.pdf(), tmp_path)
    assert "Žluťoučký kůň, Ελλάδα, Жук, 7" in read
    assert "no file has: ?" in read


def test_words_have_a_width_of_their_own_in_every_face_and_size() -> None:
    typeface = Typeface(FPDF(unit="mm"))
    asked = [
        (text, size, family, bold)
        for text in ("1008⁄71 mm", "Ülő, 12")
        for size in (3.0, 6.0)
        for family in ("sans", "condensed")
        for bold in (False, True)
    ]
    widths = {
        one: typeface.width(one[0], one[1], family=one[2], bold=one[3])  # type: ignore[arg-type]
        for one in asked
    }
    for (text, size, family, bold), width in widths.items():
        afresh = Typeface(FPDF(unit="mm")).width(text, size, family=family, bold=bold)  # type: ignore[arg-type]
        assert width == afresh
        assert widths[text, 6.0, family, bold] == pytest.approx(2 * widths[text, 3.0, family, bold])
        assert widths[text, size, "condensed", bold] < widths[text, size, "sans", bold]
        assert widths[text, size, family, True] > widths[text, size, family, False]


def test_without_the_typeface_the_sheet_says_what_it_is_set_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Typeface.__init__
    monkeypatch.setattr(Typeface, "__init__", lambda self, pdf: real(self, pdf, tmp_path / "nothing"))
    one = book()
    one.text("12.5 − 3 – 7 3⁄16")
    read = words(one.pdf(), tmp_path)
    assert "set in Helvetica: the typeface is not installed" in read
    assert "12.5 - 3 -" in read


def test_a_job_without_a_date_says_so_and_no_clock_is_read(tmp_path: Path) -> None:
    undated = Book(Stamp(job="Hall", version="1a2b3c4d", job_format=1, revised=""), title="Test")
    undated.begin(upright("Letter"), "Empty")
    pdf = undated.pdf()
    assert "not dated" in words(pdf, tmp_path)
    assert b"D:20000101" in pdf
    assert b"D:20261120" in book().pdf()
