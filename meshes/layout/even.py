"""Spacings with one solved gap: a slat more or less, ends on slats or on gaps."""

from collections.abc import Iterator
from fractions import Fraction

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.closing import gap_in_range, visible_taper
from meshes.layout.gaps import EvenGap, even_gaps, starts_of, widths_of
from meshes.layout.site import Site
from meshes.layout.spacer import drift, reset_every, spacer_for
from meshes.layout.words import mm


def even_spacings(site: Site) -> Iterator[Alternative | Rejected]:
    """Even gaps around the wish, those that a rule forbids named with it."""
    wish = site.slats.gap_mm
    best = even_gaps(site.run, site.rhythm(site.slats.ends), reach=2)
    other = "gap" if site.slats.ends == "slat" else "slat"
    listed: list[tuple[EvenGap, str]] = [(even, site.slats.ends) for even in best]
    listed += [(even, other) for even in even_gaps(site.run, site.rhythm(other))]
    for even, ends in listed:
        outside = gap_in_range(even.gap, site.slats.gap_range_mm)
        tapers = [visible_taper(even.gap, end) for end in site.ends] if ends == "gap" else []
        rule = outside or next((taper for taper in tapers if taper), "")
        asked = ends == site.slats.ends and site.slats.spacing == "even"
        if outside or (rule and not asked):
            yield Rejected(kind="even", gap=even.gap, rule=rule)
        else:
            yield even_choice(site, even, ends, f"{_against(even.gap, wish)}; {_ends_words(site, ends)}.")


def even_choice(site: Site, even: EvenGap, ends: str, reason: str) -> Alternative:
    """An even gap as a choice."""
    rhythm = site.rhythm(ends)
    start, end = (even.gap if kind == "gap" else Fraction(0) for kind in rhythm.ends)
    spacer = spacer_for(even.gap, site.slats)
    return Alternative(
        kind="even",
        slat_count=even.count,
        gap=even.gap,
        ends=ends,
        reason=reason,
        width=site.width,
        first=start,
        start_space=start,
        end_space=end,
        spacer=spacer,
        drift=drift(site.slats, even.gap, spacer, even.count),
        reset_every=reset_every(site.slats, even.gap, spacer),
        regular=rhythm.plain,
        slats=()
        if rhythm.plain
        else tuple(zip(starts_of(rhythm, even), widths_of(rhythm, even.count), strict=True)),
    )


def _against(gap: Fraction, wish: Fraction) -> str:
    if gap == wish:
        return f"Even gap of {mm(gap)} mm, as wished"
    if mm(gap) == mm(wish):
        return f"Even gap of {mm(gap)} mm, the wish within 0.1 mm"
    off = f"{mm(abs(gap - wish))} mm {'over' if gap > wish else 'under'}"
    return f"Even gap of {mm(gap)} mm, {off} the wish"


def _ends_words(site: Site, ends: str) -> str:
    if ends == "slat" and any(site.at_corner):
        return "a gap in the corner, the other end finishes on a slat"
    return f"both ends finish on a {ends}"
