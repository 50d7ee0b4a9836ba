"""Set-outs written out by hand, so that solids, light and stills are tested without the layout core."""

from fractions import Fraction

from meshes.layout.setout import BuildUp, Panel, Plate, Rect, SetOut, Slat, Strip


class Box:
    """A room as the solids see it [mm]."""

    def __init__(self, depth_mm=4000, beyond_left_mm=0, beyond_right_mm=0):
        self.depth_mm = depth_mm
        self.beyond_left_mm = beyond_left_mm
        self.beyond_right_mm = beyond_right_mm


def rect(left, bottom, width, height):
    return Rect(left=Fraction(left), bottom=Fraction(bottom), width=Fraction(width), height=Fraction(height))


def upright(
    count=10, width=40, depth=16, gap=Fraction(14), height=2400, bottom=0, panels=2, hole=None, **more
):
    """``count`` upright slats from x = 0 on, boards that meet behind a slat, one socket at ``hole``."""
    width, gap = Fraction(width), Fraction(gap)
    pitch = width + gap
    run = count * pitch - gap
    slats = []
    for index in range(count):
        extent = rect(index * pitch, bottom, width, height)
        slats.append(Slat(index=index, extent=extent, pieces=tuple(_pieces(extent, hole)), panel=0))
    joints = [Fraction(0), *((count * k // panels) * pitch + width / 2 for k in range(1, panels)), run]
    boards = []
    for index in range(panels):
        left = joints[index] + (1 if index else 0)
        right = joints[index + 1] - (1 if index + 1 < panels else 0)
        board = rect(left, bottom, right - left, height)
        cuts = (hole,) if hole and hole.left < right and hole.right > left else ()
        boards.append(Panel(index=index, board=board, cutouts=cuts, slats=()))
    plates = more.pop("plates", (Plate(index=0, kind="socket", rect=hole),) if hole else ())
    return SetOut(
        run="upright",
        wall_width=more.pop("wall_width", run),
        wall_height=more.pop("wall_height", Fraction(2500)),
        face=rect(0, bottom, run, height),
        skirting=more.pop("skirting", None),
        skirting_projection=more.pop("skirting_projection", Fraction(0)),
        slat_width=width,
        slat_depth=Fraction(depth),
        gap=gap,
        ends="slat",
        build_up=BuildUp(packing=Fraction(0), board=Fraction(12), fabric=Fraction(1), slat=Fraction(depth)),
        slats=tuple(slats),
        panels=more.pop("boards", tuple(boards)),
        plates=plates,
        **more,
    )


def _pieces(extent, hole):
    if hole is None or hole.right <= extent.left or hole.left >= extent.right:
        return [extent]
    left, width = extent.left, extent.width
    return [
        rect(left, extent.bottom, width, hole.bottom - extent.bottom),
        rect(left, hole.top, width, extent.top - hole.top),
    ]


def level(count=6, width=40, depth=16, gap=Fraction(20), length=1800):
    """``count`` level slats from the floor up on one board."""
    pitch = Fraction(width) + Fraction(gap)
    run = count * pitch - Fraction(gap)
    slats = []
    for index in range(count):
        extent = rect(0, index * pitch, length, width)
        slats.append(Slat(index=index, extent=extent, pieces=(extent,), panel=0))
    return SetOut(
        run="level",
        wall_width=Fraction(length),
        wall_height=Fraction(2500),
        face=rect(0, 0, length, run),
        skirting=None,
        skirting_projection=Fraction(0),
        slat_width=Fraction(width),
        slat_depth=Fraction(depth),
        gap=Fraction(gap),
        ends="slat",
        build_up=BuildUp(packing=Fraction(0), board=Fraction(12), fabric=Fraction(1), slat=Fraction(depth)),
        slats=tuple(slats),
        panels=(Panel(index=0, board=rect(0, 0, length, run), cutouts=(), slats=tuple(range(count))),),
    )


def demo(count=75):
    """A wall with a socket, a kept skirting, a trim and a shadow gap."""
    return upright(
        count=count,
        panels=max(1, count // 12),
        height=2380,
        bottom=120,
        wall_height=Fraction(2550),
        hole=rect(480, 450, 146, 86),
        skirting=rect(0, 0, 54 * count - 2, 120),
        skirting_projection=Fraction(18),
        trims=(Strip(side="right", rect=rect(54 * count - 14, 120, 12, 2380)),),
        shadow_gaps=(Strip(side="top", rect=rect(0, 2500, 54 * count - 14, 50)),),
        wall_width=Fraction(54 * count - 2),
    )
