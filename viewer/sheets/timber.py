"""Timber sheets: how a section is ripped, how strips are cut to length, and what becomes of the rest."""

from collections import Counter
from gettext import gettext as _
from gettext import ngettext

from meshes.cutting.plan import Plan, Timber
from viewer.drawings.figures import figure
from viewer.drawings.ripping import ripping_drawing
from viewer.drawings.strips import strip_drawing
from viewer.export.cutting_tables import stops
from viewer.sheets import cautions
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright
from viewer.sheets.setting_out import scale_words


def add_timber(book: Book, matter: Matter) -> None:
    """Ripping, crosscutting and small strips; says why where the stock gives no slats."""
    plan = matter.needed.plan
    if plan is None:
        book.begin(upright(matter.paper), _("Timber"))
        book.text(_("The stock of this job gives no slats:"), bold=True)
        for _path, message in matter.needed.no_plan:
            book.text(message, lead="–", lead_width=4)
        return
    for one in plan.timber:
        _ripping(book, matter, plan, one)
    _crosscuts(book, matter, plan)
    _smalls(book, matter, plan)


def _ripping(book: Book, matter: Matter, plan: Plan, one: Timber) -> None:
    rip, demand, stock = one.rip, one.demand, plan.stock
    svg = ripping_drawing(one, width_mm=upright(matter.paper).room[0], height_mm=120)
    book.begin(upright(matter.paper), _("Ripping plan"), scale=scale_words(svg))
    counts = {
        "count": rip.count,
        "section": " × ".join(figure(side) for side in stock.section_mm),
        "slat": f"{figure(demand.width)} × {figure(demand.depth)}",
    }
    book.text(
        _(
            "%(count)d slats of %(slat)s mm finished from each section of %(section)s mm, seen on its end. "
            "F: the face that shows, a saw cut in every case where the section allows it; dashed: the slat "
            "after planing; dark: kerf."
        )
        % counts
    )
    book.drawing(svg)
    rows = [
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
            _("front and both edges; the back stays sawn and lies on the cloth (common practice)"),
        ),
    ]
    book.table(
        [
            Column(head=_("Setting"), share=2.6),
            Column(head=_("Measure"), share=2, end=True),
            Column(head=_("Means"), share=8),
        ],
        rows,
    )
    steps = [
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
        % {"culls": len(demand.culls)},
        _(
            "Measure ten slats as machined. If width or depth differ from the plan, write them into the job "
            "(slats.as_machined_mm) and print again before anything is cut to length."
        ),
    ]
    for number, words in enumerate(steps, start=1):
        book.text(words, lead=f"{number}")
    cautions.add(book, "saw", "dust")


