"""DXF for plotters and machines: layers by meaning, millimetres, true size, exact places.

A panel's file has its origin in the lower left corner of the board; a run's file starts at the datum. Each
carries a check square of 100 mm a side on its own layer, to be measured on what the plotter drew.
"""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from threading import Lock

from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from meshes.layout.placed import Panel, SetOut
from meshes.layout.rect import Rect
from meshes.layout.rod import Mark, wall_rod
from viewer.drawings.figures import figure
from viewer.drawings.outlines import Outline, band_outlines, piece_outline, rect_outline

LAYERS = {
    # name: (colour of the AutoCAD index, what it means)
    "BOARD": (7, "outline of a board"),
    "CUTOUT": (1, "cut out of the board"),
    "SLAT": (8, "slat glued and pinned at the bench"),
    "SLAT_LOOSE": (5, "slat put on last, over the fixing points"),
    "FIXING": (3, "fixing point"),
    "NO_DRILL": (6, "no-drill band"),
    "RUN": (7, "start and end of the run"),
    "JOINT": (4, "edge of a panel"),
    "OPENING": (1, "edge of an opening"),
    "MARK": (8, "near edge of a slat"),
    "MARK_BOLD": (7, "near edge of every fifth slat"),
    "WORDS": (7, "lettering"),
    "CHECK": (2, "check square of 100 mm a side"),
}
CHECK_MM = 100
LATH_MM = 60
"""Height of the strip that a run is drawn on: a lath to stick it to."""
LETTERING_MM = 5
FIXING_RADIUS_MM = 2.5
_ONE_AT_A_TIME = Lock()
"""ezdxf keeps its options for the whole process."""


def panel_dxf(set_out: SetOut, panel: Panel, *, title: str) -> bytes:
    """One board with cut-outs, slats, fixing points and the bands that cross it."""
    with _drawing() as (document, space):
        corner = panel.board.left, panel.board.bottom
        for rect in panel.parts or (panel.board,):
            _rect(space, rect, corner, "BOARD")
        for cut in panel.cutouts:
            _rect(space, cut, corner, "CUTOUT")
        for index in panel.slats:
            slat = set_out.slats[index]
            for piece in slat.pieces:
                layer = "SLAT_LOOSE" if slat.loose else "SLAT"
                _closed(space, piece_outline(slat, piece), corner, layer)
        for point in panel.fixings:
            centre = float(point.x - corner[0]), float(point.y - corner[1])
            space.add_circle(centre, FIXING_RADIUS_MM, dxfattribs={"layer": "FIXING"})
        for band in set_out.bands:
            for outline in band_outlines(band, panel.board):
                _closed(space, outline, corner, "NO_DRILL")
        _words(space, title, (0.0, -LETTERING_MM * 4.0))
        _check_square(space, (0.0, -LETTERING_MM * 6.0 - CHECK_MM))
        return _bytes(document)


def run_dxf(set_out: SetOut, *, title: str) -> bytes:
    """The whole rod of a wall at true size on a strip as high as a lath, from the datum to the right."""
    rod = wall_rod(set_out)
    with _drawing() as (document, space):
        strip = Rect(left=Fraction(0), bottom=Fraction(0), width=rod.length, height=Fraction(LATH_MM))
        _rect(space, strip, (Fraction(0), Fraction(0)), "RUN")
        for mark in rod.marks:
            _mark(space, mark)
        _words(space, f"{title}  datum: {rod.datum}", (0.0, LATH_MM + LETTERING_MM))
        _check_square(space, (0.0, -CHECK_MM - LETTERING_MM))
        _check_square(space, (float(rod.length) - CHECK_MM, -CHECK_MM - LETTERING_MM))
        return _bytes(document)


def mark_layer(mark: Mark) -> str:
    """The layer that a mark of a rod stands on."""
    if mark.kind == "slat":
        return "MARK_BOLD" if mark.bold else "MARK"
    return {"start": "RUN", "end": "RUN", "panel": "JOINT", "opening": "OPENING"}[mark.kind]


def _mark(space: Modelspace, mark: Mark) -> None:
    at, layer = float(mark.at), mark_layer(mark)
    share = {"MARK": 0.4, "MARK_BOLD": 0.6}.get(layer, 1.0)
    space.add_line((at, 0.0), (at, LATH_MM * share), dxfattribs={"layer": layer})
    if layer != "MARK":
        words = f"{figure(mark.at)}  {mark.inches.lstrip('−')}"
        text = space.add_text(
            words, height=LETTERING_MM * 0.6, rotation=90, dxfattribs={"layer": "WORDS", "style": "Standard"}
        )
        text.set_placement((at - 1.0, LATH_MM * 0.2), align=TextEntityAlignment.LEFT)


def _rect(space: Modelspace, rect: Rect, corner: tuple[Fraction, Fraction], layer: str) -> None:
    _closed(space, rect_outline(rect), corner, layer)


def _closed(space: Modelspace, outline: Outline, corner: tuple[Fraction, Fraction], layer: str) -> None:
    points = [(float(x - corner[0]), float(y - corner[1])) for x, y in outline]
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})


def _words(space: Modelspace, words: str, place: tuple[float, float]) -> None:
    text = space.add_text(words, height=LETTERING_MM, dxfattribs={"layer": "WORDS"})
    text.set_placement(place, align=TextEntityAlignment.LEFT)


def _check_square(space: Modelspace, corner: tuple[float, float]) -> None:
    x, y = corner
    points = [(x, y), (x + CHECK_MM, y), (x + CHECK_MM, y + CHECK_MM), (x, y + CHECK_MM)]
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": "CHECK"})
    _words(space, f"check: {CHECK_MM} mm both ways", (x + LETTERING_MM, y + LETTERING_MM))


@contextmanager
def _drawing() -> Iterator[tuple[Drawing, Modelspace]]:
    """A new drawing in millimetres; ezdxf is told to write no time and no random names."""
    with _ONE_AT_A_TIME:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            document = new("R2010", units=units.MM)
            for name, (colour, meaning) in LAYERS.items():
                document.layers.add(name, color=colour).description = meaning
            yield document, document.modelspace()
        finally:
            options.write_fixed_meta_data_for_testing = before


def _bytes(document: Drawing) -> bytes:
    # ezdxf adds these from a set, in an order that differs from start to start; those already there stay
    for name in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(name)
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)
