"""What can hurt, said where the work is: short, with its source, and deferring to those who decide.

Figures are those of the named documents as they stood when they were read; local rules and a licensed or
competent person decide.
"""

from collections.abc import Sequence
from gettext import gettext as _

from viewer.sheets.book import Book

Caution = tuple[str, Sequence[str], str]


def cautions() -> dict[str, Caution]:
    """(heading, sentences, source) by name."""
    decide = _("Local rules and a licensed or competent person decide.")
    return {
        "dust": (
            _("Take care: dust"),
            (
                _(
                    "Extraction at the machine and a fitted mask when ripping, planing and sanding. Hardwood "
                    "dust and any mixture with it: at most 3 mg/m³ over 8 hours in Great Britain (softwood "
                    "5), 2 in the EU."
                ),
                _("Take the dust of MDF for a mixture unless its make-up is known."),
            ),
            _("HSE EH40/2005, 4th ed.; Directive (EU) 2017/2398; check the edition in force. ") + decide,
        ),
        "saw": (
            _("Take care: circular saw"),
            (
                _(
                    "Riving knife and top guard fitted and set for each job. Push stick of at least 450 mm "
                    "for the last 300 mm of every cut; hands never nearer than 300 mm to the front of the "
                    "blade. The blade stops within 10 s."
                ),
                _(
                    "Narrow rips: a fence that ends at the middle of the blade, a push stick for each hand, "
                    "and nobody behind the saw (common practice)."
                ),
            ),
            _("HSE WIS16 (rev. 2). ") + decide,
        ),
        "rags": (
            _("Take care: rags catch fire by themselves"),
            (
                _(
                    "Rags with a drying oil heat up within hours. Dry them flat, one by one, outdoors, or "
                    "sink them in water in a metal can with a lid. Never leave them in a heap or a bin."
                ),
            ),
            _("Fire-service and NFPA advice on self-heating. Follow the tin's label and local rules."),
        ),
        "solvent": (
            _("Take care: vapour"),
            (
                _(
                    "Work with air moving through the room, away from flame and heaters; gloves and eye "
                    "protection. The tin's label and safety data sheet rank above this sheet. Ready to use, "
                    "a woodstain may hold 130 g/l (water-borne) or 400 g/l (solvent) of volatile compounds."
                ),
            ),
            _("Directive 2004/42/EC, Annex II. ") + decide,
        ),
        "services": (
            _("Take care: hidden cables and pipes"),
            (
                _(
                    "Cables less than 50 mm deep may run within 150 mm of the top of the wall, within 150 mm "
                    "of a corner, and straight up, down or across from anything electrical that can be seen, "
                    "also on the other side of a wall of 100 mm or less."
                ),
                _(
                    "The no-drill bands on these sheets follow that rule; they do not find a cable. Search "
                    "with a detector, isolate, prove dead, then drill."
                ),
            ),
            _("BS 7671, regulation 522.6.202. ") + decide,
        ),
        "sockets": (
            _("Take care: sockets and switches"),
            (
                _(
                    "Isolate and prove dead before a plate comes off. Moving a box, or bringing it forward "
                    "to the new surface, is work for a licensed electrician: first fix before the panels go "
                    "on, second fix after. No combustible cut edge may lie open to the conductors."
                ),
            ),
            _("BS 7671; the electrician decides. ") + decide,
        ),
        "load": (
            _("Take care: lifting, ladders, and what the wall holds"),
            (
                _(
                    "Two people for a panel over 25 kg (common practice), and to hold the first one plumb. "
                    "Ladders only for light, short work with three points of contact."
                ),
                _(
                    "What a wall carries depends on its build: try a fixing, follow the fixing's own "
                    "instructions, and ask where plaster, dabs or lath are in doubt."
                ),
            ),
            _("HSE INDG143, INDG402, INDG455. ") + decide,
        ),
        "fire": (
            _("Take care: reaction to fire is not known"),
            (
                _(
                    "No class of reaction to fire is known for this build-up (coated wooden slats over "
                    "cloth on board), and none is claimed. Ask building control before work starts, most of "
                    "all for escape routes, stairs and rooms that are not in a dwelling."
                ),
            ),
            _("Wall linings: in England, Approved Document B; elsewhere the local rule. ") + decide,
        ),
    }


def add(book: Book, *names: str) -> None:
    """Put the cautions of these names on the sheet."""
    known = cautions()
    for name in names:
        book.caution(*known[name])
