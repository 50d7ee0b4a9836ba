"""Narrower slats out of what ripping the wider ones leaves, before any section is bought for them.

::

    +-------------------+----------+
    |   62              |  22 | 22 |     a section of 100 gives one column of 62; the rest beside it, ripped
    |-------------------|-----|----|     again, gives two columns of 22
    |   62              |  22 | 22 |
    +-------------------+----------+
"""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, lcm

from meshes.cutting.crosscut import Order, Pattern, pattern_of
from meshes.cutting.demand import Demand
from meshes.cutting.reuse import Bar
from meshes.cutting.rip import Rip, rip
from meshes.cutting.sheets import SheetOrder, lower_bound
from meshes.cutting.stock import Stock

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FromRest:
    """``bars`` rests of one kind, how each is ripped again, and how the strips are cut; mm.

    ``uncut`` strips of the bars stay whole.
    """

    bar: Bar
    rip: Rip
    bars: int
    patterns: tuple[Pattern, ...]
    uncut: int

    @property
    def pieces(self) -> Counter[Fraction]:
        """What comes out of them, by length."""
        found: Counter[Fraction] = Counter()
        for pattern in self.patterns:
            for length in pattern.pieces:
                found[length] += pattern.times
        return found

    @property
    def kerf(self) -> Fraction:
        """Volume that the saw takes [mm3]."""
        strip = self.rip.sawn_width * self.rip.sawn_depth
        across = sum((pattern.kerf * pattern.times for pattern in self.patterns), ZERO)
        return self.rip.kerf_area * self.bar.length * self.bars + strip * across

    @property
    def remainders(self) -> Counter[Bar]:
        """What is left of the bars once more."""
        length, found = self.bar.length, Counter[Bar]()
        for rest in self.rip.rests:
            found[Bar(came_from="rest", width=rest.width, depth=rest.depth, length=length)] += (
                rest.count * self.bars
            )
        width, depth = self.rip.sawn_width, self.rip.sawn_depth
        if self.uncut:
            found[Bar(came_from="strip", width=width, depth=depth, length=length)] += self.uncut
        for pattern in self.patterns:
            if pattern.rest:
                bar = Bar(came_from="offcut", width=width, depth=depth, length=pattern.rest)
                found[bar] += pattern.times
        return found


def from_rests(bars: Counter[Bar], demand: Demand, stock: Stock) -> tuple[FromRest, ...]:
    """Pieces of a demand out of rests, the longest pieces first, out of the shortest rest that holds them."""
    wanted = Counter(demand.to_cut)
    found = []
    for bar in sorted(bars, key=lambda one: (one.length, one.width * one.depth)):
        ways = [
            rip(across=across, along=along, width=demand.width, depth=demand.depth, stock=stock)
            for across, along in ((bar.width, bar.depth), (bar.depth, bar.width))
        ]
        best = max(ways, key=lambda way: way.count)
        # a front with rounded arrises in sight is not worth a rest
        if best.count and bars[bar] > 0 and not best.front_rounding:
            one = _cut(bar, bars[bar], best, wanted, stock)
            if one is not None:
                found.append(one)
                wanted -= one.pieces
    return tuple(found)


def _cut(bar: Bar, bars: int, ripped: Rip, wanted: Counter[Fraction], stock: Stock) -> FromRest | None:
    left = Counter(wanted)
    cuts: Counter[tuple[Fraction, ...]] = Counter()
    for _ in range(bars * ripped.count):
        room, pieces = bar.length + stock.kerf_mm, []
        for length in sorted(+left, reverse=True):
            while left[length] and length + stock.kerf_mm <= room:
                pieces.append(length)
                left[length] -= 1
                room -= length + stock.kerf_mm
        if not pieces:
            break
        cuts[tuple(pieces)] += 1
    if not cuts:
        return None
    used = -(-sum(cuts.values()) // ripped.count)
    order = Order(pieces={}, stock={bar.length: ZERO}, kerf=stock.kerf_mm, end_trim=ZERO)
    return FromRest(
        bar=bar,
        rip=ripped,
        bars=used,
        patterns=tuple(pattern_of(order, bar.length, pieces, times) for pieces, times in cuts.items()),
        uncut=used * ripped.count - sum(cuts.values()),
    )


def least_length(wanted: list[tuple[Rip, dict[Fraction, int]]], stock: Stock, end_trim: Fraction) -> Fraction:
    """A length of sections below which no plan for slats of several sizes can stay, however it mixes them.

    By volume, each cut's kerf part of what lies before it: what is wanted against what sections hold.
    """
    kerf = stock.kerf_mm
    volume = sum(
        (
            (ripped.sawn_width + kerf) * (ripped.sawn_depth + kerf) * (length + kerf) * count
            for ripped, pieces in wanted
            for length, count in pieces.items()
        ),
        ZERO,
    )
    end = (stock.section_mm[0] + kerf) * (stock.section_mm[1] + kerf)
    least = min(
        length * volume / (end * (length - 2 * end_trim + kerf))
        for length in stock.lengths_mm
        if length > 2 * end_trim
    )
    least = max(least, _by_ends(wanted, stock, end_trim))
    unit = lcm(*(length.denominator for length in stock.lengths_mm))
    step = Fraction(gcd(*(int(length * unit) for length in stock.lengths_mm)), unit)
    return -(-least // step) * step


def _by_ends(wanted: list[tuple[Rip, dict[Fraction, int]]], stock: Stock, end_trim: Fraction) -> Fraction:
    """The same seen from the ends: the fewest strips that the pieces need, out of the ends of sections.

    However long the strips, they are cut edge to edge out of a section's end, as boards are out of a sheet.
    """
    kerf = stock.kerf_mm
    longest = max(stock.lengths_mm) - 2 * end_trim
    ends: list[tuple[Fraction, Fraction]] = []
    for ripped, pieces in wanted:
        halves = sum(count for length, count in pieces.items() if 2 * length + kerf > longest)
        in_all = sum(((length + kerf) * count for length, count in pieces.items()), ZERO)
        strips = max(halves, ceil(in_all / (longest + kerf)))
        ends += [(ripped.sawn_width, ripped.sawn_depth)] * strips
    shortest = min(length for _ripped, pieces in wanted for length in pieces)
    fitting = [length for length in stock.lengths_mm if length - 2 * end_trim >= shortest]
    order = SheetOrder(boards=tuple(ends), sheet=stock.section_mm, kerf=kerf, may_turn=True)
    return lower_bound(order) * min(fitting)
