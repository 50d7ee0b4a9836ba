"""All slats of one size as timber: judged, ripped, crosscut, and what the narrower take from wider ones."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from meshes.cutting.beside import FromRest, from_rests
from meshes.cutting.crosscut import Crosscut, Order, first_plan
from meshes.cutting.demand import Demand
from meshes.cutting.reuse import Bar, remainders
from meshes.cutting.rip import Rip, refusal, rips, yield_at_lower_limit
from meshes.cutting.stock import Stock
from meshes.cutting.weights import lower_bound
from meshes.layout.lengths import rounded_mm

ZERO = Fraction(0)
Problem = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber:
    """All slats of one width and depth: what is wanted, how a section is ripped, how strips are cut."""

    demand: Demand
    rip: Rip
    crosscut: Crosscut
    ready_made: Crosscut
    """The same pieces and spares from strips bought ready-made in the same lengths."""
    from_rests: tuple[FromRest, ...] = ()
    """Pieces that come out of the rests of wider slats' sections; ``crosscut`` cuts what is then missing."""
    alone: Fraction = ZERO
    """What sections for these slats alone cost at least, nothing coming out of rests."""


def judged(wanted: Sequence[Demand], stock: Stock) -> tuple[list[Problem], list[str]]:
    """What keeps ``stock`` from giving the slats, as (path, message), and else what a person should know."""
    problems: list[Problem] = []
    warnings: list[str] = []
    longest_on_sale = max(stock.lengths_mm)
    for demand in wanted:
        best, _ = rips(width=demand.width, depth=demand.depth, stock=stock)
        if best.count == 0:
            reason = refusal(width=demand.width, depth=demand.depth, stock=stock)
            problems.append(("stock.section_mm", reason))
        else:
            warnings += _rip_warnings(best, demand, stock)
        if demand.longest > longest_on_sale:
            reason = (
                f"a slat of {rounded_mm(demand.longest)} mm is longer than the longest length on sale, "
                f"{rounded_mm(longest_on_sale)} mm; add a longer length or allow joints (slats.longest_mm)"
            )
            problems.append(("stock.lengths_mm", reason))
    return problems, warnings


def _rip_warnings(best: Rip, demand: Demand, stock: Stock) -> list[str]:
    warnings = []
    if best.front_rounding:
        warnings.append(
            f"one slat fills the section: {rounded_mm(best.front_rounding)} mm of its rounded arrises "
            "stay in sight"
        )
    at_least = yield_at_lower_limit(best, width=demand.width, depth=demand.depth, stock=stock)
    if stock.planing_mm and at_least < best.count:
        warnings.append(
            f"a section that measures the least that EN 336 allows gives {at_least} slats of "
            f"{rounded_mm(demand.width)} mm, not {best.count}: measure before buying"
        )
    return warnings


def end_trim_of(wanted: Sequence[Demand], stock: Stock) -> Fraction:
    """The end trim asked for, or what the longest slat leaves of the longest length when that is less."""
    longest = max((demand.longest for demand in wanted), default=ZERO)
    return min(stock.end_trim_mm, (max(stock.lengths_mm) - longest) / 2)


def timbers(
    wanted: Sequence[Demand],
    stock: Stock,
    trim: Fraction,
    better: Callable[[Crosscut], Crosscut] = lambda first: first,
    known: Sequence[Timber] = (),
) -> tuple[Timber, ...]:
    """The widest slats first; the narrower then take what they can from the rests. ``known``: made before."""
    found: list[Timber] = []
    rests: Counter[Bar] = Counter()
    for number, demand in enumerate(wanted):
        taken = from_rests(rests, demand, stock) if rests else ()
        one = _timber(demand, stock, trim, taken)
        if known and known[number].crosscut.order == one.crosscut.order:
            one = replace(one, crosscut=known[number].crosscut)
        one = replace(one, crosscut=better(one.crosscut))
        for used in taken:
            rests[used.bar] -= used.bars
            rests.update(_only_rests(used.remainders))
        rests.update(_only_rests(remainders(one.rip, one.crosscut)))
        found.append(one)
    return tuple(found)


def _only_rests(bars: Counter[Bar]) -> dict[Bar, int]:
    return {bar: count for bar, count in bars.items() if bar.came_from == "rest"}


def _timber(demand: Demand, stock: Stock, trim: Fraction, taken: tuple[FromRest, ...]) -> Timber:
    best, _ = rips(width=demand.width, depth=demand.depth, stock=stock)
    on_sale = {length: length for length in stock.lengths_mm}
    whole = Order(
        pieces=demand.to_cut,
        stock=on_sale,
        kerf=stock.kerf_mm,
        end_trim=trim,
        strips_per_section=best.count,
    )
    missing = Counter(demand.to_cut)
    for one in taken:
        missing -= one.pieces
    order = replace(whole, pieces=dict(missing)) if taken else whole
    strips = Counter(piece.length for piece in demand.pieces)
    strips[demand.longest] += demand.spares
    ready_made = Order(pieces=strips, stock=on_sale, kerf=stock.kerf_mm, end_trim=ZERO)
    return Timber(
        demand=demand,
        rip=best,
        crosscut=first_plan(order),
        ready_made=first_plan(ready_made),
        from_rests=taken,
        alone=Fraction(lower_bound(whole.integers), whole.integers.cost_scale),
    )
