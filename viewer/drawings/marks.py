"""The marks of a rod: every place along the run that a person measures to, from one datum, exactly."""

from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from viewer.drawings.figures import figure

BOLD_EVERY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """``kind``: end | slat | joint | opening; ``at`` from the wall's left end (level slats: from the floor).

    ``until`` is the far edge of the thing marked; ``bold`` marks every fifth slat, joints and the ends.
    """

    kind: str
    index: int
    at: Fraction
    until: Fraction
    bold: bool
    words: str


def across(set_out: SetOut) -> tuple[Fraction, Fraction]:
    """Start and end of the run, measured across the slats."""
    face = set_out.face
    return (face.left, face.right) if set_out.run == "upright" else (face.bottom, face.top)


def marks(set_out: SetOut) -> tuple[Mark, ...]:
    """All marks in order of their place; cumulative, never sums of rounded numbers."""
    upright = set_out.run == "upright"
    start, end = across(set_out)
    found = [
        Mark(
            kind="end",
            index=0,
            at=start,
            until=start,
            bold=True,
            words=_("Start of the run, {at} mm").format(at=figure(start)),
        ),
        Mark(
            kind="end",
            index=1,
            at=end,
            until=end,
            bold=True,
            words=_("End of the run, {at} mm").format(at=figure(end)),
        ),
    ]
    for slat in set_out.slats:
        at, until = (
            (slat.extent.left, slat.extent.right) if upright else (slat.extent.bottom, slat.extent.top)
        )
        found.append(
            Mark(
                kind="slat",
                index=slat.index,
                at=at,
                until=until,
                bold=slat.index % BOLD_EVERY == 0,
                words=_("Slat {number}: {at} to {until} mm").format(
                    number=slat.index + 1, at=figure(at), until=figure(until)
                ),
            )
        )
    for before, after in zip(set_out.panels, set_out.panels[1:], strict=False):
        at = after.board.left if upright else after.board.bottom
        end_before = before.board.right if upright else before.board.top
        middle = (at + end_before) / 2
        if start < middle < end:
            found.append(
                Mark(
                    kind="joint",
                    index=after.index,
                    at=middle,
                    until=middle,
                    bold=True,
                    words=_("Joint between panels {before} and {after}: {at} mm").format(
                        before=before.index + 1, after=after.index + 1, at=figure(middle)
                    ),
                )
            )
    for opening in set_out.openings:
        rect = opening.rect
        at, until = (rect.left, rect.right) if upright else (rect.bottom, rect.top)
        found.append(
            Mark(
                kind="opening",
                index=opening.index,
                at=at,
                until=until,
                bold=True,
                words=_("{kind}: {at} to {until} mm").format(
                    kind=opening_word(opening.kind), at=figure(at), until=figure(until)
                ),
            )
        )
    return tuple(sorted(found, key=lambda mark: (mark.at, mark.until, mark.kind)))


OPENING_KINDS = (
    "socket",
    "switch",
    "data",
    "thermostat",
    "vent",
    "radiator",
    "window",
    "door",
    "bracket",
)


def opening_word(kind: str) -> str:
    """The word that a drawing writes at an opening."""
    return {
        "socket": _("Socket"),
        "switch": _("Switch"),
        "data": _("Data point"),
        "thermostat": _("Thermostat"),
        "vent": _("Vent"),
        "radiator": _("Radiator"),
        "window": _("Window"),
        "door": _("Door"),
        "bracket": _("Bracket"),
    }[kind]


def zone_word(kind: str) -> str:
    """The word that a drawing writes in a zone."""
    return {
        "hidden": _("Hidden"),
        "no_drill": _("No drilling"),
        "access": _("Access"),
        "raking_light": _("Raking light"),
    }[kind]
