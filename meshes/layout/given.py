"""Spacings with a given gap: whole slats through an anchor, and a remainder that the ends take up."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.closing import (
    Closed,
    RunEnd,
    closing_gap,
    closing_slat,
    gap_in_range,
    wider_shadow_gap,
    wider_trim,
)
from meshes.layout.site import Site
from meshes.layout.spacer import drift, reset_every, spacer_for
from meshes.layout.walking import Walked, starts_from, walk
from meshes.layout.words import mm

Found = Alternative | Rejected


def closed_spacing(
    site: Site, kind: str, gap: Fraction, anchor: Fraction, closing: str, lead: str, centred_on: str = ""
) -> Iterator[Found]:
    """Fill the run with whole slats through ``anchor`` and close both ends, or say which rule forbids it.

    Yields one choice or one rejection, or nothing where the way of closing has no place on this run.
    """
    outside = gap_in_range(gap, site.slats.gap_range_mm)
    if outside:
        if closing in ("slat", "either"):
            yield Rejected(kind=kind, gap=gap, rule=outside)
        return
    found = close_run(site, gap, anchor, closing)
    if found is None:
        return
    if isinstance(found, str):
        yield Rejected(kind=kind, gap=gap, rule=found, closing=closing)
        return
    yield replace(choice_of(site, kind, gap, found, lead), closing=closing, centred_on=centred_on)


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """Whole slats and what closes the ends: (space, how) from the datum on."""

    whole: int
    spaces: tuple[Fraction, Fraction]
    closed: tuple[Closed, Closed]
    offset: int = 0


def close_run(site: Site, gap: Fraction, anchor: Fraction, closing: str) -> Filled | str | None:
    """Whole slats through ``anchor``, both ends closed; the rule's sentence; None when it has no place."""
    found = _whole(site, gap, anchor)
    if found is None:
        return None
    if closing in ("shadow_gap", "trim"):
        return _widened(site, gap, found, closing)
    closed = []
    for space, beyond, end, corner in zip(found.spaces, found.beyond, site.ends, site.at_corner, strict=True):
        one = Closed() if corner and space == gap else _close(space, *beyond, gap, end, closing)
        if isinstance(one, str):
            return one
        closed.append(one)
    return Filled(whole=found.whole, spaces=found.spaces, closed=(closed[0], closed[1]), offset=found.offset)


def _whole(site: Site, gap: Fraction, anchor: Fraction) -> Walked | None:
    """The whole slats of the run, by arithmetic where they are all alike."""
    rhythm = site.rhythm("slat")
    if not rhythm.plain:
        return walk(rhythm, gap, site.run, anchor)
    width = rhythm.cycle[0]
    pitch = width + gap
    first = anchor - floor(anchor / pitch) * pitch
    whole = floor((site.run - first + gap) / pitch)
    if whole < 1:
        return None
    spaces = (first, site.run - (first + whole * pitch - gap))
    return Walked(whole=whole, offset=0, spaces=spaces, beyond=((width, gap),) * 2)


def _close(
    space: Fraction, width: Fraction, before: Fraction, gap: Fraction, end: RunEnd, closing: str
) -> Closed | str:
    """``width`` of the slat that would come next, ``before`` it the gap to it."""
    if closing == "gap":
        return closing_gap(space, gap, end)
    found = closing_slat(space, width, before)
    if closing == "either" and isinstance(found, str):
        as_gap = closing_gap(space, gap, end)
        return found if isinstance(as_gap, str) and space > gap else as_gap
    return found


def _widened(site: Site, gap: Fraction, found: Walked, closing: str) -> Filled | str | None:
    rest = sum(found.spaces) if not any(site.at_corner) else found.spaces[1]
    able = [
        number
        for number, end in enumerate(site.ends)
        if (end.shadow_gap if closing == "shadow_gap" else end.trim) and not site.at_corner[number]
    ]
    if not able or not rest:
        return None
    share = Fraction(rest) / len(able)
    closed = [Closed(), Closed()]
    for number in able:
        end = site.ends[number]
        one = (
            wider_shadow_gap(share, gap, end)
            if closing == "shadow_gap"
            else wider_trim(share, max(site.rhythm("slat").cycle), end)
        )
        if isinstance(one, str):
            return one
        closed[number] = one
    kept = (gap if site.at_corner[0] else Fraction(0), Fraction(0))
    return Filled(whole=found.whole, spaces=kept, closed=(closed[0], closed[1]), offset=found.offset)


def choice_of(site: Site, kind: str, gap: Fraction, filled: Filled, lead: str) -> Alternative:
    """A filled run as a choice, its ends in words."""
    start, end = filled.closed
    count = filled.whole + (start.slat > 0) + (end.slat > 0)
    said = [
        words
        for space, closed, one in zip(filled.spaces, filled.closed, site.ends, strict=True)
        if (words := _closing_words(space, closed, one, gap))
    ]
    spacer = spacer_for(gap, site.slats)
    rhythm = site.rhythm("slat")
    slats: tuple[tuple[Fraction, Fraction], ...] = ()
    if not rhythm.plain:
        starts, widths = starts_from(rhythm, gap, filled.spaces[0], filled.offset, filled.whole)
        slats = tuple(zip(starts, widths, strict=True))
    return Alternative(
        kind=kind,
        slat_count=count,
        gap=gap,
        ends=_ends_of(filled),
        reason=f"{lead}: {'; '.join(said) if said else 'both ends finish on a slat'}.",
        width=site.width,
        first=filled.spaces[0],
        start_space=filled.spaces[0],
        end_space=filled.spaces[1],
        start_slat=start.slat,
        end_slat=end.slat,
        widened=(start.widens, end.widens),
        spacer=spacer,
        drift=drift(site.slats, gap, spacer, count),
        reset_every=reset_every(site.slats, gap, spacer),
        regular=rhythm.plain,
        slats=slats,
    )


def _ends_of(filled: Filled) -> str:
    if any(closed.widens for closed in filled.closed):
        return "slat"
    if any(closed.slat for closed in filled.closed):
        return "closing slat"
    return "closing gap" if any(filled.spaces) else "slat"


def _closing_words(space: Fraction, closed: Closed, end: RunEnd, gap: Fraction) -> str:
    if closed.slat:
        return f"closing slat of {mm(closed.slat)} mm at the {end.name} end, ripped"
    if closed.widens:
        what = "shadow gap" if end.shadow_gap else "trim"
        return f"{mm(closed.widens)} mm more {what} at the {end.name} end"
    if space == gap:
        return f"a gap at the {end.name} end"
    return f"closing gap of {mm(space)} mm at the {end.name} end" if space else ""
