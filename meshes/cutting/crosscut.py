"""Crosscutting strips to length: the first plan at once, with a bound that no plan can beat.

A section on sale is ripped into ``strips_per_section`` strips of its full length; each strip is trimmed at
both ends and cut into pieces. Pieces ``l`` fit a strip ``L`` with kerf ``k`` between neighbours exactly when
``sum(l + k) <= L + k``, so a plan with kerf is a plan without kerf of the lengths ``l + k`` and ``L + k``.
What counts is what is paid for: the length of the sections bought, not the number of slats.

One strip, read from the left::

    | trim | piece |k| piece |k| piece |k| rest | trim |      trims + pieces + kerf + rest = L, exactly
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from meshes.cutting.fill import Integers, Strip, first_strips
from meshes.cutting.weights import lower_bound

ZERO = Fraction(0)


@dataclass(frozen=True, kw_only=True)
class Order:
    """What is wanted from what can be had; all lengths in mm.

    ``pieces`` gives how many of each length; ``stock`` what one section of each length costs (its own length
    when metres are what counts). ``end_trim`` is lost at each end of a strip, its own cut included.
    """

    pieces: Mapping[Fraction, int]
    stock: Mapping[Fraction, Fraction]
    kerf: Fraction
    end_trim: Fraction
    strips_per_section: int = 1

    def usable(self, stock_length: Fraction) -> Fraction:
        return stock_length - 2 * self.end_trim

    @property
    def longest_piece(self) -> Fraction:
        """The longest piece that any length on sale gives."""
        return max(self.usable(length) for length in self.stock)

    @cached_property
    def integers(self) -> Integers:
        """The same order in whole numbers, kerf folded into every length."""
        wanted = sorted((length for length, count in self.pieces.items() if count), reverse=True)
        on_sale = sorted(self.stock)
        lengths = [length + self.kerf for length in wanted]
        rooms = [self.usable(length) + self.kerf for length in on_sale]
        scale = lcm(*(length.denominator for length in (*lengths, *rooms)))
        cost_scale = lcm(*(cost.denominator for cost in self.stock.values()))
        return Integers(
            sizes=tuple(int(length * scale) for length in lengths),
            demands=tuple(self.pieces[length] for length in wanted),
            rooms=tuple(max(0, int(room * scale)) for room in rooms),
            costs=tuple(int(self.stock[length] * cost_scale) for length in on_sale),
            per_section=self.strips_per_section,
            cost_scale=cost_scale,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One way to cut a strip, used ``times`` times; ``pieces`` from the longest to the shortest [mm]."""

    stock_length: Fraction
    pieces: tuple[Fraction, ...]
    times: int
    end_trims: Fraction
    kerf: Fraction
    """What the saw takes between the trims."""
    rest: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Crosscut:
    """A plan, what it costs, and the least that any plan can cost (in the units of ``Order.stock``).

    ``uncut`` counts the strips of a section that the plan leaves whole: they were paid for with the section.
    """

    order: Order
    patterns: tuple[Pattern, ...]
    sections: tuple[tuple[Fraction, int], ...]
    uncut: tuple[tuple[Fraction, int], ...]
    cost: Fraction
    bound: Fraction

    @property
    def proven(self) -> bool:
        return self.bound == self.cost

    @property
    def gap(self) -> Fraction:
        """How much of the cost is not yet proven necessary, as a share of 1."""
        return (self.cost - self.bound) / self.cost if self.cost else ZERO


def first_plan(order: Order) -> Crosscut:
    """A good plan within milliseconds, with its bound. Every piece must fit ``order.longest_piece``."""
    integers = order.integers
    return plan_of(order, first_strips(integers), lower_bound(integers))


def plan_of(order: Order, strips: Sequence[Strip], bound: int) -> Crosscut:
    """Strips in whole numbers back to exact lengths; pieces beyond the demand are dropped."""
    integers = order.integers
    lengths = sorted((length for length, count in order.pieces.items() if count), reverse=True)
    on_sale = sorted(order.stock)
    missing = list(integers.demands)
    counted: dict[tuple[Fraction, tuple[Fraction, ...]], int] = {}
    for strip in sorted(strips, key=lambda one: (one.room, tuple(-count for count in one.counts))):
        for _ in range(strip.times):
            pieces: list[Fraction] = []
            for index, count in enumerate(strip.counts):
                taken = min(count, missing[index])
                missing[index] -= taken
                pieces += [lengths[index]] * taken
            if pieces:
                key = (on_sale[strip.room], tuple(pieces))
                counted[key] = counted.get(key, 0) + 1
    assert not any(missing), "a plan must cut every piece"
    patterns = tuple(pattern_of(order, length, pieces, times) for (length, pieces), times in counted.items())
    used = {length: 0 for length in on_sale}
    for pattern in patterns:
        used[pattern.stock_length] += pattern.times
    sections = {length: -(-count // order.strips_per_section) for length, count in used.items()}
    return Crosscut(
        order=order,
        patterns=patterns,
        sections=tuple((length, count) for length, count in sections.items() if count),
        uncut=tuple(
            (length, left)
            for length, count in sections.items()
            if (left := count * order.strips_per_section - used[length])
        ),
        cost=sum((order.stock[length] * count for length, count in sections.items()), ZERO),
        bound=Fraction(bound, integers.cost_scale),
    )


def pattern_of(order: Order, length: Fraction, pieces: tuple[Fraction, ...], times: int) -> Pattern:
    """A strip of the order's stock cut into pieces: trims, kerf and rest worked out."""
    beyond = order.usable(length) - sum(pieces) - (len(pieces) - 1) * order.kerf
    return Pattern(
        stock_length=length,
        pieces=pieces,
        times=times,
        end_trims=2 * order.end_trim,
        kerf=(len(pieces) - 1) * order.kerf + min(order.kerf, beyond),
        rest=max(ZERO, beyond - order.kerf),
    )
