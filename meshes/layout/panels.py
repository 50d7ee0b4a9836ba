"""Which slats share a board: whole pitches, joints behind slats, the fewest sheets.

Joint behind slat ``a`` (the board edges meet under its middle, each cut under by half the clearance)::

         +------+   +------+   +------+
         |      |   |  a   |   |      |
    =====+======+======| |=============     board k | | board k + 1; slat a belongs to board k + 1
                       c
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise
from math import ceil

from meshes.layout.spacing import Panels


@dataclass(frozen=True, slots=True, kw_only=True)
class Division:
    """How the slats are shared out: first slat of each panel, and each board's (start, end) along the run."""

    firsts: tuple[int, ...]
    boards: tuple[tuple[Fraction, Fraction], ...]
    sheets: int


def _boards(
    firsts: Sequence[int], middles: Sequence[Fraction], run: tuple[Fraction, Fraction], clearance: Fraction
) -> tuple[tuple[Fraction, Fraction], ...]:
    joints = [middles[first] for first in firsts[1:]]
    starts = [run[0], *(joint + clearance / 2 for joint in joints)]
    ends = [*(joint - clearance / 2 for joint in joints), run[1]]
    return tuple(zip(starts, ends, strict=True))


def _sharings(count: int, most: int) -> Iterator[tuple[int, ...]]:
    """First slats of the panels: all alike with the rest last, and as even as possible, for each size."""
    for size in range(most, 0, -1):
        panels = ceil(count / size)
        yield tuple(range(0, count, size))
        small, larger = divmod(count, panels)
        sizes = [small + 1] * larger + [small] * (panels - larger)
        yield tuple(accumulate(sizes[:-1], initial=0))


def sheets_needed(widths: Sequence[Fraction], height: Fraction, panels: Panels) -> int | None:
    """Sheets for boards of one height and these widths, boards side by side; None when one cannot be cut.

    First-fit decreasing over the sheet's width, and over its length with the boards turned; the fewer counts.
    """
    counts = [
        found
        for across, along in (panels.sheet_mm, panels.sheet_mm[::-1])
        if (found := _rows_needed(widths, height, across, along, panels.saw_kerf_mm)) is not None
    ]
    return min(counts, default=None)


def _rows_needed(
    widths: Sequence[Fraction], height: Fraction, across: Fraction, along: Fraction, kerf: Fraction
) -> int | None:
    rows = (along + kerf) // (height + kerf)
    if rows < 1 or max(widths) > across:
        return None
    room: Counter[Fraction] = Counter()
    opened = 0
    for width, boards in sorted(Counter(widths).items(), reverse=True):
        for left in sorted(space for space in room if space >= width + kerf):
            for _ in range(room[left]):
                fitting = min(boards, int(left // (width + kerf)))
                if not fitting:
                    break
                room[left] -= 1
                room[left - fitting * (width + kerf)] += 1
                boards -= fitting
        room = +room
        each = int((across + kerf) // (width + kerf))
        full, last = divmod(boards, each)
        opened += full + (last > 0)
        for taken, strips in ((each, full), (last, 1)):
            if taken and strips:
                room[across + kerf - taken * (width + kerf)] += strips
    return ceil(Fraction(opened, int(rows)))


def divide(
    starts: Sequence[Fraction],
    widths: Sequence[Fraction],
    run: tuple[Fraction, Fraction],
    height: Fraction,
    panels: Panels,
) -> Division:
    """Choose the division with the fewest sheets, then the fewest panels, then the fewest kinds of board.

    ``starts``, ``widths``: the slats along the run; ``run``: its (start, end); ``height``: of the boards.
    Boards stay within ``max_width_mm``; when even a board of one pitch does not, each slat gets its own.
    """
    middles = [start + width / 2 for start, width in zip(starts, widths, strict=True)]
    count = len(middles)
    closest = min((after - before for before, after in pairwise(middles)), default=run[1] - run[0])
    most = max(1, min(count, int((panels.max_width_mm + panels.joint_clearance_mm) // closest) + 1))
    best: tuple[tuple[int, int, int], Division] | None = None
    for firsts in dict.fromkeys(_sharings(count, most)):
        boards = _boards(firsts, middles, run, panels.joint_clearance_mm)
        sizes = [end - start for start, end in boards]
        if max(sizes) > panels.max_width_mm and len(firsts) < count:
            continue
        sheets = sheets_needed(sizes, height, panels)
        cost = (sheets if sheets is not None else len(boards), len(boards), len(set(sizes)))
        if best is None or cost < best[0]:
            best = (cost, Division(firsts=firsts, boards=boards, sheets=cost[0]))
    assert best is not None  # one slat a panel is always among the sharings
    return best[1]
