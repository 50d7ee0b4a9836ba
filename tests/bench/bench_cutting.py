"""How long cutting takes, beside a reference of the same run: ``python tests/bench/bench_cutting.py``.

Prints one JSON object; exits with 1 when a target is missed. The reference is one plain pass of
first-fit-decreasing over the same pieces, so that a slow machine does not turn into a slow program; times are
the processor's, since others may use it too. Proofs are timed by the clock: their limit is.
"""

import json
import sys
from collections import Counter
from fractions import Fraction
from time import perf_counter

from timing import fastest

from meshes.cutting.crosscut import Order, first_plan
from meshes.cutting.plan import first_cutting, proven_cutting
from meshes.cutting.proof import proven_plan
from meshes.cutting.stock import Stock
from meshes.layout.setout import SetOut, set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall

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


def set_out_of(height_mm: int, **wall_keys: object) -> SetOut:
    """A wall of 75 slats with two sockets and a radiator."""
    openings = [
        {"kind": "socket", "left_mm": 500, "bottom_mm": 300, "width_mm": 146, "height_mm": 86},
        {"kind": "socket", "left_mm": 3400, "bottom_mm": 300, "width_mm": 146, "height_mm": 86},
        {"kind": "radiator", "left_mm": 1500, "bottom_mm": 150, "width_mm": 1000, "height_mm": 400},
    ]
    return set_out(
        wall=Wall.model_validate({"width_mm": 4185, "height_mm": height_mm, **wall_keys}),
        openings=[Opening.model_validate(one) for one in openings],
        zones=[],
        slats=Slats.model_validate({"width_mm": 40, "depth_mm": 18, "gap_mm": 16}),
        panels=Panels(),
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


def main() -> int:
    stock, panels = Stock(), Panels()
    level, sloping = set_out_of(2480), set_out_of(1250, ceiling="swept", ceiling_out_of_level_mm=45)
    reference = fastest(5, lambda: first_fit_decreasing(wall(75)))
    first = fastest(5, lambda: first_plan(wall(75)))
    first_large = fastest(3, lambda: first_plan(wall(2000)))
    result: dict[str, float | bool] = {
        "reference_ms": round(reference * 1e3, 2),
        "crosscut_75_ms": round(first * 1e3, 2),
        "crosscut_75_over_reference": round(first / reference, 1),
        "crosscut_2000_over_75": round(first_large / first, 1),
        "pieces_2000": sum(wall(2000).pieces.values()),
    }
    proven_plan(first_plan(wall(30)))  # loads the solver
    good = first_large / first <= 2000 / 75
    for name, laid in (("wall", level), ("slope", sloping)):
        plan = first_cutting([laid], stock=stock, panels=panels)
        taken = fastest(5, lambda laid=laid: first_cutting([laid], stock=stock, panels=panels))
        begun = perf_counter()
        proven = proven_cutting(plan)
        result[f"{name}_slats"] = len(laid.slats)
        result[f"{name}_first_plan_ms"] = round(taken * 1e3, 1)
        result[f"{name}_proven_s"] = round(perf_counter() - begun, 2)
        result[f"{name}_proven"] = proven.proven
        gap = max(float(one.crosscut.gap) for one in proven.timber)
        result[f"{name}_gap"] = round(gap, 4)
        # 50 ms and 10 s are the targets of the design; a slope may stay one length's step from its bound
        good = good and taken <= 0.050 and (proven.proven if name == "wall" else gap <= 0.03)
    print(json.dumps(result, indent=2))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
