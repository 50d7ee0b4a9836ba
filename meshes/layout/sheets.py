"""How many sheets a set of boards takes, for choosing between divisions; the cutting room plans them exactly.

Boards stand side by side in rows across the sheet, rows one above the other, first-fit decreasing, kerf kept:
pieces fit when the sum of (piece + kerf) is at most the sheet + kerf.
"""

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Mapping

Size = tuple[int, int]
"""(width, height) of a board, as whole numbers of a common unit."""


def count_sheets(boards: Mapping[Size, int], sheet: Size, kerf: int) -> int | None:
    """Sheets for so many boards of each size, none or all turned, in one unit. None: one is too big.

    sheet : its two sides; kerf : what the saw takes between boards.
    """
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
    """Bins of ``room`` that first-fit decreasing opens for sizes > 0, each so many times.

    Bins are kept by what is left in them, those too full for the smallest size not at all, so that many
    different boards cost little more than many alike.
    """
    smallest = min(sizes)
    bins: dict[int, int] = {}
    spaces: list[int] = []
    opened = 0

    def shut(space: int, number: int) -> None:
        if number and space >= smallest:
            if space not in bins:
                insort(spaces, space)
                bins[space] = 0
            bins[space] += number

    for size, count in sorted(sizes.items(), reverse=True):
        at = bisect_left(spaces, size)
        while count and at < len(spaces):
            space = spaces.pop(at)
            number = bins.pop(space)
            each = space // size
            full, rest = min(number, count // each), 0
            count -= full * each
            if count and full < number:
                full, rest, count = full + 1, count, 0
            # a full bin has less than this size left: each round ends the count or uses a space up
            shut(space, number - full)
            shut(space - each * size, full - (rest > 0))
            if rest:
                shut(space - rest * size, 1)
            at = bisect_left(spaces, size)
        each = room // size
        full, rest = divmod(count, each)
        opened += full + (rest > 0)
        shut(room - each * size, full)
        if rest:
            shut(room - rest * size, 1)
    return opened
