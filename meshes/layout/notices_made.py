"""Notices about what was placed: openings, pieces, joints and panels; slats and panels counted from 1."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import degrees

from meshes.layout.grid import Grid
from meshes.layout.leaf import beside, edge_stop, handle_stop
from meshes.layout.openings import PLATED, named, opening_rect
from meshes.layout.placed import BuildUp, Panel
from meshes.layout.rect import Rect
from meshes.layout.sharing import LEAST_BEARING_MM, bearing
from meshes.layout.shift import SHORTEST_PIECE_MM
from meshes.layout.spacing import Panels
from meshes.layout.survey import Opening
from meshes.layout.words import mm, numbered

LONGEST_FREE_MM = Fraction(100)
"""A slat's end stands no further than this over the board that it is pinned to (common practice)."""


def at_openings(openings: Sequence[Opening], build_up: BuildUp, grid: Grid) -> Iterator[str]:
    """Architraves that the build-up stands over, plate edges over slats, and leaves that fold back."""
    for opening in openings:
        name = named(opening)
        over = build_up.total - opening.architrave_projection_mm
        if opening.architrave_mm and over > 0:
            yield (
                f"The build-up of {mm(build_up.total)} mm stands {mm(over)} mm over the architrave of "
                f"{name}: close the edge with a trim at least {mm(over)} mm deep."
            )
        if opening.kind in PLATED:
            yield from _plate_edges(name, opening_rect(opening), grid)
        if opening.leaf is not None:
            yield _leaf(name, opening, build_up)


def _plate_edges(name: str, plate: Rect, grid: Grid) -> Iterator[str]:
    """A plate edge over a slat: the slat is cut right across, and beside the plate cloth shows."""
    start, end = grid.axes.across(plate)
    for edge, near_end in ((start, True), (end, False)):
        slat = _slat_over(edge, grid)
        if slat is None:
            continue
        at = grid.starts[slat]
        bare = edge - at if near_end else at + grid.widths[slat] - edge
        yield (
            f"An edge of {name} lies over slat {grid.number(slat) + 1}: {mm(bare)} mm of cloth show beside "
            "the plate where that slat is cut."
        )


def _slat_over(place: Fraction, grid: Grid) -> int | None:
    low, high = 0, grid.count
    while low < high:
        middle = (low + high) // 2
        if grid.starts[middle] < place:
            low = middle + 1
        else:
            high = middle
    slat = low - 1
    return slat if slat >= 0 and place < grid.starts[slat] + grid.widths[slat] else None


def _leaf(name: str, opening: Opening, build_up: BuildUp) -> str:
    """How far a leaf opens before its handle meets the slats, or the leaf itself their edge beside it."""
    leaf = opening.leaf
    assert leaf is not None
    by_handle, by_edge = handle_stop(opening, build_up), edge_stop(opening, build_up)
    hinge = opening.left_mm if leaf.hinge == "left" else opening.left_mm + opening.width_mm
    sweep = (hinge - leaf.width_mm, hinge) if leaf.hinge == "left" else (hinge, hinge + leaf.width_mm)
    said = (
        f"The leaf of {name} folds back over {mm(sweep[0])} to {mm(sweep[1])} mm: with its handle "
        f"{mm(leaf.handle_mm)} mm out it opens to {180 - degrees(by_handle):.0f}° before it meets the slats; "
        "set a stop."
    )
    if by_edge <= by_handle:
        return said
    level = "level with the architrave" if opening.architrave_projection_mm else "in the wall's plane"
    return (
        f"{said} Hung {level} it meets the edge of the slats, {beside(opening):.0f} mm beside the opening, "
        f"at {180 - degrees(by_edge):.0f}° already: the hinge must stand farther out."
    )


