"""What comes out of a section beside the slats: used for small strips first, kept if worth it, waste if not.

Every remainder is a bar with its own section and length; its length is spent exactly:
small strips + kerf + rest = length.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from meshes.cutting.crosscut import Crosscut
from meshes.cutting.demand import Small
from meshes.cutting.rip import Rip
from meshes.cutting.stock import Stock

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A remainder [mm]: ``came_from`` is a rest (of ripping), a strip (not needed) or an offcut."""

    came_from: str
    width: Fraction
    depth: Fraction
    length: Fraction

    @property
    def volume(self) -> Fraction:
        """Volume [mm3]."""
        return self.width * self.depth * self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class Reused:
    """One remainder, the small strips cut from it, and what is then left of its length."""

    bar: Bar
    smalls: tuple[Small, ...]
    kerf: Fraction
    rest: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Reuse:
    """All remainders: used, kept as (bar, count), thrown away; ``to_buy`` found no remainder that fits."""

    used: tuple[Reused, ...]
    kept: tuple[tuple[Bar, int], ...]
    waste: tuple[tuple[Bar, int], ...]
    to_buy: tuple[Small, ...]


def remainders(ripped: Rip, plan: Crosscut) -> Counter[Bar]:
    """Everything that ripping and crosscutting one group of sections leaves, end trims taken off."""
    bars: Counter[Bar] = Counter()
    for length, sections in plan.sections:
        for rest in ripped.rests:
            usable = plan.order.usable(length)
            bars[Bar(came_from="rest", width=rest.width, depth=rest.depth, length=usable)] += (
                sections * rest.count
            )
    width, depth = ripped.sawn_width, ripped.sawn_depth
    for length, count in plan.uncut:
        bars[Bar(came_from="strip", width=width, depth=depth, length=plan.order.usable(length))] += count
    for pattern in plan.patterns:
        if pattern.rest:
            bars[Bar(came_from="offcut", width=width, depth=depth, length=pattern.rest)] += pattern.times
    return bars


def reuse(bars: Counter[Bar], wanted: Sequence[Small], stock: Stock) -> Reuse:
    """Give each small strip, the longest first, the smallest remainder that holds it."""
    left = Counter(bars)
    open_bars: list[tuple[Bar, list[Small], Fraction]] = []
    to_buy: list[Small] = []
    for small in wanted:
        begun = next(
            (
                number
                for number, (bar, _, room) in enumerate(open_bars)
                if room >= small.length and _holds(bar, small, stock)
            ),
            None,
        )
        if begun is not None:
            bar, taken, room = open_bars[begun]
            open_bars[begun] = (bar, [*taken, small], max(ZERO, room - small.length - stock.kerf_mm))
            continue
        fresh = min(
            (bar for bar in left if left[bar] and bar.length >= small.length and _holds(bar, small, stock)),
            key=lambda bar: (bar.width * bar.depth, bar.length, bar.came_from),
            default=None,
        )
        if fresh is None:
            to_buy.append(small)
        else:
            left[fresh] -= 1
            open_bars.append((fresh, [small], max(ZERO, fresh.length - small.length - stock.kerf_mm)))
    used = tuple(_reused(bar, taken, stock) for bar, taken, _ in open_bars)
    rests = Counter({bar: count for bar, count in left.items() if count})
    for one in used:
        if one.rest:
            rests[Bar(came_from="offcut", width=one.bar.width, depth=one.bar.depth, length=one.rest)] += 1
    return Reuse(
        used=used,
        kept=tuple(_in_order(rests, stock, worth=True)),
        waste=tuple(_in_order(rests, stock, worth=False)),
        to_buy=tuple(to_buy),
    )


def _holds(bar: Bar, small: Small, stock: Stock) -> bool:
    """Whether the small strip, planed on all four sides, comes out of the bar's section either way round."""
    w, d = small.width + 2 * stock.planing_mm, small.depth + 2 * stock.planing_mm
    return (w <= bar.width and d <= bar.depth) or (d <= bar.width and w <= bar.depth)


def _reused(bar: Bar, taken: Sequence[Small], stock: Stock) -> Reused:
    pieces = sum((small.length for small in taken), ZERO)
    beyond = bar.length - pieces - (len(taken) - 1) * stock.kerf_mm
    kerf = (len(taken) - 1) * stock.kerf_mm + min(stock.kerf_mm, beyond)
    return Reused(bar=bar, smalls=tuple(taken), kerf=kerf, rest=bar.length - pieces - kerf)


def _in_order(bars: Counter[Bar], stock: Stock, *, worth: bool) -> Iterator[tuple[Bar, int]]:
    for bar in sorted(bars, key=lambda one: (-one.length, -one.width, -one.depth, one.came_from)):
        thick = min(bar.width, bar.depth) >= stock.keep_depth_mm
        if (thick and bar.length >= stock.keep_strip_mm) == worth:
            yield bar, bars[bar]
