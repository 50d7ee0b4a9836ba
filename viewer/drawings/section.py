"""Section across the slats, in up to three parts broken out of the run: one end, a joint, the other end.

::

      ___     ___     ___          slats, cut timber: hatched
     |///|   |///|   |///|
    =======================        fabric: one wide line
    \\\\\\\\\\\\\\\\\\\\\\\\        board: hatched the other way, open at a joint by the joint clearance
    :                     :        packing
    -----------------------        the wall
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.dimension import Stop, running_up, single
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch
from viewer.drawings.marks import across, marks
from viewer.drawings.scale import choose_scale, scale_bar

BREAK = 6.0
"""Paper between two broken-out parts [mm]."""
PARTS_FROM_MM = 130
FABRIC_TONE = "#5e5e5e"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A stretch of the run, [low, high] mm, drawn from ``x0`` on the sheet."""

    low: float
    high: float
    x0: float
    scale: float

    def x(self, at: float) -> float:
        return self.x0 + (at - self.low) * self.scale

    def clipped(self, start: Fraction, end: Fraction) -> tuple[float, float] | None:
        """The piece of [start, end] inside this part: x and width on the sheet."""
        low, high = max(float(start), self.low), min(float(end), self.high)
        return (self.x(low), (high - low) * self.scale) if high > low else None


def section(set_out: SetOut, *, width_mm: float = 180, to_scale: bool = False) -> str:
    """SVG of the section; narrow sheets show one end only."""
    left, right, top = 14.0, 2.0, 9.0
    depth = float(set_out.build_up.total)
    windows = _windows(set_out, one=width_mm < PARTS_FROM_MM)
    shown = sum(high - low for low, high in windows)
    scale = choose_scale(
        shown, depth, width_mm - left - right - BREAK * (len(windows) - 1), 60, to_scale=to_scale
    )
    wall_y = top + depth * scale
    pen = p.Pen(
        width=width_mm,
        height=wall_y + 15,
        title=_("Section across the slats"),
        description=_describe(set_out),
    )
    x0 = left
    for number, (low, high) in enumerate(windows):
        part = _Part(low=low, high=high, x0=x0, scale=scale)
        _part(pen, set_out, part, wall_y)
        if number == 0:
            _rhythm(pen, set_out, part, wall_y)
        if number + 1 < len(windows):
            _break_line(pen, part.x(high) + BREAK / 2, top - 2, wall_y + 3)
        x0 = part.x(high) + BREAK
    _depths(pen, set_out, left, wall_y, scale)
    scale_bar(pen, x=left, y=pen.height - 3.4, units_per_mm=scale, to_scale=to_scale)
    return pen.svg(drawing="section", scale=round(scale, 9))


def _describe(set_out: SetOut) -> str:
    build_up = set_out.build_up
    return _(
        "From the wall out: packing {packing} mm, board {board} mm, fabric {fabric} mm, slat {slat} mm; "
        "slats {width} mm wide with gaps of {gap} mm."
    ).format(
        packing=figure(build_up.packing),
        board=figure(build_up.board),
        fabric=figure(build_up.fabric),
        slat=figure(build_up.slat),
        width=figure(set_out.slat_width),
        gap=figure(set_out.gap),
    )


def _windows(set_out: SetOut, *, one: bool) -> list[tuple[float, float]]:
    """The stretches shown, in mm along the run, not overlapping."""
    start, end = (float(place) for place in across(set_out))
    pitch = float(set_out.pitch)
    reach = 3.2 * pitch
    wall_end = float(set_out.wall_width if set_out.run == "upright" else set_out.wall_height)
    if one or end - start <= 3 * reach:
        return [(0.0 if start < pitch else start, min(end, start + 4.2 * pitch))]
    joints = [float(mark.at) for mark in marks(set_out) if mark.kind == "joint"]
    windows = [(0.0 if start < pitch else start - pitch / 4, start + reach)]
    middle = next(
        (at for at in joints if at - reach / 2 > windows[0][1] and at + reach / 2 < end - reach), None
    )
    if middle is not None:
        windows.append((middle - reach / 2, middle + reach / 2))
    windows.append((end - reach, min(end + pitch / 4, wall_end) if end + pitch < wall_end else wall_end))
    return windows