def short_pieces(grid: Grid) -> Iterator[str]:
    """Pieces that split at the pin, those of one length together."""
    short: dict[str, list[int]] = {}
    for index, pieces in enumerate(grid.pieces):
        for low, high in pieces:
            if high - low < SHORTEST_PIECE_MM:
                short.setdefault(mm(high - low), []).append(grid.number(index) + 1)
    for length, slats in short.items():
        keep = "keeps" if len(slats) == 1 else "keep"
        yield (
            f"{numbered('Slat', 'Slats', slats)} {keep} a piece of only {length} mm "
            f"(under {mm(SHORTEST_PIECE_MM)}, common practice)."
        )


def over_boards(boards: Sequence[Panel], grid: Grid) -> Iterator[str]:
    """Slats cut to a ceiling that slopes, over boards that end level: what stands with nothing behind."""
    if grid.rises is None:
        return
    tops = {slat: panel.outline.top for panel in boards for slat in panel.slats}
    free: list[int] = []
    held_short: list[int] = []
    furthest = Fraction(0)
    for index, (pieces, (_, top), rise) in enumerate(zip(grid.pieces, grid.reach, grid.rises, strict=True)):
        number = grid.number(index)
        for low, high in pieces:
            over = high + (max(rise) if high == top else 0) - tops[number]
            if over > LONGEST_FREE_MM:
                furthest = max(furthest, over)
                free.append(number + 1)
            if over > 0 and tops[number] - low < over:
                held_short.append(number + 1)
    if free:
        stand = "stands" if len(set(free)) == 1 else "stand"
        yield (
            f"{numbered('Slat', 'Slats', free)} {stand} up to {mm(furthest)} mm over the level tops of their "
            f"boards (over {mm(LONGEST_FREE_MM)}, common practice): fix a strip behind them, or cut those "
            "boards to the slope as well."
        )
    if held_short:
        have = "has a piece" if len(set(held_short)) == 1 else "have pieces"
        yield (
            f"{numbered('Slat', 'Slats', held_short)} {have} with less than half of it on its board, which "
            "ends level under the ceiling: fix a strip behind, or cut the board to the slope."
        )


def about_panels(panels: Panels, boards: Sequence[Panel], grid: Grid) -> Iterator[str]:
    """Thin bearing at joints, and panels that are too wide, too heavy or too large for the way in."""
    bridging = [grid.widths[index] for index in _bridging(boards, grid)]
    least = min((bearing(width, panels) for width in bridging), default=LEAST_BEARING_MM)
    if least < LEAST_BEARING_MM:
        yield (
            f"Joints have only {mm(least)} mm of slat over each board edge "
            f"({mm(LEAST_BEARING_MM)} is common practice): glue a cleat behind each joint."
        )
    across = [panel.outline.width if grid.axes.upright else panel.outline.height for panel in boards]
    if max(across) > panels.max_width_mm:
        yield (
            f"A panel of {mm(max(across))} mm is wider than the {mm(panels.max_width_mm)} mm allowed: one "
            "pitch, or what an access zone needs, is already more."
        )
    heaviest = max(panel.weight_kg for panel in boards)
    if heaviest > panels.max_weight_kg:
        yield (
            f"The heaviest panel weighs about {mm(heaviest)} kg, over {mm(panels.max_weight_kg)} kg: it "
            "takes two to carry."
        )
    if panels.way_in_mm is not None:
        narrow, long = sorted(panels.way_in_mm)
        if any(
            min(p.board.width, p.board.height) > narrow or max(p.board.width, p.board.height) > long
            for p in boards
        ):
            yield f"Panels do not get in through {mm(narrow)} × {mm(long)} mm: joint boards in the room."


def _bridging(boards: Sequence[Panel], grid: Grid) -> list[int]:
    """The slats, from the datum on, behind which two boards meet."""
    axes = grid.axes
    found = []
    edges = sorted(axes.across(panel.outline) for panel in boards)
    at = 0
    for (_, end), (start, _) in pairwise(edges):
        middle = (start + end) / 2
        while at < grid.count and grid.middles[at] < middle:
            at += 1
        if at < grid.count and grid.middles[at] == middle:
            found.append(at)
    return found
