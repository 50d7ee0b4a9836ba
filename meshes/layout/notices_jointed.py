"""Notices about joints across slats and boards: where they are, and which of them show."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from meshes.layout.across import ABOVE_EYES_MM, STAGGER_MM
from meshes.layout.bands import zone_rect
from meshes.layout.grid import Grid
from meshes.layout.placed import Panel
from meshes.layout.rect import Rect
from meshes.layout.spacing import Slats
from meshes.layout.spans import Span
from meshes.layout.survey import Zone
from meshes.layout.words import mm, numbered


def slat_joints(slats: Slats, grid: Grid, zones: Sequence[Zone]) -> Iterator[str]:
    """Where slats longer than their stock are joined, and which joints nothing hides."""
    if grid.joints is None:
        return
    even, odd = grid.joints
    places = ", ".join(mm(at) for at in even.at), ", ".join(mm(at) for at in odd.at)
    shown = _slats_that_show(grid, zones)
    yield (
        f"Slats are longer than {mm(slats.longest_mm or Fraction(0))} mm: joints at {places[0]} mm and at "
        f"{places[1]} mm in turn, staggered {mm(STAGGER_MM)} mm (common practice).{shown}"
    )


def _slats_that_show(grid: Grid, zones: Sequence[Zone]) -> str:
    hidden = _hidden(zones)
    jointed, showing = 0, []
    for index, pieces in enumerate(grid.pieces):
        joints = [high for (_, high), (low, _) in pairwise(pieces) if high == low]
        start = grid.starts[index]
        jointed += bool(joints)
        if any(_shows(grid, at, (start, start + grid.widths[index]), hidden) for at in joints):
            showing.append(grid.number(index) + 1)
    if not showing:
        return ""
    if len(showing) == jointed:
        return " They show: no higher place or hidden zone is in reach."
    return f" {numbered('That of slat', 'Those of slats', showing)} show: nothing hides them."


def board_joints(boards: Sequence[Panel], grid: Grid, zones: Sequence[Zone]) -> Iterator[str]:
    """Where boards longer than the sheet are joined, and which joints show in the gaps."""
    jointed = [panel for panel in boards if len(panel.parts) > 1]
    if not jointed:
        return
    axes, hidden = grid.axes, _hidden(zones)
    places = sorted({axes.along(part)[0] for panel in jointed for part in panel.parts[1:]})
    showing = [
        panel.index + 1
        for panel in jointed
        if any(_shows(grid, axes.along(part)[0], axes.across(part), hidden) for part in panel.parts[1:])
    ]
    if not showing:
        where = f"above {mm(ABOVE_EYES_MM)} mm or behind a hidden zone"
    elif len(showing) == len(jointed):
        where = "where they show in the gaps"
    else:
        where = f"{numbered('that of panel', 'those of panels', showing)} in sight"
    yield f"Boards are longer than the sheet: jointed across at {', '.join(map(mm, places))} mm, {where}."


def _hidden(zones: Sequence[Zone]) -> list[Rect]:
    return [zone_rect(zone) for zone in zones if zone.kind == "hidden"]


def _shows(grid: Grid, at: Fraction, across: Span, hidden: Sequence[Rect]) -> bool:
    """Whether a joint ``at`` along the slats is below 2 m (upright ones) and not all behind one zone."""
    axes = grid.axes
    if axes.upright and at >= ABOVE_EYES_MM:
        return False
    return not any(
        axes.along(zone)[0] <= at <= axes.along(zone)[1]
        and axes.across(zone)[0] <= across[0]
        and across[1] <= axes.across(zone)[1]
        for zone in hidden
    )
