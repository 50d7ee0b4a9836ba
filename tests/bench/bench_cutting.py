"""How long cutting takes, beside a reference of the same run: ``python tests/bench/bench_cutting.py``.

Prints one JSON object; exits with 1 when a ratio misses its target. The reference is one plain pass of
first-fit-decreasing over the same pieces, so that a slow machine does not turn into a slow program.
"""

import json
import sys
from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from time import perf_counter

from meshes.cutting.crosscut import Order, first_plan
from meshes.cutting.proof import proven_plan

ON_SALE = {Fraction(length): Fraction(length) for length in (2400, 3000, 3600, 4200, 4800)}


def wall(slats: int) -> Order:
    """A wall with openings: of 75 slats 60 whole, the rest in two pieces."""
    share = slats / 75
    pieces = Counter({2430: 60, 2010: 5, 1200: 6, 640: 9, 380: 9})
    return Order(
        pieces={Fraction(length): round(count * share) for length, count in pieces.items()},
        stock=ON_SALE,
        kerf=Fraction(3),
        end_trim=Fraction(50),
        strips_per_section=4,
    )


def first_fit_decreasing(order: Order) -> int:
    """The reference: pieces one by one into the first strip of the longest length with room."""
    rooms: list[Fraction] = []
    full = order.longest_piece + order.kerf
    for length in sorted(order.pieces, reverse=True):
        for _ in range(order.pieces[length]):
            needed = length + order.kerf
            for index, room in enumerate(rooms):
                if room >= needed:
                    rooms[index] -= needed
                    break
            else:
                rooms.append(full - needed)
    return len(rooms)


def best_of(times: int, call: Callable[[], object]) -> float:
    """Seconds of the fastest of several runs."""
    taken = []
    for _ in range(times):
        begun = perf_counter()
        call()
        taken.append(perf_counter() - begun)
    return min(taken)


def main() -> int:
    small, large = wall(75), wall(2000)
    proven_plan(first_plan(wall(30)))  # loads the solver
    reference = best_of(5, lambda: first_fit_decreasing(small))
    first = best_of(5, lambda: first_plan(wall(75)))
    first_large = best_of(3, lambda: first_plan(wall(2000)))
    begun = perf_counter()
    plan = proven_plan(first_plan(small))
    proven = perf_counter() - begun
    result = {
        "reference_ms": round(reference * 1e3, 2),
        "first_75_ms": round(first * 1e3, 2),
        "first_75_over_reference": round(first / reference, 1),
        "first_2000_over_75": round(first_large / first, 1),
        "proven_75_s": round(proven, 3),
        "proven": plan.proven,
        "pieces_2000": sum(large.pieces.values()),
    }
    print(json.dumps(result))
    # 50 ms and 10 s are the targets of the design; growth must stay below the growth of the wall
    good = first <= 0.050 and proven <= 10 and plan.proven and first_large / first <= 2000 / 75
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
