"""Timber sheets: ripping a section, cutting strips to length, what becomes of the rest, which goes where."""

from gettext import gettext as _
from xml.etree import ElementTree

from meshes.cutting.plan import Plan
from meshes.cutting.timber import Timber
from viewer.drawings.figures import figure
from viewer.drawings.ripping import ripping_drawing
from viewer.sheets import cautions
from viewer.sheets.book import Book, Column
from viewer.sheets.crosscuts import add_crosscuts, add_smalls
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright
from viewer.sheets.setting_out import scale_words
from viewer.sheets.sorting import add_sorting

NARROWEST_STEPS = 65.0
"""What the steps need to stand beside the end view [mm]; with less they stand below it."""


def add_timber(book: Book, matter: Matter) -> None:
    """Ripping, crosscutting, small strips and sorting; says why where the stock gives no slats."""
    plan = matter.needed.plan
    if plan is None:
        book.begin(upright(matter.paper), _("Timber"))
        book.text(_("What is on sale does not give this wall:"), bold=True)
        for _path, message in matter.needed.no_plan:
            book.text(message, lead="–", lead_width=4)
        return
    for one in plan.timber:
        _ripping(book, matter, plan, one)
    add_crosscuts(book, matter, plan)
    add_smalls(book, plan)
    add_sorting(book, matter)


def _ripping(book: Book, matter: Matter, plan: Plan, one: Timber) -> None:
    sheet = upright(matter.paper)
    svg = ripping_drawing(one, width_mm=sheet.room[0], height_mm=120)
    book.begin(sheet, _("Ripping plan"), scale=scale_words(svg))
    counts = {
        "count": one.rip.count,
        "section": " × ".join(figure(side) for side in plan.stock.section_mm),
        "slat": f"{figure(one.demand.width)} × {figure(one.demand.depth)}",
    }
    book.text(
        _(
            "%(count)d slats of %(slat)s mm finished from each section of %(section)s mm, seen on its end. "
            "F: the face that shows, a saw cut in every case where the section allows it; dashed: the slat "
            "after planing; dark: kerf."
        )
        % counts
    )
    book.table(
        [
            Column(head=_("Setting"), share=2.6),
            Column(head=_("Measure"), share=2, end=True),
            Column(head=_("Means"), share=8),
        ],
        _settings(one),
    )
    _end_view(book, svg, _steps(one))
    cautions.add(book, "saw", "dust")


def _settings(one: Timber) -> list[tuple[str, str, str]]:
    """What saw and planer are set to: setting, measure, meaning."""
    rip, demand = one.rip, one.demand
    return [
        (
            _("First cuts, fence"),
            f"{figure(rip.sawn_width)} mm",
            _("columns: %(count)d; the slat's width and its planing allowance") % {"count": rip.columns},
        ),
        (
            _("Second cuts, fence"),
            f"{figure(rip.sawn_depth)} mm",
            _("rows from each column: %(count)d; the slat's depth and the planing of its front")
            % {"count": rip.rows},
        ),
        (_("Kerf"), f"{figure(rip.kerf)} mm", _("measure it on a trial cut; another kerf is another plan")),
        (
            _("Planed to"),
            f"{figure(demand.width)} × {figure(demand.depth)} mm",
            _("front and both edges; the back stays sawn (common practice)"),
        ),
    ]


def _steps(one: Timber) -> list[str]:
    return [
        _("Let the timber lie 1 to 2 weeks in the heated room, stickered (common practice)."),
        _("Sharp section face to the fence. Rip to the fence settings above, which are oversize."),
        _(
            "Rest the ripped strips some days, stickered: what bows now would bow on the wall (common "
            "practice)."
        ),
        _(
            "Plane front and edges, all slats at one setting, width last. Sort out what has bowed or shows "
            "faults: %(culls)d are allowed for."
        )
        % {"culls": len(one.demand.culls)},
        _(
            "Measure ten slats as machined. If width or depth differ from the plan, write them into the job "
            "under As made, and print again before anything is cut to length."
        ),
    ]


def _end_view(book: Book, svg: str, steps: list[str]) -> None:
    """The section seen on its end, and the numbered steps beside it or, where it is wide, below."""
    sheet = book.page.sheet
    top, width = book.y, float(ElementTree.fromstring(svg).get("width", "0").removesuffix("mm"))
    book.drawing(svg)
    under, beside = book.y, (sheet.left + width, sheet.right)
    if beside[1] - beside[0] >= NARROWEST_STEPS:
        book.y = top
    else:
        beside = (sheet.left, sheet.right)
    for number, words in enumerate(steps, start=1):
        book.text(words, lead=f"{number}", within=beside)
    book.y = max(book.y, under)
