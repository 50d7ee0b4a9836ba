"""Boards behind the grid: panels with their cut-outs, parts, weight, loose slats and fixing points."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from meshes.layout.across import Cuts, board_cuts, calm_spans
from meshes.layout.bands import blocked_under, wider_bands, zone_rect
from meshes.layout.cleared import with_cleared
from meshes.layout.fixings import Ground, fix_panel
from meshes.layout.grid import Grid
from meshes.layout.openings import ACCESSORIES, board_hole, cutouts_of, slat_hole
from meshes.layout.panels import Division, divide
from meshes.layout.placed import Band, Fixing, Panel, Slat
from meshes.layout.rect import Rect
from meshes.layout.sharing import Row
from meshes.layout.spacing import Panels, Slats
from meshes.layout.spans import Span, SpanIndex
from meshes.layout.survey import Opening, Wall, Zone
from meshes.layout.words import numbered

MM3_PER_M3 = 1_000_000_000
ZERO = Fraction(0)
SQUARE = (ZERO, ZERO)
CLOSED_ENDS = ("wall", "inside_corner")


def place(
    grid: Grid,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    bands: Sequence[Band],
    slats: Slats,
    panels: Panels,
) -> tuple[tuple[Slat, ...], tuple[Panel, ...], tuple[str, ...]]:
    """Slats and panels on the wall, numbered from left to right or from the floor up, and what is amiss."""
    axes = grid.axes
    row = row_of(grid, wall, zones, slats, panels)
    access = [axes.across(zone_rect(zone)) for zone in zones if zone.kind == "access"]
    division = divide(row, panels, access)
    ground = _ground(grid, wall, openings, zones, bands, division)
    holes = SpanIndex(
        (axes.across(hole), (index, hole)) for index, hole in enumerate(map(board_hole, openings))
    )
    last = len(division.outlines) - 1
    loose_end = {grid.count - 1} if row.span[1] < axes.across(grid.face.rect)[1] else set()
    loose: set[int] = set(loose_end)
    made: list[Panel] = []
    amiss: dict[str, list[int]] = {}
    owner: dict[int, int] = {}
    for index, (outline, own) in enumerate(zip(division.outlines, division.slats, strict=True)):
        number = index if axes.forward else last - index
        fixed = fix_panel(ground, own, outline, board_reach(grid, outline), panels)
        loose.update(fixed.loose)
        owner.update(dict.fromkeys(own, number))
        for words in fixed.amiss:
            amiss.setdefault(words, []).append(number + 1)
        points = [
            _fixing(grid, along_run, along_slat, slat, bool(ground.studs))
            for along_run, along_slat, slat in fixed.points
        ]
        made.append(
            _panel(
                grid,
                zones,
                panels,
                number,
                outline,
                holes=holes,
                slats=tuple(sorted(grid.number(slat) for slat in own)),
                weight=row.weight_kg(outline, own),
                removable=index in division.removable,
                fixings=points,
            )
        )
    made.sort(key=lambda panel: panel.index)
    slats_made = [
        Slat(
            index=grid.number(index),
            extent=axes.slat(start, width, *grid.reach[index]),
            pieces=tuple(axes.slat(start, width, *piece) for piece in grid.pieces[index]),
            panel=owner[index],
            loose=index in loose,
            rise=grid.rises[index] if grid.rises is not None else SQUARE,
        )
        for index, (start, width) in enumerate(zip(grid.starts, grid.widths, strict=True))
    ]
    slats_made.sort(key=lambda slat: slat.index)
    said = tuple(f"{numbered('Panel', 'Panels', numbers)}: {words}." for words, numbers in amiss.items())
    return tuple(slats_made), with_cleared(made, slats_made, panels.cleared), said


def row_of(grid: Grid, wall: Wall, zones: Sequence[Zone], slats: Slats, panels: Panels) -> Row:
    """The slats as the division into panels sees them."""
    axes = grid.axes
    start, end = axes.across(grid.face.rect)
    low = min(bottom for bottom, _ in grid.reach)
    rises = grid.rises or (SQUARE,) * grid.count
    lengths = [
        top - bottom + sum(rise, ZERO) / 2 for (bottom, top), rise in zip(grid.reach, rises, strict=True)
    ]
    high = max(top for _, top in grid.reach)

    def board_height(outline: Span) -> Fraction:
        bottom, top = board_reach(grid, outline)
        return top - bottom

    wrap = panels.fabric_mm
    cuts = cuts_for(low + wrap, high - wrap, (), axes.upright, panels)
    marks = [low + wrap, *cuts.at, high - wrap]
    depth = slats.as_machined_mm.depth if slats.as_machined_mm else slats.depth_mm
    return Row(
        middles=grid.middles,
        widths=grid.widths,
        lengths=lengths,
        board_height=board_height,
        span=(start, end - end_clearance(wall, slats, panels)),
        height=high - low,
        part_heights=tuple(after - before for before, after in pairwise(marks)),
        board_kg_per_mm2=panels.thickness_mm * panels.density_kg_m3 / MM3_PER_M3,
        slat_kg_per_mm2=depth * slats.density_kg_m3 / MM3_PER_M3,
    )


def end_clearance(wall: Wall, slats: Slats, panels: Panels) -> Fraction:
    """Room beside the last panel, so that it goes in; none at an open end, where it goes in from the side."""
    if slats.run == "level":
        far_is_closed = True
    else:
        far = wall.left if slats.datum == "right" else wall.right
        far_is_closed = far.meets in CLOSED_ENDS
    return panels.side_clearance_mm if far_is_closed else Fraction(0)


def cuts_for(low: Fraction, high: Fraction, hidden: Sequence[Span], upright: bool, panels: Panels) -> Cuts:
    """Joints across a board from ``low`` to ``high`` for the sheet's longer side."""
    return board_cuts(low, high, max(panels.sheet_mm), calm_spans(low, high, hidden, upright))