def _crosscuts(book: Book, matter: Matter, plan: Plan) -> None:
    sheet = upright(matter.paper)
    book.begin(sheet, _("Crosscut list"))
    rows = [(figure(length), str(count)) for length, count in plan.sections.items()]
    book.heading(_("Sections"), keep=10)
    section = " × ".join(figure(side) for side in plan.stock.section_mm)
    book.text(_("%(section)s mm, sawn") % {"section": section})
    book.table(
        [Column(head=_("Length, mm"), share=2, end=True), Column(head=_("Sections"), share=2, end=True)],
        rows,
        within=(sheet.left, sheet.left + 70),
    )
    for one in plan.timber:
        demand, crosscut = one.demand, one.crosscut
        book.heading(
            _("Slats %(width)s × %(depth)s mm: lengths wanted")
            % {"width": figure(demand.width), "depth": figure(demand.depth)}
        )
        book.text(
            _("%(pieces)d pieces, %(spares)d whole spares, %(culls)d sorted out and replaced.")
            % {"pieces": len(demand.pieces), "spares": demand.spares, "culls": len(demand.culls)}
        )
        wanted = Counter(piece.length for piece in demand.pieces)
        book.table(
            [
                Column(head=_("Length, mm"), share=2, end=True),
                Column(head=_("On the wall"), share=2, end=True),
                Column(head=_("To cut"), share=2, end=True),
                Column(head=_("Slats"), share=9),
            ],
            [
                (
                    figure(length),
                    str(wanted[length]),
                    str(demand.to_cut.get(length, 0)),
                    _which(one, length, several=len(matter.set_outs) > 1),
                )
                for length in sorted(wanted, reverse=True)
            ],
        )
        if any(cull.pieces for cull in demand.culls):
            book.text(
                _(
                    "Short pieces that are not cut from fresh strips come out of the sound parts of what "
                    "was sorted out."
                )
            )
        book.heading(_("Cuts"))
        state = (
            _("proven the least")
            if crosscut.proven
            else _("at most %(share).1f %% over the least") % {"share": float(crosscut.gap) * 100}
        )
        book.text(
            _(
                "Trim %(trim)s mm off the first end, then cut to the stops; kerf %(kerf)s mm. Timber "
                "bought: %(state)s."
            )
            % {"trim": figure(crosscut.order.end_trim), "kerf": figure(crosscut.order.kerf), "state": state}
        )
        longest = max(pattern.stock_length for pattern in crosscut.patterns)
        for number, pattern in enumerate(crosscut.patterns, start=1):
            book.drawing(
                strip_drawing(
                    number=number,
                    times=pattern.times,
                    length=pattern.stock_length,
                    pieces=stops(crosscut, pattern),
                    longest=longest,
                    width_mm=sheet.room[0],
                )
            )
        for length, count in crosscut.uncut:
            book.text(
                ngettext(
                    "%(count)d strip of %(length)s mm stays whole.",
                    "%(count)d strips of %(length)s mm stay whole.",
                    count,
                )
                % {"count": count, "length": figure(length)},
                lead="–",
                lead_width=4,
            )


def _which(one: Timber, length: object, *, several: bool) -> str:
    """Slats of a length as ``1–24, 29``, counted from 1; by wall where there are several."""
    by_wall: dict[int, list[int]] = {}
    for piece in one.demand.pieces:
        if piece.length == length:
            by_wall.setdefault(piece.wall, []).append(piece.slat + 1)
    words = []
    for wall, slats in by_wall.items():
        listed = ", ".join(ranges(slats))
        words.append(
            _("wall %(wall)d: %(slats)s") % {"wall": wall + 1, "slats": listed} if several else listed
        )
    return "; ".join(words)


def ranges(numbers: list[int]) -> list[str]:
    """``[1, 2, 3, 5, 5]`` as ``1–3``, ``5``, ``5``."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return [f"{low}" if low == high else f"{low}–{high}" for low, high in found]


def _smalls(book: Book, matter: Matter, plan: Plan) -> None:
    rows = []
    for used in plan.reuse.used:
        bar = used.bar
        source = {"rest": _("rest of ripping"), "strip": _("strip left whole"), "offcut": _("offcut")}
        came = f"{source[bar.came_from]} {figure(bar.width)} × {figure(bar.depth)} × {figure(bar.length)}"
        for small in used.smalls:
            rows.append((small.name, figure(small.width), figure(small.depth), figure(small.length), came))
    for small in plan.reuse.to_buy:
        rows.append((small.name, figure(small.width), figure(small.depth), figure(small.length), _("to buy")))
    if rows:
        book.heading(_("Small strips"), keep=20)
        book.table(
            [
                Column(head=_("Strip"), share=3),
                Column(head=_("Width, mm"), share=2, end=True),
                Column(head=_("Depth, mm"), share=2, end=True),
                Column(head=_("Length, mm"), share=2, end=True),
                Column(head=_("From, mm"), share=6),
            ],
            rows,
        )
    if plan.reuse.kept:
        book.heading(_("Worth keeping"))
        book.table(
            [Column(head=_("Size, mm"), share=4), Column(head=_("Count"), share=1, end=True)],
            [
                (f"{figure(bar.width)} × {figure(bar.depth)} × {figure(bar.length)}", str(count))
                for bar, count in plan.reuse.kept
            ],
            within=(book.page.sheet.left, book.page.sheet.left + 90),
        )
    for sentence in plan.warnings:
        book.text(sentence[:1].upper() + sentence[1:] + ".", lead="–", lead_width=4)
