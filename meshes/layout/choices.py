"""The set-outs that work on a run, ranked, each with its reason; and those that a rule rejected.

There is no single right spacing: an even gap needs a spacer made for it, a spacer from the drawer leaves a
remainder at an end, a slat centred on the bed leaves one at both.
"""

from fractions import Fraction

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.anchored import anchored_spacings
from meshes.layout.even import even_spacings
from meshes.layout.site import Site
from meshes.layout.spacing import Slats

RIPPED_COSTS = Fraction(1, 28)
MADE_SPACER_COSTS = Fraction(1, 56)
"""In the ranking a ripped slat, and a spacer that has to be made, weigh as much as this share of the wished
gap off the wish: 0.5 and 0.25 mm of a gap of 14."""


def choices(site: Site) -> tuple[list[Alternative], list[Rejected]]:
    """All that was tried: what works, best first, and what a rule rejected, in the order it was tried."""
    works: list[Alternative] = []
    rejected: list[Rejected] = []
    anchored = anchored_spacings(site) if site.slats.pattern.last_to_first == 1 else ()
    for found in (*even_spacings(site), *anchored):
        if isinstance(found, Rejected):
            rejected.append(found)
        elif found.remainder or not any(_alike(found, other) for other in works):
            works.append(found)
    works.sort(key=lambda choice: _cost(choice, site))
    return works, rejected


def _alike(one: Alternative, other: Alternative) -> bool:
    same = (one.kind, one.gap, one.slat_count) == (other.kind, other.gap, other.slat_count)
    return same and not other.remainder


def wanted(site: Site, works: list[Alternative]) -> Alternative | None:
    """The choice that the job asks for, or None when nothing of that kind works."""
    slats = site.slats
    of_kind = [choice for choice in works if choice.kind == slats.spacing]
    if slats.spacing == "even":
        evens = [choice for choice in of_kind if choice.ends == slats.ends]
        return min(evens, key=lambda choice: (abs(choice.gap - slats.gap_mm), -choice.gap), default=None)
    if slats.spacing in ("spacer", "centred") and slats.gap_mm in slats.spacers_mm:
        of_kind.sort(key=lambda choice: not _as_wished(choice, slats))
    for choice in of_kind:
        if slats.spacing == "spacer" and slats.spacers_mm and choice.gap not in slats.spacers_mm:
            continue
        if (
            slats.spacing in ("spacer", "visible_end")
            and choice.remainder
            and choice.closing != slats.closing
        ):
            continue
        if slats.spacing in ("centred", "feature") and choice.centred_on != slats.centre_on:
            continue
        return choice
    return None


def _as_wished(choice: Alternative, slats: Slats) -> bool:
    """Whether the gap is the wished one by a spacer, and what it leaves goes to what was asked for."""
    closed = choice.closing == slats.closing if choice.remainder else slats.spacing == "spacer"
    solved = choice.kind == "centred" and choice.ends in ("slat", "gap")
    return choice.gap == slats.gap_mm and closed and not solved


def _cost(choice: Alternative, site: Site) -> tuple[Fraction, int, str]:
    """Order of preference: near to the wish, little ripping, a spacer at hand; ours, not a standard's."""
    cost = abs(choice.gap - site.slats.gap_mm)
    cost += RIPPED_COSTS * site.slats.gap_mm * ((choice.start_slat > 0) + (choice.end_slat > 0))
    if choice.spacer not in site.slats.spacers_mm:
        cost += MADE_SPACER_COSTS * site.slats.gap_mm
    for space, slat in ((choice.start_space, choice.start_slat), (choice.end_space, choice.end_slat)):
        if space and not slat:
            cost += abs(space - choice.gap) / 2
    return cost, choice.slat_count, choice.kind
