"""The search for a division of slats into panels, in whole numbers of a common denominator.

All sizes of panel are tried, each once with all panels alike and the rest last, and once as even as possible.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise
from math import ceil, lcm

from meshes.layout.scaled import Scale
from meshes.layout.sheets import Size, count_sheets
from meshes.layout.spacing import Panels
from meshes.layout.spans import Span

LEAST_BEARING_MM = Fraction(10)
"""A board edge needs this much slat over it to be pinned (common practice)."""

MANY_PANELS = 3
"""Once something fits, divisions into more than this many times the fewest panels are not looked at."""

NEAR_JOINTS = 6
"""How many slats back a joint may move to find one that is wide enough."""

SLIVER = 3
"""A board narrower than the widest by more than this many times is a sliver: awkward to hold and to fix."""

Cost = tuple[bool, int, int, int, int, int, int]
"""Whether a board would be nothing; where one is too big or heavy, the widest; sheets, slivers, boards,
kinds; and the narrowest, of which more is better, hence below 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The slats along the run that boards are shared out to.

    ``middles``, ``widths`` of the slats; ``span``: the boards' (start, end), side clearance taken off;
    ``lengths``: of the slats, along their middles; ``board_height`` of a board over a span, cloth included;
    ``height``, ``part_heights``: of the highest board, the latter of its parts one above the other, cloth
    taken off; ``board_kg_per_mm2``, ``slat_kg_per_mm2``: weight of board and slat by what of them is seen.
    """

    middles: Sequence[Fraction]
    widths: Sequence[Fraction]
    lengths: Sequence[Fraction]
    span: Span
    board_height: Callable[[Span], Fraction]
    height: Fraction
    part_heights: tuple[Fraction, ...]
    board_kg_per_mm2: Fraction
    slat_kg_per_mm2: Fraction

    def weight_kg(self, outline: Span, slats: range) -> Fraction:
        """Weight of a panel [kg], openings not taken out: it errs towards heavy."""
        board = (outline[1] - outline[0]) * self.board_height(outline)
        timber = sum((self.widths[slat] * self.lengths[slat] for slat in slats), Fraction(0))
        return board * self.board_kg_per_mm2 + timber * self.slat_kg_per_mm2


def bearing(width: Fraction, panels: Panels) -> Fraction:
    """How much of a slat lies over each of the two boards that meet behind it [mm]."""
    return (width - panels.joint_clearance_mm) / 2


class Search:
    """The same row and panels, asked for several stretches of slats."""

    def __init__(self, row: Row, panels: Panels) -> None:
        way_in = panels.way_in_mm or (max(panels.sheet_mm) + row.height,) * 2
        lengths = [row.height, panels.max_width_mm, panels.joint_clearance_mm, panels.fabric_mm]
        lengths += [panels.saw_kerf_mm, *panels.sheet_mm, *way_in, *row.span, *row.part_heights]
        scale = Scale([*lengths, *row.middles, *row.widths])
        whole = scale.whole
        self._row, self._scale = row, scale
        self._middles = [whole(middle) for middle in row.middles]
        self._widths_before = list(accumulate((whole(width) for width in row.widths), initial=0))
        self._span = whole(row.span[0]), whole(row.span[1])
        self._height = whole(row.height)
        self._parts = [whole(height) for height in row.part_heights]
        self._max_width = whole(panels.max_width_mm)
        self._clearance = whole(panels.joint_clearance_mm)
        self._wrap = whole(panels.fabric_mm)
        self._sheet = whole(panels.sheet_mm[0]), whole(panels.sheet_mm[1])
        self._kerf = whole(panels.saw_kerf_mm)
        self._narrow, self._long = sorted(whole(length) for length in way_in)
        if self._height > self._long:  # too tall however narrow: that is for a notice, not for slivers
            self._narrow = self._long = max(self._height, self._max_width)
        rates = row.board_kg_per_mm2, row.slat_kg_per_mm2
        kg = lcm(*(one.denominator for one in (*rates, panels.max_weight_kg)))
        self._board_kg, self._slat_kg = (int(one * kg) for one in rates)
        self._max_kg = int(panels.max_weight_kg * kg) * scale.unit**2
        self._alike = all(length == row.height for length in row.lengths)
        lengths_up = [self._height if self._alike else self._up(length) for length in row.lengths]
        fronts = (whole(width) * length for width, length in zip(row.widths, lengths_up, strict=True))
        self._timber_before = list(accumulate(fronts, initial=0))
        least = whole(2 * LEAST_BEARING_MM) + self._clearance
        wide = [after - before >= least for before, after in pairwise(self._widths_before)]
        self._wide = None if all(wide) else wide

    def share(self, first: int, after: int) -> tuple[int, ...]:
        """The slats behind which the joints stand that divide ``first`` to ``after`` into panels."""
        count = after - first
        stretch = self._middles[after - 1] - self._middles[first]
        closest = stretch / (count - 1) if count > 1 else self._max_width
        most = max(1, min(count, int((self._max_width + self._clearance) / max(closest, 1)) + 1))
        fewest = ceil(count / most)
        best: tuple[Cost, tuple[int, ...]] | None = None
        for joints in dict.fromkeys([*_sharings(first, count, most), ()]):
            if best is not None and best[0][:2] == (False, 0) and len(joints) + 1 > MANY_PANELS * fewest:
                break
            snapped = self._snapped(self._without_last(joints, after), first)
            cost = self._cost(first, after, snapped)
            if best is None or cost < best[0]:
                best = (cost, snapped)
        return best[1] if best else ()

    def _without_last(self, joints: tuple[int, ...], after: int) -> tuple[int, ...]:
        """No joint behind the very last slat: what is left beyond it is no board."""
        last = len(self._middles) - 1
        return joints[:-1] if joints and joints[-1] == last == after - 1 else joints

    def _snapped(self, joints: tuple[int, ...], first: int) -> tuple[int, ...]:
        """Each joint moved back to a slat that is wide enough to bear it, if one is near."""
        if self._wide is None or not any(self._wide):
            return joints
        found = []
        low = first
        for joint in joints:
            near = range(joint, max(low, joint - NEAR_JOINTS), -1)
            low = next((slat for slat in near if self._wide[slat]), joint)
            found.append(low)
        return tuple(found)

    def _cost(self, first: int, after: int, joints: Sequence[int]) -> Cost:
        half = self._clearance // 2
        start = self._span[0] if first == 0 else self._middles[first - 1] + half
        end = self._span[1] if after == len(self._middles) else self._middles[after] - half
        middles = [self._middles[joint] for joint in joints]
        starts = [start, *(middle + half for middle in middles)]
        ends = [*(middle - half for middle in middles), end]
        widths = [high - low for low, high in zip(starts, ends, strict=True)]
        bounds = pairwise([first, *joints, after])
        fits = all(self._fits(*own) for own in zip(starts, ends, bounds, strict=True))
        sizes = self._board_sizes(widths)
        boards = len(widths)
        nothing_left = min(widths) <= 2 * self._wrap
        sheets = None if nothing_left else count_sheets(sizes, self._sheet, self._kerf)
        too_wide = 0 if fits and sheets is not None else max(widths)
        slivers = sum(SLIVER * width < max(widths) for width in widths)
        return nothing_left, too_wide, sheets or boards, slivers, boards, len(sizes), -min(widths)

    def _up(self, length: Fraction) -> int:
        """A length that the scale was not made for, rounded up to a whole unit."""
        return ceil(length * self._scale.unit)

    def _fits(self, start: int, end: int, own: tuple[int, int]) -> bool:
        width = end - start
        if width > self._max_width:
            return False
        high = self._height
        if not self._alike:
            high = self._up(self._row.board_height((self._scale.length(start), self._scale.length(end))))
        timber = self._timber_before[own[1]] - self._timber_before[own[0]]
        if width * high * self._board_kg + timber * self._slat_kg > self._max_kg:
            return False
        return min(width, self._height) <= self._narrow and max(width, self._height) <= self._long

    def _board_sizes(self, widths: Sequence[int]) -> Counter[Size]:
        sizes: Counter[Size] = Counter()
        for width, count in Counter(widths).items():
            for height in self._parts:
                sizes[width - 2 * self._wrap, height] += count
        return sizes


def _sharings(first: int, count: int, most: int) -> Iterator[tuple[int, ...]]:
    """Joint slats: panels all alike with the rest last, and as even as possible, for each panel size."""
    for size in range(most, 0, -1):
        yield tuple(range(first + size, first + count, size))
        small, larger = divmod(count, ceil(count / size))
        sizes = [small + 1] * larger + [small] * (ceil(count / size) - larger)
        yield tuple(accumulate(sizes[:-1], initial=first))[1:]
