"""The lines that a client ticks: one plain sentence each, which the maker may adjust.

They are common practice of the trade put into words; none is legal advice, and local law goes before them.
"""

from dataclasses import dataclass
from gettext import gettext as _


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """``key`` names the line in the record, ``sentence`` is what the client reads."""

    key: str
    sentence: str


def default_lines() -> tuple[Line, ...]:
    """All lines in the order of the sheet: colour, timber, joints, wall, house, afterwards."""
    return tuple(Line(key=key, sentence=sentence) for key, sentence in _sentences())


def _sentences() -> tuple[tuple[str, str], ...]:
    return (
        (
            "off_cut",
            _("The stained off-cut, not the picture, is the agreed colour; its number is on this sheet."),
        ),
        ("batch", _("A later tin or another batch of stain can differ slightly from the off-cut.")),
        ("shade", _("I have seen the lightest and the darkest board that will be used.")),
        ("knots", _("Knots of the agreed class stay visible; filled places take the stain differently.")),
        ("ageing", _("Timber and fabric change colour in light; this change is not a defect.")),
        ("gap", _("The gap is agreed with its tolerance and opens and closes a little with the seasons.")),
        (
            "joints",
            _("Panel joints lie behind slats; light that grazes the wall shows more than this picture."),
        ),
        ("pins", _("Slats are pinned from behind; I know where pins are driven from the front and filled.")),
        ("sockets", _("Sockets and switches stay where they are drawn; a licensed electrician refits them.")),
        ("fabric", _("The fabric has seams where they are drawn, and dust will settle on it in time.")),
        ("sound", _("No promise is made about sound in the room.")),
        (
            "room",
            _("The wall comes forward by the drawn depth; I have checked doors, furniture and switches."),
        ),
        (
            "removal",
            _("Taking the wall down leaves holes; where I rent, the landlord's consent is mine to get."),
        ),
        ("snagging", _("Faults are judged from two metres away in the room's normal light.")),
        ("spares", _("Spare slats and the rest of the stain stay with me for repairs.")),
        ("excluded", _("What is listed as excluded is not part of the price.")),
    )
