"""Slats and panels that do not go with the wall, with the nearest thing that does."""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.across import ABOVE_EYES_MM, STAGGER_MM, slat_cuts
from meshes.layout.alternative import Alternative
from meshes.layout.bands import zone_rect
from meshes.layout.boards import cuts_for
from meshes.layout.choices import choices, wanted
from meshes.layout.cleared import covers
from meshes.layout.face import Face, face_of
from meshes.layout.gaps import even_gaps, gap_for
from meshes.layout.setout import set_out
from meshes.layout.site import Corner, Site, site_of
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone
from meshes.layout.words import counted, mm

Problem = tuple[str, str]


def spacing(
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    corner: Corner | None,
    *,
    alone: bool,
) -> list[Problem]:
    """What does not fit. ``alone``: nothing else is wrong, so that the wall can be set out to look."""
    problems = _asked(wall, slats)
    if problems:
        return problems
    starts_at = corner.starts_at if corner else Fraction(0)
    face = face_of(wall, build_up=Fraction(0), starts_at=starts_at)
    site = site_of(wall, slats, face, corner)
    problems = _size(site, slats, face) or _nothing_wanted(site, slats)
    problems += _lengths(face, zones, slats, panels)
    if not problems and alone and panels.cleared:
        problems += _cleared(wall, openings, zones, slats, panels, corner)
    return problems


def size_alone(wall: Wall, slats: Slats, corner: Corner | None) -> list[Problem]:
    """Whether upright slats fit a width that is sound, where the wall's height is not."""
    face = face_of(wall, build_up=Fraction(0), starts_at=corner.starts_at if corner else Fraction(0))
    return _asked(wall, slats) or _size(site_of(wall, slats, face, corner), slats, face)


def _asked(wall: Wall, slats: Slats) -> list[Problem]:
    """Keys that contradict each other before any length is looked at."""
    found = []
    allowed = ("left", "right") if slats.run == "upright" else ("bottom", "top")
    if slats.datum is not None and slats.datum not in allowed:
        found.append(
            (
                "slats.datum",
                f'{slats.run} slats are measured from "{allowed[0]}" or "{allowed[1]}", not "{slats.datum}"',
            )
        )
    pattern = slats.pattern
    plain = len(set(pattern.widths_mm)) <= 1 and pattern.group == 1 and pattern.last_to_first == 1
    if slats.spacing != "even" and pattern.last_to_first != 1:
        found.append(
            (
                "slats.spacing",
                f'"{slats.spacing}" has one gap, and these are graded; set it to "even", or leave '
                "slats.pattern.last_to_first out",
            )
        )
    if slats.shift_for_openings and not plain:
        found.append(("slats.shift_for_openings", "a pattern cannot be shifted; leave it out"))
    if pattern.widths_mm and slats.as_machined_mm is not None:
        found.append(
            ("slats.as_machined_mm", "goes with one width; give slats.pattern.widths_mm as machined")
        )
    if slats.spacing == "feature" and slats.feature_mm is None:
        found.append(("slats.feature_mm", 'missing; spacing "feature" needs the line to centre on'))
    open_ends = [end.meets for end in (wall.left, wall.right)].count("open")
    if slats.spacing == "visible_end" and (slats.run == "level" or open_ends != 1):
        found.append(("slats.spacing", f'"visible_end" needs one open end; here are {open_ends}'))
    return found


def _size(site: Site, slats: Slats, face: Face) -> list[Problem]:
    """Slats that are too wide for the run."""
    width = max(site.rhythm(slats.ends).cycle)
    made = "slats.as_machined_mm.width" if slats.as_machined_mm else "slats.width_mm"
    path = "slats.pattern.widths_mm" if slats.pattern.widths_mm else made
    if site.feature is not None and not 0 <= site.feature <= site.run:
        rect = face.rect
        low, high = (rect.left, rect.right) if slats.run == "upright" else (rect.bottom, rect.top)
        outside = f"{mm(slats.feature_mm or Fraction(0))} lies outside the run"
        return [("slats.feature_mm", f"{outside}; give {mm(low)} to {mm(high)}")]
    if width > site.run:
        return [(path, f"{mm(width)} is wider than the run of {mm(site.run)}; give at most {mm(site.run)}")]
    if even_gaps(site.run, site.rhythm(slats.ends)):
        return []
    if not site.rhythm(slats.ends).plain:
        least = site.rhythm(slats.ends).fixed(slats.pattern.group)
        return [(path, f"one group takes {mm(least)} of the run of {mm(site.run)}; give a smaller pattern")]
    single = gap_for(site.run, site.rhythm("gap"), 1)
    shown = mm(single.gap) if single is not None else "0"
    return [
        (
            path,
            f'{mm(width)} does not fit twice into the run of {mm(site.run)}; nearest: ends "gap" with one '
            f"slat and {shown} each side, or two slats of at most {mm(site.run / 2)}",
        )
    ]


