"""How many sheets a set of boards takes, for choosing between divisions; the cutting room plans them exactly.

Boards stand side by side in rows across the sheet, rows one above the other, first-fit decreasing, kerf kept:
pieces fit when the sum of (piece + kerf) is at most the sheet + kerf.
"""

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

from meshes.layout.scaled import Scale
from meshes.layout.spacing import Panels

Size = tuple[int, int]
"""(width, height) of a board, as whole numbers of a common unit."""


def sheets_needed(boards: Mapping[tuple[Fraction, Fraction], int], panels: Panels) -> int | None:
    """Sheets for boards of these (width, height) [mm], none or all turned. None: one is too big."""
    scale = Scale([*panels.sheet_mm, panels.saw_kerf_mm, *(length for size in boards for length in size)])
    sizes = {(scale.whole(width), scale.whole(height)): count for (width, height), count in boards.items()}
    sheet = scale.whole(panels.sheet_mm[0]), scale.whole(panels.sheet_mm[1])
    return count_sheets(sizes, sheet, scale.whole(panels.saw_kerf_mm))


def count_sheets(boards: Mapping[Size, int], sheet: Size, kerf: int) -> int | None:
    """The same in whole numbers of one unit."""
    counts = [
        found
        for across, along in (sheet, sheet[::-1])
        if (found := _by_rows(boards, across, along, kerf)) is not None
    ]
    return min(counts, default=None)


def _by_rows(boards: Mapping[Size, int], across: int, along: int, kerf: int) -> int | None:
    rows: Counter[int] = Counter()
    by_height: dict[int, Counter[int]] = {}
    for (width, height), count in boards.items():
        if width > across or height > along:
            return None
        by_height.setdefault(height, Counter())[width + kerf] += count
    for height, widths in by_height.items():
        rows[height + kerf] += _first_fit(widths, across + kerf)
    return _first_fit(rows, along + kerf)


def _first_fit(sizes: Mapping[int, int], room: int) -> int:
    """Bins of ``room`` that first-fit decreasing opens for sizes, each so many times."""
    left: Counter[int] = Counter()
    opened = 0
    for size, count in sorted(sizes.items(), reverse=True):
        for space in sorted(space for space in left if space >= size):
            each = space // size
            while count and left[space]:
                taken = min(each, count)
                left[space] -= 1
                left[space - taken * size] += 1
                count -= taken
        each = room // size
        full, rest = divmod(count, each)
        opened += full + (rest > 0)
        for taken, bins in ((each, full), (rest, 1)):
            if taken and bins:
                left[room - taken * size] += bins
    return opened
