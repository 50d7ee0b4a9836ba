"""Hatching of cut material (ISO 128-3): narrow parallel lines at 45°, cut to the hatched rectangle."""

from viewer.drawings import pen as p


def hatch(
    pen: p.Pen, x: float, y: float, width: float, height: float, *, spacing: float, falling: bool = False
) -> None:
    """Lines ``spacing`` [mm] apart, rising to the right, or ``falling`` so that neighbours differ.

    The lines lie on one grid for the whole sheet, so pieces of one board hatch as one.
    """
    step = spacing * 2**0.5
    # a rising line is x + y = c, a falling one x - y = c
    low, high = (x - (y + height), x + width - y) if falling else (x + y, x + width + y + height)
    count = int(low // step) + 1
    data = []
    while count * step < high:
        c = count * step
        if falling:
            x1, x2 = max(x, c + y), min(x + width, c + y + height)
            data.append(f"M{x1:.3f} {x1 - c:.3f}L{x2:.3f} {x2 - c:.3f}")
        else:
            x1, x2 = max(x, c - y - height), min(x + width, c - y)
            data.append(f"M{x1:.3f} {c - x1:.3f}L{x2:.3f} {c - x2:.3f}")
        count += 1
    if data:
        pen.path("".join(data), p.NARROW)
