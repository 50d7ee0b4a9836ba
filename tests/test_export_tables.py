"""CSV and XLSX: every place read back and compared with the set-out; no cell becomes a formula."""

import csv
import io
import zipfile
from decimal import Decimal
from fractions import Fraction

import openpyxl
import pytest
from laid_out import placed

from meshes.cutting.plan import first_cutting
from meshes.cutting.stock import Stock
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import SetOut
from meshes.layout.rod import wall_rod
from meshes.layout.spacing import Panels
from viewer.export.cells import FORMULA_SIGNS, Table, csv_bytes, inert, xlsx_bytes
from viewer.export.cutting_tables import cutting_tables, stops
from viewer.export.wall_tables import wall_tables


def read(table: Table) -> list[dict[str, str]]:
    """The table as a spreadsheet program would read its CSV."""
    return list(csv.DictReader(io.StringIO(csv_bytes(table).decode("utf-8-sig"), newline="")))


def named(tables: tuple[Table, ...], name: str) -> list[dict[str, str]]:
    return read(next(table for table in tables if table.name == name))


@pytest.fixture(scope="module")
def wall() -> SetOut:
    return placed(openings=[{}])


def test_every_slat_piece_stands_where_the_set_out_has_it(wall: SetOut) -> None:
    rows = named(wall_tables([wall]), "slats")
    pieces = [(slat, piece) for slat in wall.slats for piece in slat.pieces]
    assert len(rows) == len(pieces)
    for row, (slat, piece) in zip(rows, pieces, strict=True):
        assert int(row["slat"]) == slat.index + 1
        assert int(row["panel"]) == slat.panel + 1
        assert Decimal(row["left_mm"]) == Decimal(str(rounded_mm(piece.left)))
        assert Decimal(row["length_mm"]) == Decimal(str(rounded_mm(piece.height)))
        assert (row["loose"] == "loose") == slat.loose


def test_cut_outs_and_fixing_points_count_from_the_boards_own_corner(wall: SetOut) -> None:
    tables = wall_tables([wall])
    cuts = [(panel, cut) for panel in wall.panels for cut in panel.cutouts]
    rows = named(tables, "cut-outs")
    assert [float(row["left_mm"]) for row in rows] == [
        rounded_mm(cut.left - panel.board.left) for panel, cut in cuts
    ]
    points = [(panel, point) for panel in wall.panels for point in panel.fixings]
    rows = named(tables, "fixing-points")
    assert points
    assert [(float(row["board_x_mm"]), float(row["board_y_mm"])) for row in rows] == [
        (rounded_mm(point.x - panel.board.left), rounded_mm(point.y - panel.board.bottom))
        for panel, point in points
    ]


def test_the_rod_is_cumulative_and_never_a_sum_of_rounded_gaps(wall: SetOut) -> None:
    rows = [row for row in named(wall_tables([wall]), "rod") if row["mark"] == "slat"]
    marks = [mark for mark in wall_rod(wall).marks if mark.kind == "slat"]
    assert [float(row["at_mm"]) for row in rows] == [rounded_mm(mark.at) for mark in marks]
    assert abs(Fraction(rows[-1]["at_mm"]) - marks[-1].at) <= Fraction(1, 2000)


def test_crosscut_stops_add_up_to_the_strip(wall: SetOut) -> None:
    plan = first_cutting([wall], stock=Stock(), panels=Panels())
    (timber,) = plan.timber
    for pattern in timber.crosscut.patterns:
        found = stops(timber.crosscut, pattern)
        assert [end - start for start, end in found] == list(pattern.pieces)
        assert found[-1][1] + timber.crosscut.order.end_trim <= pattern.stock_length
    rows = named(cutting_tables(plan, None), "crosscuts")
    cut = sum(int(row["times"]) for row in rows)
    assert cut == sum(timber.demand.to_cut.values())


def test_boards_in_sheets_are_those_of_the_set_out(wall: SetOut) -> None:
    plan = first_cutting([wall], stock=Stock(), panels=Panels())
    rows = named(cutting_tables(plan, None), "boards")
    upright = [row for row in rows if not row["turned"]]
    assert len(rows) == sum(len(panel.parts) for panel in wall.panels)
    widths = {rounded_mm(part.width) for panel in wall.panels for part in panel.parts}
    assert {float(row["width_mm"]) for row in upright} <= widths


@pytest.mark.parametrize("sign", FORMULA_SIGNS)
def test_no_cell_becomes_a_formula(sign: str) -> None:
    """OWASP, CSV injection: cells that begin with these signs are taken for formulas."""
    table = Table(name="t", head=("a",), rows=((f"{sign}1+1",), (Decimal("-2.5"),)))
    first, second = read(table)
    assert first["a"].startswith("'")
    assert second["a"] == "-2.5", "a number is no word and keeps its sign"
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes([table], title="t")))
    cell = book["t"]["A2"]
    assert cell.data_type == "s"


def test_ordinary_words_are_left_alone() -> None:
    assert inert("Sawn timber 47 × 100") == "Sawn timber 47 × 100"


def test_a_workbook_opens_with_numbers_as_numbers_and_is_the_same_twice() -> None:
    table = Table(name="shop", head=("what", "cost"), rows=(("stain", Decimal("12.35")), ("oil", None)))
    first, second = (xlsx_bytes([table], title="Hall") for _ in range(2))
    assert first == second
    sheet = openpyxl.load_workbook(io.BytesIO(first))["shop"]
    assert [[cell.value for cell in row] for row in sheet.rows] == [
        ["what", "cost"],
        ["stain", 12.35],
        ["oil", None],
    ]
    assert sheet["A1"].font.bold
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b"dcterms" not in archive.read("docProps/core.xml").replace(b"xmlns:dcterms", b"")