def _nothing_wanted(site: Site, slats: Slats) -> list[Problem]:
    """The spacing asked for does not work here: the rule that forbids it, and the nearest that does."""
    works, rejected = choices(site)
    if wanted(site, works) is not None:
        return []
    path = "slats.gap_range_mm" if slats.spacing == "even" else "slats.spacing"
    owned = slats.spacers_mm if slats.spacing == "spacer" else ()
    # a gap outside the allowed range is rejected whatever closes the run
    closings = {slats.closing, ""} if slats.spacing in ("spacer", "visible_end") else None
    rules = [
        one.rule
        for one in rejected
        if one.kind == slats.spacing
        and (closings is None or one.closing in closings)
        and (not owned or one.gap in owned)
    ]
    if not rules:
        what = f'"{slats.spacing}" with closing "{slats.closing}" finds no place on this wall'
    else:
        what = f'"{slats.spacing}" does not work here: {rules[0].rstrip(".")}'
    return [(path, f"{what}; {_nearest(site, works)}")]


def _nearest(site: Site, works: Sequence[Alternative]) -> str:
    if works:
        best = works[0]
        return (
            f"nearest that does: {counted(best.slat_count, 'slat', 'slats')} with a gap of {mm(best.gap)} mm "
            f"({_how(best)})"
        )
    even = even_gaps(site.run, site.rhythm(site.slats.ends))[0]
    return f"nearest that does: {counted(even.count, 'slat', 'slats')} with an even gap of {mm(even.gap)} mm"


def _how(choice: Alternative) -> str:
    """What to write into the job for a choice."""
    if choice.kind == "even":
        return f'slats.spacing "even", slats.ends "{choice.ends}"'
    words = f'slats.spacing "{choice.kind}"'
    if choice.kind in ("centred", "feature"):
        return f'{words}, slats.centre_on "{choice.centred_on}"'
    return f'{words}, slats.closing "{choice.closing}"' if choice.remainder else words


def _lengths(face: Face, zones: Sequence[Zone], slats: Slats, panels: Panels) -> list[Problem]:
    """Joints across slats and boards that cannot be placed where they show least."""
    found: list[Problem] = []
    upright = slats.run == "upright"
    rect = face.rect
    low, high = (rect.bottom, rect.top) if upright else (rect.left, rect.right)
    longest = slats.longest_mm
    if longest is not None and high - low > longest and slat_cuts(low, high, longest, ()) is None:
        least = max((high - low + STAGGER_MM) / 2, 2 * STAGGER_MM)
        found.append(
            (
                "slats.longest_mm",
                f"{mm(longest)} is too short to stagger joints by {mm(STAGGER_MM)}; {mm(least)} would do",
            )
        )
    if not upright:
        return found
    hidden = [
        (rect_.bottom, rect_.top)
        for rect_ in (zone_rect(zone) for zone in zones if zone.kind == "hidden")
        if rect_.left <= rect.left and rect_.right >= rect.right
    ]
    wrap = panels.fabric_mm
    cuts = cuts_for(low + wrap, high - wrap, hidden, upright, panels)
    if not cuts.unseen:
        places = ", ".join(mm(at) for at in cuts.at)
        least = min(high - low - 2 * wrap, ABOVE_EYES_MM - low)
        found.append(
            (
                "panels.sheet_mm",
                f"boards {mm(high - low - 2 * wrap)} high would be jointed across at {places}, in plain "
                f"sight; give a sheet at least {mm(least)} long",
            )
        )
    return found


def _cleared(
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    corner: Corner | None,
) -> list[Problem]:
    """Cleared points that no slat would cover, or that lie over the board behind it."""
    laid = set_out(wall=wall, openings=openings, zones=zones, slats=slats, panels=panels, corner=corner)
    found = []
    for index, point in enumerate(panels.cleared):
        over = next((slat for slat in laid.slats if covers(slat.pieces, point)), None)
        if over is not None:
            top, at = laid.panels[over.panel].outline.top, mm(point.bottom_mm)
            if point.bottom_mm >= top:
                words = f"{at} lies over the board behind the slat; give less than {mm(top)}"
                found.append((f"panels.cleared[{index}].bottom_mm", words))
            continue
        near = min(
            (slat.extent for slat in laid.slats),
            key=lambda extent: abs(extent.left + extent.width / 2 - point.left_mm),
        )
        found.append(
            (
                f"panels.cleared[{index}]",
                f"{mm(point.left_mm)}, {mm(point.bottom_mm)} is not behind a slat; the nearest has its "
                f"middle at {mm(near.left + near.width / 2)}",
            )
        )
    return found