def _part(pen: p.Pen, set_out: SetOut, part: _Part, wall_y: float) -> None:
    build_up, scale, upright = set_out.build_up, part.scale, set_out.run == "upright"
    packing_y = wall_y - float(build_up.packing) * scale
    board_y = packing_y - float(build_up.board) * scale
    fabric_y = board_y - float(build_up.fabric) * scale
    slat_height = float(build_up.slat) * scale
    for panel in set_out.panels:
        start, end = _span(panel.board, upright)
        piece = part.clipped(start, end)
        if piece is None:
            continue
        x, width = piece
        if build_up.packing:
            pen.rect(x, packing_y, width, wall_y - packing_y, p.DASHED)
        pen.rect(x, board_y, width, packing_y - board_y, p.WIDE, "#ffffff")
        hatch(pen, x, board_y, width, packing_y - board_y, spacing=1.1, falling=True)
        pen.rect(x, fabric_y, width, max(board_y - fabric_y, p.EXTRA_WIDE.width), p.NONE, FABRIC_TONE)
    for slat in set_out.slats:
        piece = part.clipped(*_span(slat.extent, upright))
        if piece is None:
            continue
        x, width = piece
        with pen.group(mark="slat", index=slat.index):
            pen.rect(x, fabric_y - slat_height, width, slat_height, p.WIDE, "#ffffff")
            hatch(pen, x, fabric_y - slat_height, width, slat_height, spacing=1.6)
    for strip in set_out.trims:
        piece = part.clipped(*_span(strip.rect, upright)) if strip.side in _sides(upright) else None
        if piece is not None:
            pen.rect(
                piece[0], fabric_y - slat_height, piece[1], wall_y - fabric_y + slat_height, p.WIDE, "#ffffff"
            )
            hatch(
                pen,
                piece[0],
                fabric_y - slat_height,
                piece[1],
                wall_y - fabric_y + slat_height,
                spacing=1.6,
                falling=True,
            )
    x1, x2 = part.x(part.low), part.x(part.high)
    pen.line(x1, wall_y, x2, wall_y, p.EXTRA_WIDE)
    hatch(pen, x1, wall_y, x2 - x1, 2.6, spacing=2.2)


def _sides(upright: bool) -> Sequence[str]:
    return ("left", "right") if upright else ("bottom", "top")


def _span(rect: Rect, upright: bool) -> tuple[Fraction, Fraction]:
    return (rect.left, rect.right) if upright else (rect.bottom, rect.top)


def _rhythm(pen: p.Pen, set_out: SetOut, part: _Part, wall_y: float) -> None:
    """One slat and the gap after it, dimensioned above the first two slats of the part."""
    if len(set_out.slats) < 2:
        return
    upright = set_out.run == "upright"
    front = wall_y - float(set_out.build_up.total) * part.scale
    first, second = (_span(slat.extent, upright) for slat in set_out.slats[:2])
    for start, end in (first, (first[1], second[0])):
        single(
            pen,
            x1=part.x(float(start)),
            x2=part.x(float(end)),
            y=front - 3,
            from_y=front - 0.8,
            words=figure(end - start),
        )


def _depths(pen: p.Pen, set_out: SetOut, left: float, wall_y: float, scale: float) -> None:
    build_up = set_out.build_up
    depths = {
        build_up.total: 3,
        build_up.fabric_face: 2,
        build_up.packing + build_up.board: 0,
        build_up.packing: 1,
    }
    running_up(
        pen,
        [Stop(at=at, rank=rank) for at, rank in depths.items() if at > 0],
        y0=wall_y,
        x=left - 3.5,
        from_x=left - 0.8,
        units_per_mm=scale,
    )


def _break_line(pen: p.Pen, x: float, y1: float, y2: float) -> None:
    """ISO 128: a narrow line with a zigzag where the drawing leaves something out."""
    middle = (y1 + y2) / 2
    pen.path(f"M{x:.3f} {y1:.3f}V{middle - 2:.3f}l-1.4 1 2.8 2 -1.4 1V{y2:.3f}")
