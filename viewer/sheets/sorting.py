"""The sorting plan: which machined slats go where, so that the best are seen and the worst are not."""

from collections.abc import Iterable
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.openings import overlap
from meshes.layout.placed import SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.survey import Zone
from viewer.sheets.book import Book, Column
from viewer.sheets.lengths import ranges
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright

EYE_MM = (Fraction(1200), Fraction(1800))
"""Between sitting and standing eyes [mm above the floor] (common practice)."""
HIDDEN_FROM = Fraction(1, 5)
"""A slat takes a fault behind furniture when this share of it stands there (common practice)."""

GROUPS = ("light", "best", "plain", "hidden")


def group_of(slat: Slat, zones: Iterable[Zone]) -> str:
    """Where a slat's quality is wanted: in raking light, at eye height, elsewhere, or behind furniture."""
    zones = tuple(zones)
    if any(_inside(slat, _rect(zone)) for zone in zones if zone.kind == "raking_light"):
        return "light"
    behind = sum((_inside(slat, _rect(zone)) for zone in zones if zone.kind == "hidden"), Fraction(0))
    whole = sum((piece.area for piece in slat.pieces), Fraction(0))
    if whole and behind / whole >= HIDDEN_FROM:
        return "hidden"
    extent = slat.extent
    eyes = Rect(left=extent.left, width=extent.width, bottom=EYE_MM[0], height=EYE_MM[1] - EYE_MM[0])
    return "best" if _inside(slat, eyes) else "plain"


def _rect(zone: Zone) -> Rect:
    return Rect(left=zone.left_mm, bottom=zone.bottom_mm, width=zone.width_mm, height=zone.height_mm)


def _inside(slat: Slat, rect: Rect) -> Fraction:
    """Face of the slat's pieces in a rectangle [mm2]."""
    return sum((overlap(piece, rect) for piece in slat.pieces), Fraction(0))


def groups(one: SetOut, zones: Iterable[Zone]) -> dict[str, list[int]]:
    """Slats by group, counted from 1."""
    zones = tuple(zones)
    found: dict[str, list[int]] = {group: [] for group in GROUPS}
    for slat in one.slats:
        found[group_of(slat, zones)].append(slat.index + 1)
    return found


def add_sorting(book: Book, matter: Matter) -> None:
    """One table a wall; the numbers are pencilled on the backs."""
    words = {
        "light": (_("in raking light"), _("the straightest and evenest: every step and filled pin shows")),
        "best": (_("at eye height"), _("the best figure and tone")),
        "plain": (_("elsewhere"), _("sound, of the middle tone")),
        "hidden": (_("behind furniture"), _("knots, filler, odd tones")),
    }
    book.begin(upright(matter.paper), _("Sorting plan"))
    book.text(
        _(
            "Lay all machined slats side by side, faces up, in the light of the room, and sort them by tone. "
            "Give each its place from this table and pencil its number on the back. Let the tone change "
            "slowly from slat to slat. Spares are of the middle tone (all common practice)."
        )
    )
    for wall, one in enumerate(matter.set_outs):
        zones = matter.job.zones_by_wall[wall]
        found = groups(one, zones)
        book.heading(matter.wall_title(wall, _("Which slat goes where")))
        book.table(
            [
                Column(head=_("Place"), share=2.4),
                Column(head=_("Take"), share=4.6),
                Column(head=_("Count"), share=1.2, end=True),
                Column(head=_("Slats"), share=5),
            ],
            [
                (*words[group], str(len(numbers)), ", ".join(ranges(numbers)))
                for group, numbers in found.items()
                if numbers
            ],
        )
        if not found["hidden"]:
            book.text(
                _("No furniture hides a slat: what is not good enough to be seen is cut into short pieces.")
            )
