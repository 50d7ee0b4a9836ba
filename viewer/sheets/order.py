"""The order of work: from the timber in the heated room to the snag list, with cautions where they belong."""

from gettext import gettext as _

from viewer.drawings.figures import figure
from viewer.sheets import cautions
from viewer.sheets.book import Book
from viewer.sheets.matter import Matter
from viewer.sheets.panel_sheets import datum_word
from viewer.sheets.paper import upright

SHORTER_BY_MM = 3
"""A pin from the back stays this much short of the slat's face (common practice)."""


def add_order(book: Book, matter: Matter) -> None:
    """A list to tick off; what has no published source is common practice and the sheet says so."""
    book.begin(upright(matter.paper), _("Order of work"))
    book.text(
        _("Steps without a named source are common practice of the trade: change what you know better.")
    )
    for heading, steps, names in _stages(matter):
        book.heading(heading)
        for words in steps:
            book.text(words, lead="box")
        cautions.add(book, *names)


Stage = tuple[str, list[str], tuple[str, ...]]
"""A heading, its steps, and the names of the cautions that go with them."""


def _stages(matter: Matter) -> list[Stage]:
    accessories = any(
        plate.kind in ("socket", "switch", "data", "thermostat")
        for one in matter.set_outs
        for plate in one.plates
    )
    return [
        _before_buying(matter),
        _timber(),
        _boards(matter),
        _before_panels(accessories=accessories),
        _panels(matter),
        _last(accessories=accessories),
    ]


def _before_buying(matter: Matter) -> Stage:
    steps = [
        _("Ask building control about wall linings; take the two figures below along."),
        _area_words(matter),
    ]
    return _("Before anything is bought"), steps, ("fire",)


def _timber() -> Stage:
    steps = [
        _("Condition the timber 1 to 2 weeks in the heated room, stickered."),
        _("Rip oversize after the ripping plan; rest the strips some days."),
        _("Plane width and depth, all slats at one setting."),
        _("Measure ten slats as machined; if they differ, write it into the job, solve again, print again."),
        _(
            "Sort by tone after the sorting plan: the best at eye height, the worst in hidden zones; "
            "number the backs in pencil."
        ),
        _("Crosscut after the list; longest pieces first."),
    ]
    return _("Workshop: timber"), steps, ("saw", "dust")


def _boards(matter: Matter) -> Stage:
    pin = min(one.build_up.board + one.build_up.slat for one in matter.set_outs) - SHORTER_BY_MM
    loose = sum(slat.loose for one in matter.set_outs for slat in one.slats)
    steps = [
        _("Saw the boards, make the cut-outs from the one corner, label the backs."),
        _("Stain and coat after the finishing schedule; coat fresh cuts at openings too."),
        _("Let everything dry until nothing marks the cloth."),
        _("Paint what shows dark, wrap the boards in cloth after the cutting diagram."),
        _("Lay out the slats on the panel marks; leave %(loose)d loose slats out.") % {"loose": loose},
        _("Pin from the back, zigzag, no pin longer than %(pin)s mm (board and slat less 3 mm).")
        % {"pin": figure(pin)},
    ]
    return _("Workshop: boards and finish"), steps, ()


def _before_panels(*, accessories: bool) -> Stage:
    steps = [
        _("Search the wall for cables and pipes, mark what is found on it and on the panel sheets."),
        _("Find the wall's high point with a straightedge; strike the level line and fix the ledger off it."),
        _("Mark the run's ends, the datum and every panel edge on the wall from the rod."),
    ]
    if accessories:
        steps.insert(0, _("First fix: the electrician isolates, moves or extends boxes, and signs for it."))
    names = ("services", "sockets") if accessories else ("services",)
    return _("On site: before the panels"), steps, names


def _panels(matter: Matter) -> Stage:
    first = matter.set_outs[0]
    every = first.chosen.reset_every if first.chosen else 5
    steps = [
        _(
            "Set packers; the first panel at the %(datum)s end, plumb by the level, fixed through "
            "the places of its loose slats."
        )
        % {"datum": datum_word(first.datum)},
        _("Press each next panel on: its overhanging slat goes over the joint onto the one before."),
        _("Check to the datum at every %(every)dth slat; correct there, never at the end.")
        % {"every": every},
        _("Scribe closing slats and strips to what is out of true."),
        _("Put in the loose slats; fill the pin holes."),
        _("Take the ledger off; close the foot."),
    ]
    return _("On site: panels"), steps, ("load",)


def _last(*, accessories: bool) -> Stage:
    steps = [
        _("Snag: stand back by day and with the lamps on; touch up from the kept pot."),
        _("Hand over: spares, touch-up pot, the handover sheet with batches written in."),
    ]
    if accessories:
        steps.insert(0, _("Second fix by the electrician; plates back on."))
    return _("On site: last"), steps, ()


def _area_words(matter: Matter) -> str:
    """The figures that some rules for small parts of a room's walls go by: a prompt, never a class."""
    area = sum(float(one.face.area) for one in matter.set_outs) / 1e6
    room = matter.job.room
    width = float(matter.set_outs[0].wall_width) + float(room.beyond_left_mm) + float(room.beyond_right_mm)
    floor = width * float(room.depth_mm) / 1e6
    half = area < floor / 2
    compared = _("less than half of the floor") if half else _("not less than half of the floor")
    return _(
        "Slats cover %(area).1f m², the floor of the room as the job has it is %(floor).1f m²: %(compared)s. "
        "In England (Approved Document B, vol. 1, 4.4) a part of a room's walls below half of the floor area "
        "and 20 m² is judged more mildly; whether this wall is such a part, building control says."
    ) % {"area": area, "floor": floor, "compared": compared}