def board_reach(grid: Grid, outline: Span) -> Span:
    """(low, high) along the slats of the board at an outline, cloth included: cut level under the ceiling."""
    axes = grid.axes
    low, high = axes.along(grid.face.rect)
    if grid.face.sweep is not None and axes.upright:
        places = sorted((axes.at(outline[0]), axes.at(outline[1])))
        high = grid.face.sweep.lowest_between(places[0], places[1])
    return low, high


def _panel(
    grid: Grid,
    zones: Sequence[Zone],
    panels: Panels,
    number: int,
    outline: Span,
    *,
    holes: SpanIndex[tuple[int, Rect]],
    slats: tuple[int, ...],
    weight: Fraction,
    removable: bool,
    fixings: Sequence[Fixing],
) -> Panel:
    axes = grid.axes
    wrap = panels.fabric_mm
    low, high = board_reach(grid, outline)
    board = axes.rect(outline[0] + wrap, outline[1] - wrap, low + wrap, high - wrap)
    hidden = [
        axes.along(rect)
        for rect in (zone_rect(zone) for zone in zones if zone.kind == "hidden")
        if axes.across(rect)[0] <= outline[0] and axes.across(rect)[1] >= outline[1]
    ]
    cuts = cuts_for(low + wrap, high - wrap, hidden, axes.upright, panels)
    marks = [low + wrap, *cuts.at, high - wrap]
    return Panel(
        index=number,
        board=board,
        cutouts=cutouts_of(
            board, (hole for _, hole in sorted(holes.meeting(*outline), key=lambda one: one[0]))
        ),
        slats=slats,
        wrap=wrap,
        parts=tuple(
            axes.rect(outline[0] + wrap, outline[1] - wrap, bottom, top) for bottom, top in pairwise(marks)
        ),
        weight_kg=weight,
        removable=removable,
        fixings=tuple(fixings),
    )


def _ground(
    grid: Grid,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    bands: Sequence[Band],
    division: Division,
) -> Ground:
    axes = grid.axes
    kept_fast = [axes.across(zone_rect(zone)) for zone in zones if zone.kind == "raking_light"]
    pitch = grid.starts[1] - grid.starts[0] if grid.count > 1 else grid.widths[0]
    for opening in openings:
        if opening.kind in ACCESSORIES:
            start, end = axes.across(slat_hole(opening))
            kept_fast.append((start - pitch, end + pitch))
    upright = axes.upright
    run = axes.across(grid.face.rect)
    level = [band for band in bands if band.lower is None]
    local, everywhere = wider_bands(((axes.across(band.rect), axes.along(band.rect)) for band in level), run)
    slopes = [(band.lower, band.rect.top) for band in bands if band.lower is not None]

    def sloping(place: Fraction) -> list[Span]:
        at = axes.at(place)
        found = (blocked_under(lower, top, at, upright=upright) for lower, top in slopes)
        return [span for spans in found for span in spans]

    studs = tuple(sorted(axes.place(at) if upright else at for at in wall.studs_mm))
    return Ground(
        starts=grid.starts,
        middles=grid.middles,
        widths=grid.widths,
        pieces=grid.pieces,
        bands=local,
        everywhere=everywhere,
        sloping=sloping,
        kept_fast=SpanIndex((span, None) for span in kept_fast),
        joints=frozenset(joint.slat for joint in division.joints),
        studs=studs,
        upright=upright,
    )


def _fixing(grid: Grid, along_run: Fraction, along_slat: Fraction, slat: int, on_stud: bool) -> Fixing:
    at = grid.axes.at(along_run)
    x, y = (at, along_slat) if grid.axes.upright else (along_slat, at)
    return Fixing(x=x, y=y, slat=grid.number(slat), on_stud=on_stud)
