"""The marks of a rod in words and in their places on the wall; the places themselves are the layout's rod."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _
from itertools import pairwise

from meshes.layout.placed import SetOut
from meshes.layout.rod import Mark as RodMark
from meshes.layout.rod import Rod, wall_rod
from viewer.drawings.figures import figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """``kind``: end | slat | joint | opening; ``at`` to ``until`` from the wall's left end (or the floor).

    ``from_datum`` is what is measured to its near edge, ``words`` say it; ``bold`` as on the rod.
    """

    kind: str
    index: int
    at: Fraction
    until: Fraction
    from_datum: Fraction
    bold: bool
    words: str


def across(set_out: SetOut) -> tuple[Fraction, Fraction]:
    """Start and end of the run, measured across the slats."""
    face = set_out.face
    return (face.left, face.right) if set_out.run == "upright" else (face.bottom, face.top)


def marks(set_out: SetOut) -> tuple[Mark, ...]:
    """All marks in order of their place on the wall."""
    rod = wall_rod(set_out)
    things: dict[tuple[str, int], list[RodMark]] = {}
    for mark in rod.marks:
        things.setdefault((mark.kind, mark.index), []).append(mark)
    kinds = {opening.index: opening.kind for opening in set_out.openings}
    found = [
        *(_thing(rod, kind, index, of, kinds) for (kind, index), of in things.items() if kind != "panel"),
        *_joints(rod, [of for (kind, _index), of in things.items() if kind == "panel"]),
    ]
    return tuple(sorted(found, key=lambda mark: (mark.at, mark.until, mark.kind)))


def _thing(rod: Rod, kind: str, index: int, of: list[RodMark], kinds: dict[int, str]) -> Mark:
    near, far = min(mark.at for mark in of), max(mark.until for mark in of)
    if kind == "start":
        return _mark(rod, "end", 0, (near, far), _("Start of the run, {at}"), bold=True)
    if kind == "end":
        return _mark(rod, "end", 1, (near, far), _("End of the run, {at}"), bold=True)
    if kind == "slat":
        words = _("Slat {number}: {at} to {until}")
        return _mark(rod, kind, index, (near, far), words, bold=of[0].bold, number=index + 1)
    what = opening_word(kinds[index])
    return _mark(rod, kind, index, (near, far), _("{what}: {at} to {until}"), bold=of[0].bold, what=what)


def _joints(rod: Rod, panels: list[list[RodMark]]) -> Iterator[Mark]:
    """Half way between the far edge of one panel and the near edge of the next."""
    edges = sorted((min(m.at for m in of), max(m.at for m in of), of[0].index) for of in panels)
    words = _("Joint between panels {before} and {after}: {at}")
    for (_start, end, one), (start, _end, other) in pairwise(edges):
        middle = (end + start) / 2
        before, after = sorted((one, other))
        numbers = {"before": before + 1, "after": after + 1}
        yield _mark(rod, "joint", after, (middle, middle), words, bold=True, **numbers)


def _mark(
    rod: Rod,
    kind: str,
    index: int,
    span: tuple[Fraction, Fraction],
    words: str,
    *,
    bold: bool,
    **more: object,
) -> Mark:
    """``words`` with ``at`` and ``until`` filled in as they are measured; the last of them has the unit."""
    near, far = span
    unit = {
        "left": _("{length} mm"),
        "bottom": _("{length} mm"),
        "right": _("{length} mm from the right"),
        "top": _("{length} mm from the top"),
    }[rod.datum]
    last = "until" if "{until}" in words else "at"
    lengths = {"at": figure(near), "until": figure(far)}
    lengths[last] = unit.format(length=lengths[last])
    at, until = sorted((rod.coordinate(near), rod.coordinate(far)))
    said = words.format(**lengths, **more)
    return Mark(kind=kind, index=index, at=at, until=until, from_datum=near, bold=bold, words=said)


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
