"""A sheet a panel: cut-outs from one corner, cumulative slat marks, loose slats, fixing points, bands."""

from gettext import gettext as _

from meshes.layout.placed import Panel, SetOut
from meshes.layout.rod import panel_rod
from viewer.drawings.bench import bench_drawing
from viewer.drawings.figures import figure
from viewer.drawings.marks import opening_word
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import lying, upright
from viewer.sheets.setting_out import scale_words

DRAWING_WIDTH = 100.0
NARROWEST_LIST = 62.0


def add_panels(book: Book, matter: Matter) -> None:
    """The panels of all walls, in their order."""
    for wall, one in enumerate(matter.set_outs):
        for panel in one.panels:
            _panel(book, matter, wall, one, panel)


def _panel(book: Book, matter: Matter, wall: int, one: SetOut, panel: Panel) -> None:
    wide = panel.board.width > panel.board.height
    sheet = lying(matter.paper) if wide else upright(matter.paper)
    room_width, room_height = sheet.room
    width = room_width if wide else min(DRAWING_WIDTH, room_width - NARROWEST_LIST)
    svg = bench_drawing(one, panel, width_mm=width, height_mm=room_height - (60 if wide else 14))
    title = matter.panel_name(wall, panel.index)
    book.begin(sheet, title, scale=scale_words(svg))
    if not wide:
        top = book.y
        book.drawing(svg, x=sheet.left)
        book.y, beside = top, (sheet.left + width + 3, sheet.right)
        _facts(book, panel, beside)
        _marks(book, one, panel, beside)
        _cutouts(book, matter, wall, panel, beside)
        _fixings(book, one, panel, beside)
        return
    book.drawing(svg)
    _facts(book, panel, (sheet.left, sheet.right))
    top, page = book.y, book.page
    middle = sheet.left + room_width * 0.36
    _marks(book, one, panel, (sheet.left, middle - 3))
    if book.page is page:
        book.y = top
    _cutouts(book, matter, wall, panel, (middle + 3, sheet.right))
    _fixings(book, one, panel, (middle + 3, sheet.right))


def _facts(book: Book, panel: Panel, within: tuple[float, float]) -> None:
    size = f"{figure(panel.board.width)} × {figure(panel.board.height)}"
    book.text(_("Board %(size)s mm") % {"size": size}, bold=True, within=within)
    if len(panel.parts) > 1:
        parts = ", ".join(f"{figure(part.width)} × {figure(part.height)}" for part in panel.parts)
        book.text(
            _("of %(count)d parts: %(parts)s") % {"count": len(panel.parts), "parts": parts}, within=within
        )
    words = _("about %(kg).0f kg with its slats") % {"kg": float(panel.weight_kg)}
    if panel.weight_kg > 25:
        words += _("; two people")
    book.text(words, within=within)
    if panel.removable:
        book.text(
            _("Removable: comes off for access; its loose slats are screwed, not pinned."),
            bold=True,
            within=within,
        )


def mark_rows(one: SetOut, panel: Panel) -> tuple[list[tuple[str, str, str]], frozenset[int]]:
    """(slat, mm, inches) of the near edges from the board's edge nearer to the datum; which rows are bold."""
    rows: list[tuple[str, str, str]] = []
    bold: set[int] = set()
    for mark in panel_rod(one, panel).marks:
        if mark.kind != "slat":
            continue
        if mark.bold:
            bold.add(len(rows))
        loose = " L" if one.slats[mark.index].loose else ""
        rows.append((f"{mark.index + 1}{loose}", figure(mark.at), fraction_bar(mark.inches)))
    return rows, frozenset(bold)


def head_rows(one: SetOut, panel: Panel) -> list[tuple[str, ...]]:
    """(left, right) heights of each slat's top over the board's lower edge, as ``mark_rows``; else empty."""
    order = [mark.index for mark in panel_rod(one, panel).marks if mark.kind == "slat"]
    slats = [one.slats[index] for index in order]
    if not any(any(slat.rise) for slat in slats):
        return []
    low = panel.board.bottom
    return [
        (figure(slat.extent.top + slat.rise[0] - low), figure(slat.extent.top + slat.rise[1] - low))
        for slat in slats
    ]


