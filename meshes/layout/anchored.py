"""Spacings that start from somewhere: a spacer from the datum, the middle, a feature, the visible end."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from meshes.layout.closing import gap_in_range
from meshes.layout.even import even_choice
from meshes.layout.gaps import even_gaps
from meshes.layout.given import Found, closed_spacing
from meshes.layout.site import Site
from meshes.layout.spacer import spacers_to_try
from meshes.layout.walking import span
from meshes.layout.words import mm

HALF = Fraction(1, 2)


def _name(site: Site, centred_on: str) -> str:
    if centred_on == "gap":
        return "A gap"
    pattern = site.slats.pattern
    if len(set(pattern.widths_mm)) > 1:
        return "One repeat of the pattern"
    return "A slat" if pattern.group == 1 else "A group"


def anchored_spacings(site: Site) -> Iterator[Found]:
    """Every spacing that is not just an even gap from end to end."""
    yield from _spacers(site)
    if site.run >= max(site.rhythm("slat").cycle) + site.slats.gap_mm:
        yield from _centred(site)
        yield from _on_feature(site)
        yield from _from_visible_end(site)


def _spacers(site: Site) -> Iterator[Found]:
    for gap in spacers_to_try(site.slats):
        start = gap if site.at_corner[0] else Fraction(0)
        for closing in ("slat", "gap", "shadow_gap", "trim"):
            lead = f"Spacer of {mm(gap)} mm from the datum"
            yield from closed_spacing(site, "spacer", gap, start, closing, lead)


def _centred(site: Site) -> Iterator[Found]:
    """With a solved gap an odd count puts a slat in the middle; with the wished gap both ends are alike."""
    lead = "{} stands in the middle of the run"
    rhythm = site.rhythm("slat")
    if rhythm.plain and not any(site.at_corner):
        for ends in ("slat", "gap"):
            for even in even_gaps(site.run, site.rhythm(ends)):
                if gap_in_range(even.gap, site.slats.gap_range_mm):
                    continue
                centred_on = "slat" if even.count % 2 else "gap"
                name = lead.format(_name(site, centred_on))
                words = f"{name}: even gap of {mm(even.gap)} mm, both ends on a {ends}."
                choice = even_choice(site, even, ends, words)
                yield replace(choice, kind="centred", centred_on=centred_on)
    wish = site.slats.gap_mm
    for centred_on in ("slat", "gap"):
        anchor = site.run / 2 - _to_middle(span(rhythm, wish), wish, centred_on)
        words = lead.format(_name(site, centred_on))
        for closing in ("slat", "gap"):
            yield from closed_spacing(site, "centred", wish, anchor, closing, words, centred_on)


def _on_feature(site: Site) -> Iterator[Found]:
    """With the wished gap, and with gaps solved so that whole slats reach from the datum to the feature."""
    line = site.feature
    if line is None:
        return
    rhythm = site.rhythm("slat")
    wish, width = site.slats.gap_mm, span(rhythm, site.slats.gap_mm)
    for centred_on in ("slat", "gap"):
        words = f"{_name(site, centred_on)} is centred on the feature"
        anchor = line - _to_middle(width, wish, centred_on)
        yield from closed_spacing(site, "feature", wish, anchor, "either", words, centred_on)
        if not rhythm.plain:
            continue
        pitches = int(anchor // (width + wish))
        for count in (pitches, pitches + 1):
            if centred_on == "slat":
                gap = (line - width / 2) / count - width if count else Fraction(-1)
            else:
                gap = (line - count * width) / (count - HALF) if count else Fraction(-1)
            if gap > 0 and not site.at_corner[0]:
                lead = f"{words}, whole slats from the datum, gap {mm(gap)} mm"
                yield from closed_spacing(site, "feature", gap, Fraction(0), "either", lead, centred_on)


def _to_middle(width: Fraction, gap: Fraction, centred_on: str) -> Fraction:
    """From the start of a slat, or of a pattern, to its own middle, or back to that of the gap before it."""
    return width / 2 if centred_on == "slat" else -gap / 2


def _from_visible_end(site: Site) -> Iterator[Found]:
    opened = [number for number, end in enumerate(site.ends) if end.open]
    if len(opened) != 1:
        return
    gap = site.slats.gap_mm
    anchor = Fraction(0) if opened[0] == 0 else site.run - span(site.rhythm("slat"), gap)
    for closing in ("slat", "gap"):
        yield from closed_spacing(site, "visible_end", gap, anchor, closing, "Whole slats from the open end")
