"""The set-out as tables: every slat piece, board, cut-out, fixing point and rod mark, with its place."""

from collections.abc import Iterator, Sequence

from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from meshes.layout.report import off_square_deg
from meshes.layout.rod import Rod, panel_rod, wall_rod
from viewer.export.cells import Cell, Table

Row = tuple[Cell, ...]


def wall_tables(set_outs: Sequence[SetOut]) -> tuple[Table, ...]:
    """All tables of the walls, in the order in which a workshop needs them."""
    return (
        Table(name="slats", head=SLATS, rows=tuple(_slats(set_outs))),
        Table(name="panels", head=PANELS, rows=tuple(_panels(set_outs))),
        Table(name="cut-outs", head=CUTOUTS, rows=tuple(_cutouts(set_outs))),
        Table(name="fixing-points", head=FIXINGS, rows=tuple(_fixings(set_outs))),
        Table(name="no-drill-bands", head=BANDS, rows=tuple(_bands(set_outs))),
        Table(name="rod", head=ROD, rows=tuple(_rods(set_outs))),
        Table(name="panel-rods", head=PANEL_RODS, rows=tuple(_panel_rods(set_outs))),
    )


SLATS = (
    "wall",
    "slat",
    "piece",
    "panel",
    "left_mm",
    "bottom_mm",
    "width_mm",
    "length_mm",
    "loose",
    "shorter_side_mm",
    "longer_at",
    "off_square_deg",
)


def _slats(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for slat in one.slats:
            for number, piece in enumerate(slat.pieces, start=1):
                upright = one.run == "upright"
                sides = slat.sides_of(piece) if upright else (piece.width, piece.width)
                swept = sides[0] != sides[1]
                yield (
                    wall,
                    slat.index + 1,
                    number,
                    slat.panel + 1,
                    rounded_mm(piece.left),
                    rounded_mm(piece.bottom),
                    rounded_mm(piece.width if upright else piece.height),
                    rounded_mm(max(sides)),
                    "loose" if slat.loose else "",
                    rounded_mm(min(sides)) if swept else "",
                    ("left" if sides[0] > sides[1] else "right") if swept else "",
                    off_square_deg(slat) if swept else "",
                )


PANELS = (
    "wall",
    "panel",
    "board_left_mm",
    "board_bottom_mm",
    "board_width_mm",
    "board_height_mm",
    "parts",
    "slats",
    "weight_kg",
    "removable",
)


def _panels(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for panel in one.panels:
            yield (
                wall,
                panel.index + 1,
                *_place(panel.board),
                max(1, len(panel.parts)),
                len(panel.slats),
                round(float(panel.weight_kg), 1),
                "removable" if panel.removable else "",
            )


CUTOUTS = ("wall", "panel", "left_mm", "bottom_mm", "width_mm", "height_mm")
"""From the lower left corner of the board that is cut."""


def _cutouts(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for panel in one.panels:
            for cut in panel.cutouts:
                yield (wall, panel.index + 1, *_place(panel.from_own_corner(cut)))


FIXINGS = ("wall", "panel", "slat", "x_mm", "y_mm", "board_x_mm", "board_y_mm", "stud", "cleared_by")
"""x and y on the wall; board_x and board_y from the lower left corner of the board."""


def _fixings(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for panel in one.panels:
            for point in panel.fixings:
                yield (
                    wall,
                    panel.index + 1,
                    point.slat + 1,
                    rounded_mm(point.x),
                    rounded_mm(point.y),
                    rounded_mm(point.x - panel.board.left),
                    rounded_mm(point.y - panel.board.bottom),
                    "stud" if point.on_stud else "",
                    point.cleared_by,
                )


BANDS = (
    "wall",
    "why",
    "left_mm",
    "bottom_mm",
    "width_mm",
    "height_mm",
    "bottom_left_mm",
    "bottom_middle_mm",
    "bottom_right_mm",
)
"""The last three where a ceiling slopes: the band's lower edge at the wall's ends and in its middle."""


def _bands(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for band in one.bands:
            edge = band.lower
            sloping = () if edge is None else map(rounded_mm, (edge.left, edge.middle, edge.right))
            yield (wall, band.why, *_place(band.rect), *(sloping or ("", "", "")))


ROD = ("wall", "datum", "at_mm", "at_in", "mark", "number", "bold")


def _rods(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        yield from ((wall, one.datum, *row) for row in _marks(wall_rod(one)))


PANEL_RODS = ("wall", "panel", "datum", "at_mm", "at_in", "mark", "number", "bold")
"""From the edge of the panel's board that is nearer to the datum."""


def _panel_rods(set_outs: Sequence[SetOut]) -> Iterator[Row]:
    for wall, one in enumerate(set_outs, start=1):
        for panel in one.panels:
            rows = _marks(panel_rod(one, panel))
            yield from ((wall, panel.index + 1, one.datum, *row) for row in rows)


def _marks(rod: Rod) -> Iterator[Row]:
    for mark in rod.marks:
        yield rounded_mm(mark.at), mark.inches, mark.kind, mark.index + 1, "bold" if mark.bold else ""


def _place(rect: Rect) -> Row:
    return (
        rounded_mm(rect.left),
        rounded_mm(rect.bottom),
        rounded_mm(rect.width),
        rounded_mm(rect.height),
    )
