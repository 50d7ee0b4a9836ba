"""The rod of one panel at true size, on a strip as long as it, with check marks of 100 mm both ways."""

from gettext import gettext as _

from meshes.layout.placed import Panel, SetOut
from meshes.layout.rod import Mark, panel_rod
from viewer.drawings import pen as p
from viewer.drawings.figures import figure

CHECK_MM = 100.0
SIDE = 60.0
"""Room before and after the board for an overhanging slat and the check marks' words [mm]."""
STRIP = 34.0
HEIGHT = 122.0
ARM = 3.0


def true_rod(set_out: SetOut, panel: Panel) -> str:
    """SVG at 1 : 1 from the edge of the board nearer to the datum; slats are drawn with both edges."""
    rod = panel_rod(set_out, panel)
    top = 10.0
    pen = p.Pen(
        width=float(rod.length) + 2 * SIDE,
        height=HEIGHT,
        title=_("Rod of panel {number} at true size").format(number=panel.index + 1),
        description=_("{length} mm from the board's edge nearer to the datum").format(
            length=figure(rod.length)
        ),
    )
    pen.rect(SIDE, top, float(rod.length), STRIP, p.WIDE)
    for mark in rod.marks:
        if mark.kind != "slat":
            continue
        extent = set_out.slats[mark.index].extent
        width = extent.width if set_out.run == "upright" else extent.height
        x = SIDE + float(mark.at)
        with pen.group(mark="slat", index=mark.index):
            pen.line(x, top, x, top + STRIP, p.WIDE if mark.bold else p.NARROW)
            pen.line(x + float(width), top, x + float(width), top + STRIP * 0.5, p.DASHED)
            pen.text(x + 1.4, top + STRIP - 1.6, _slat_words(set_out, mark.index), bold=mark.bold)
            pen.text(x + 4.4, top + STRIP - 6, _place_words(mark), turned=True, bold=mark.bold)
    pen.text(SIDE, top - 3, _("datum edge of the board: 0"), bold=True)
    pen.text(
        SIDE + float(rod.length),
        top - 3,
        _("far edge of the board: {words}").format(words=figure(rod.length)),
        anchor="end",
        bold=True,
    )
    _check(pen, SIDE, top + STRIP + 8, right=pen.width - SIDE / 2)
    return pen.svg(drawing="true_rod", index=panel.index, scale=1)


def _slat_words(set_out: SetOut, index: int) -> str:
    return f"{index + 1}L" if set_out.slats[index].loose else str(index + 1)


def _place_words(mark: Mark) -> str:
    return f"{figure(mark.at)}   {mark.inches.replace('/', '⁄')} in"


def _check(pen: p.Pen, x: float, y: float, *, right: float) -> None:
    """Two lines of exactly 100 mm, one along the paper and one across it, between short arms."""
    across = y + 4
    with pen.group(mark="check"):
        pen.line(x, across, x + CHECK_MM, across, p.NARROW)
        pen.line(x, across - ARM, x, across + ARM, p.WIDE)
        pen.line(x + CHECK_MM, across - ARM, x + CHECK_MM, across + ARM, p.WIDE)
    pen.text(x + CHECK_MM / 2, across - 1.2, _("check: 100 mm along the paper"), anchor="middle")
    upright, low = right, y + 58
    with pen.group(mark="check"):
        pen.line(upright, low, upright, low - CHECK_MM, p.NARROW)
        pen.line(upright - ARM, low, upright + ARM, low, p.WIDE)
        pen.line(upright - ARM, low - CHECK_MM, upright + ARM, low - CHECK_MM, p.WIDE)
    pen.text(upright - 1.4, low - 20, _("check: 100 mm across the paper"), turned=True)
    lines = (
        _("True size. Print at 100 %, without fitting to the page; measure both check lines before use."),
        _("Never tape small sheets into a run: every joint adds its error. For a lath, take the mark list;"),
        _("for the whole run, the DXF on a plotter."),
    )
    for number, words in enumerate(lines):
        pen.text(x, y + 16 + number * 5, words)
