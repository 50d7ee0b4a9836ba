"""Board and backing sheets: how sheets are sawn, what each board's part is, how the cloth is cut."""

from gettext import gettext as _
from gettext import ngettext

from meshes.cutting.sheets import SheetPlan
from meshes.layout.spacing import Panels
from viewer.drawings.backing import backing_drawing, piece_numbers
from viewer.drawings.figures import figure
from viewer.drawings.sheet_cutting import sheet_drawing
from viewer.sheets import cautions
from viewer.sheets.book import Book, Column
from viewer.sheets.finishing import coats
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright
from viewer.sheets.setting_out import scale_words

FIRST_PAGE_MM = 58.0
"""What the words on the first page take, so that all sheets are drawn to one scale."""


def add_boards(book: Book, matter: Matter) -> None:
    """Every sheet to one scale, two beside each other where they are upright; the first page says how."""
    plan = matter.needed.plan
    if plan is None or plan.sheets is None:
        return
    sheet, sheets = upright(matter.paper), plan.sheets
    across, along = sheets.order.sheet
    columns = 2 if along > across and sheets.count > 1 else 1
    width = sheet.room[0] / columns
    drawn = [
        sheet_drawing(
            sheets.order,
            layout,
            [matter.board_name(name) for name in plan.board_names],
            title=_("Sheet %(number)d of %(count)d") % {"number": number, "count": sheets.count},
            width_mm=width,
            height_mm=sheet.room[1] - FIRST_PAGE_MM,
        )
        for number, layout in enumerate(sheets.layouts, start=1)
    ]
    for number, svg in enumerate(drawn):
        if number % columns == 0:
            book.begin(sheet, _("Sheet cutting"), scale=scale_words(svg))
            if number == 0:
                _about(book, plan.panels, sheets)
        book.drawing(svg, x=sheet.left + number % columns * width)


def _about(book: Book, panels: Panels, sheets: SheetPlan) -> None:
    """What holds for all sheets, on the first."""
    state = (
        _("No plan takes fewer sheets.")
        if sheets.proven
        else _("At least %(bound)d are needed in any case.") % {"bound": sheets.bound}
    )
    counted = ngettext("%(count)d sheet", "%(count)d sheets", sheets.count) % {"count": sheets.count}
    book.text(
        _(
            "%(count)s of %(sheet)s mm, %(thickness)s mm thick, kerf %(kerf)s mm. %(state)s "
            "Numbers in circles: the order of the saw cuts, each from edge to edge. Measures to the "
            "near side of the kerf, from the lower left corner. Hatched: left over."
        )
        % {
            "count": counted,
            "sheet": " × ".join(figure(side) for side in sheets.order.sheet),
            "thickness": figure(panels.thickness_mm),
            "kerf": figure(sheets.order.kerf),
            "state": state,
        }
    )
    cautions.add(book, "dust")


def add_backing(book: Book, matter: Matter) -> None:
    """The roll with its drops, or the coats of a painted backing."""
    sheet = upright(matter.paper)
    fabric = matter.needed.fabric
    if fabric is None:
        paint = matter.needed.coverage.backing_paint
        if paint is None:
            return
        book.begin(sheet, _("Backing"))
        book.text(
            _("Painted: %(name)s, %(coats)s, %(litres).2f l likely, on faces and edges of the boards.")
            % {"name": paint.name, "coats": coats(paint.coats), "litres": paint.litres.likely}
        )
        book.text(_("Paint after the cut-outs are made, and let it harden before slats go on."))
        _painted(book, matter, paint.coats)
        return
    book.begin(sheet, _("Backing cutting diagram"))
    book.text(
        _(
            "Cut the drops off the roll at the chain lines, then the pieces out of each drop. Lengths count "
            "from the end of the roll; wrap and shrinkage are in every size."
        )
    )
    book.drawing(backing_drawing(fabric, width_mm=sheet.room[0]))
    book.table(
        [
            Column(head=_("No."), share=1, end=True),
            Column(head=_("Drop"), share=1, end=True),
            Column(head=_("Board"), share=4),
            Column(head=_("Across the roll, mm"), share=3, end=True),
            Column(head=_("Along the roll, mm"), share=3, end=True),
        ],
        [
            (str(number), str(drop), matter.board_name(board), f"{across:.0f}", f"{along:.0f}")
            for number, drop, board, across, along in piece_numbers(fabric)
        ],
    )
    book.heading(_("Covering"))
    steps = [
        *fabric.notes,
        _("Press the cloth, lay the board on it, glue thinly, pull from the middle outwards."),
        _("Staple the wrap on the back: %(staples)d staples, %(glue).2f l of glue in all.")
        % {"staples": fabric.staples, "glue": fabric.glue_l},
        _("Cut the cloth at openings after covering, on the cross, and staple the flaps back."),
    ]
    for number, words in enumerate(steps, start=1):
        book.text(words, lead=f"{number}")


def _painted(book: Book, matter: Matter, count: int) -> None:
    """The boards, with a column a coat to tick."""
    heads = [_("Coat %(number)d") % {"number": number} for number in range(1, count + 1)]
    book.table(
        [
            Column(head=_("Board"), share=4),
            Column(head=_("Size, mm"), share=4),
            *(Column(head=head, share=2) for head in heads),
        ],
        [
            (
                matter.panel_name(wall, panel.index),
                " + ".join(
                    f"{figure(one.width)} × {figure(one.height)}" for one in panel.parts or (panel.board,)
                ),
                *[""] * count,
            )
            for wall, set_out in enumerate(matter.set_outs)
            for panel in set_out.panels
        ],
    )