def mark_heading(one: SetOut, panel: Panel) -> str:
    """How the table of marks is to be read, with the heads where they are cut to a slope."""
    words = _(
        "Slats: near edge from the board's %(datum)s edge, hook the tape there. A minus: the slat stands "
        "over that edge. L: loose."
    ) % {"datum": datum_word(one.datum)}
    if head_rows(one, panel):
        words += " " + _("Top: height of its left and right corner over the board's lower edge, mm.")
    return words


def _marks(book: Book, one: SetOut, panel: Panel, within: tuple[float, float]) -> None:
    """In the order of the tape."""
    rows, bold = mark_rows(one, panel)
    heads = head_rows(one, panel)
    book.text(mark_heading(one, panel), within=within)
    book.table(
        [
            Column(head=_("Slat"), share=2),
            Column(head=_("mm"), share=3, end=True),
            Column(head=_("inches"), share=3, end=True),
            *(Column(head=head, share=3, end=True) for head in (_("Top left"), _("Top right")) if heads),
        ],
        [(*row, *head) for row, head in zip(rows, heads or [()] * len(rows), strict=True)],
        bold_rows=bold,
        size=2.9,
        within=within,
    )


def datum_word(datum: str) -> str:
    return {"left": _("left"), "right": _("right"), "bottom": _("lower"), "top": _("upper")}[datum]


def fraction_bar(words: str) -> str:
    """A mark's inches with a true fraction bar."""
    return words.replace("/", "⁄")


def cutout_rows(matter: Matter, wall: int, panel: Panel) -> list[tuple[str, str, str, str, str]]:
    """(what for, x, y, width, height) of every cut-out from the board's lower left corner."""
    rows = []
    for cut in panel.cutouts:
        own = panel.from_own_corner(cut)
        what = next(
            (
                opening_word(opening.kind)
                for opening in matter.openings(wall)
                if opening.left_mm < cut.right
                and cut.left < opening.left_mm + opening.width_mm
                and opening.bottom_mm < cut.top
                and cut.bottom < opening.bottom_mm + opening.height_mm
            ),
            _("Cut-out"),
        )
        rows.append((what, figure(own.left), figure(own.bottom), figure(own.width), figure(own.height)))
    return rows


def _cutouts(book: Book, matter: Matter, wall: int, panel: Panel, within: tuple[float, float]) -> None:
    rows = cutout_rows(matter, wall, panel)
    if not rows:
        return
    book.text(_("Cut-outs from the lower left corner, mm; mark both, then cut inside."), within=within)
    book.table(
        [
            Column(head=_("For"), share=3.4),
            Column(head="x", share=2.4, end=True),
            Column(head="y", share=2.4, end=True),
            Column(head=_("wide"), share=2.4, end=True),
            Column(head=_("high"), share=2.4, end=True),
        ],
        rows,
        size=2.9,
        within=within,
    )


def fixing_rows(one: SetOut, panel: Panel) -> list[tuple[str, str, str, str]]:
    """(slat, x, y, note) of the fixing points from the board's lower left corner, those in line as one."""
    board = panel.board
    lines: dict[tuple[str, ...], list[str]] = {}
    for point in panel.fixings:
        note = _("stud") if point.on_stud else ""
        if point.cleared_by:
            note = _("cleared: %(name)s") % {"name": point.cleared_by}
        x, y = figure(point.x - board.left), figure(point.y - board.bottom)
        shared, other = ((x, ""), y) if one.run == "upright" else (("", y), x)
        lines.setdefault((str(point.slat + 1), *shared, note), []).append(other)
    return [
        (slat, x or " · ".join(others), y or " · ".join(others), note)
        for (slat, x, y, note), others in lines.items()
    ]


def _fixings(book: Book, one: SetOut, panel: Panel, within: tuple[float, float]) -> None:
    rows = fixing_rows(one, panel)
    if not rows:
        return
    book.text(
        _(
            "Fixing points (x across, y up) from the lower left corner, mm, under the loose slats; none in a "
            "hatched band unless it is cleared by name."
        ),
        within=within,
    )
    book.table(
        [
            Column(head=_("Slat"), share=1.4),
            Column(head="x", share=2.2 if one.run == "upright" else 6),
            Column(head="y", share=6 if one.run == "upright" else 2.2),
            Column(head=_("Note"), share=2.4),
        ],
        rows,
        size=2.9,
        within=within,
    )
