"""What the client keeps: how to live with the wall, what it is made of, how it is fixed, how it comes off."""

from gettext import gettext as _

from finishes.workshop import ageing, sign_off_words
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.fixing_plan import fixing_plan
from viewer.sheets import cautions
from viewer.sheets.book import Book, Column
from viewer.sheets.finishing import coats
from viewer.sheets.matter import Matter
from viewer.sheets.paper import lying, upright
from viewer.sheets.setting_out import TITLE_ROOM, scale_words


def handover(matter: Matter) -> Book:
    """The client's document."""
    book = Book(matter.stamp, title=_("Handover"))
    book.begin(upright(matter.paper), _("Your wall"))
    _living(book, matter)
    _made_of(book, matter)
    _coming_off(book, matter)
    for wall, one in enumerate(matter.set_outs):
        sheet = lying(matter.paper)
        zones = matter.job.zones_by_wall[wall]
        svg = fixing_plan(one, width_mm=sheet.room[0], height_mm=sheet.room[1] - TITLE_ROOM - 8)
        book.begin(
            sheet, matter.wall_title(wall, _("Fixing points and where not to drill")), scale=scale_words(svg)
        )
        book.text(
            _(
                "Crosses: screws into the wall. Hatched: cables may run here by rule; it is no survey of "
                "them. Keep this sheet with the house's papers."
            )
        )
        book.drawing(svg)
        svg = elevation(
            one, zones=zones, width_mm=sheet.room[0], height_mm=sheet.room[1] - TITLE_ROOM, to_scale=True
        )
        book.begin(sheet, matter.wall_title(wall, _("As set out")), scale=scale_words(svg))
        book.drawing(svg)
    return book


def _living(book: Book, matter: Matter) -> None:
    book.heading(_("Living with it"))
    sentences = [
        _(
            "Dust with a soft brush along the slats, or a vacuum cleaner with a brush; the cloth between "
            "them the same way. A damp cloth for marks, wrung out, then a dry one; no scouring, no silicone "
            "polish (common practice)."
        ),
        _(
            "Wood moves with the air. Between 40 and 60 % relative humidity it stays as it was made (common "
            "practice); in a heated winter gaps open a little and close again in summer."
        ),
        *_movement(matter),
        *(words for words in ageing(matter.finish, matter.catalogue) if words),
        _(
            "Do not hang anything from a slat. A picture is screwed through to the wall, clear of the "
            "hatched bands of the fixing sheet."
        ),
    ]
    for words in sentences:
        book.text(words, lead="–", lead_width=4)


def _movement(matter: Matter) -> list[str]:
    moved = matter.set_outs[0].movement
    if moved is None:
        return []
    words = _("Here a gap of %(gap)s mm may be from %(low)s to %(high)s mm over the year.")
    return [
        words
        % {
            "gap": figure(matter.set_outs[0].gap),
            "low": figure(moved.narrowest_gap_mm),
            "high": figure(moved.widest_gap_mm),
        }
    ]


def _made_of(book: Book, matter: Matter) -> None:
    book.heading(_("What it is made of, for repairs"))
    book.text(sign_off_words(matter.finish, matter.catalogue))
    coverage = matter.needed.coverage
    rows = [(_("Timber"), matter.catalogue.named("timber", matter.finish.timber).name, "")]
    if coverage.stain is not None:
        rows.append((_("Tone"), f"{coverage.stain.name}, {coats(coverage.stain.coats)}", ""))
    if coverage.topcoat is not None:
        rows.append((_("Topcoat"), f"{coverage.topcoat.name}, {coats(coverage.topcoat.coats)}", ""))
    rows.append((_("Backing"), matter.catalogue.named("fabric", matter.finish.fabric).name, ""))
    first = matter.set_outs[0]
    size = f"{figure(first.slat_width)} × {figure(first.slat_depth)}"
    rows.append((_("Slats"), _("%(size)s mm, gap %(gap)s mm") % {"size": size, "gap": figure(first.gap)}, ""))
    plan = matter.needed.plan
    if plan is not None:
        spares = sum(one.demand.spares for one in plan.timber)
        rows.append((_("Spare slats left with you"), str(spares), ""))
    for product in (coverage.stain, coverage.topcoat):
        if product is not None and product.touch_up_l:
            words = _("%(litres).2f l of %(name)s") % {"litres": product.touch_up_l, "name": product.name}
            rows.append((_("Touch-up pot"), words, ""))
    book.table(
        [
            Column(head=_("What"), share=3),
            Column(head=_("Which"), share=5),
            Column(head=_("Batch, written at handover"), share=4),
        ],
        rows,
    )


def _coming_off(book: Book, matter: Matter) -> None:
    found = [
        matter.panel_name(wall, panel.index)
        for wall, one in enumerate(matter.set_outs)
        for panel in one.panels
        if panel.removable
    ]
    book.heading(_("Getting behind it"))
    if found:
        book.text(
            _(
                "%(panels)s: made to come off. Its loose slats (L on the panel sheet) are screwed; take them "
                "off, then the screws under them, and lift the panel towards you. Its neighbours stay."
            )
            % {"panels": ", ".join(found)}
        )
    else:
        book.text(
            _(
                "No panel was made to come off by itself. To open the wall, start from the last panel: its "
                "loose slats lie over the screws."
            )
        )
    cautions.add(book, "services")
    if any(one.plates for one in matter.set_outs):
        cautions.add(book, "sockets")
