"""How long a set-out takes, beside a reference of the same run: ``python tests/bench/bench_layout.py``.

Prints one JSON object; exits with 1 when a ratio misses its target. The reference is ten thousand exact
additions and comparisons, so that a slow machine does not turn into a slow program. On two shared cores of
2026 the reference took 26 ms and 75 slats with seven openings 8 ms, 0.31 references; the target of 20 ms is
0.75.
"""

import json
import sys
from fractions import Fraction
from typing import Any

from timing import fastest

from meshes.layout.areas import areas
from meshes.layout.checks import check
from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone

WITHIN_REFERENCES = 0.75
"""Set-out and areas of 75 slats with openings, in references."""

LINEAR_WITHIN = 1.25
"""2,000 slats may take this much more than 2000/75 times as long."""

FINE_WITHIN = 8.0
"""A slat of 3 mm on a level wall of 12 m, on five boards of its own, may take this many times as long as a
slat of the long wall."""


def wall(slats: int, gap: float) -> dict[str, Any]:
    """A wall with a socket every eight slats or so, a kept skirting and a hidden zone."""
    pitch = 16 + gap
    width = slats * pitch
    sockets = [
        Opening.model_validate(
            {"kind": "socket", "left_mm": left, "bottom_mm": 450, "width_mm": 86, "height_mm": 86}
        )
        for left in range(300, int(width) - 200, int(9 * pitch))
    ]
    return {
        "wall": Wall.model_validate(
            {"width_mm": width, "height_mm": 2550, "skirting_mm": 120, "skirting_projection_mm": 18}
        ),
        "openings": sockets,
        "zones": [
            Zone.model_validate(
                {"kind": "hidden", "left_mm": 100, "bottom_mm": 0, "width_mm": 900, "height_mm": 700}
            )
        ],
        "slats": Slats.model_validate({"width_mm": 16, "depth_mm": 16, "gap_mm": gap}),
        "panels": Panels(),
    }


def fine() -> dict[str, Any]:
    """2,000 level slats of 3 mm, gaps growing: no two boards alike, none light enough."""
    slats = {"width_mm": 3, "depth_mm": 20, "gap_mm": 3, "run": "level", "longest_mm": 3000}
    panels = {"max_width_mm": 60_000, "max_weight_kg": 1, "thickness_mm": 60}
    return {
        "wall": Wall.model_validate({"width_mm": 12_000, "height_mm": 12_000}),
        "openings": [],
        "zones": [
            Zone.model_validate(
                {"kind": "hidden", "left_mm": 0, "bottom_mm": 0, "width_mm": 12_000, "height_mm": 12_000}
            )
        ],
        "slats": Slats.model_validate({**slats, "pattern": {"last_to_first": 2}}),
        "panels": Panels.model_validate(panels),
    }


def reference() -> Fraction:
    """Exact arithmetic as the layout does it."""
    place, step, limit = Fraction(0), Fraction(1008, 71), Fraction(7, 3)
    for index in range(10_000):
        place = place + step if place < limit * index else place - limit
    return place


def main() -> int:
    small, large = wall(75, 14), wall(2000, 12)
    plain = fastest(5, reference)
    found: dict[str, float] = {"reference_s": plain}
    for name, job in (("75", small), ("2000", large)):
        assert check(**job) == []
        laid = set_out(**job)
        found[f"slats_{name}"] = len(laid.slats)
        found[f"openings_{name}"] = len(job["openings"])
        found[f"set_out_and_areas_{name}_s"] = fastest(5, lambda job=job: areas(set_out(**job)))
        found[f"check_{name}_s"] = fastest(3, lambda job=job: check(**job))
    found["references_for_75"] = found["set_out_and_areas_75_s"] / plain
    growth = found["set_out_and_areas_2000_s"] / found["set_out_and_areas_75_s"]
    found["growth_over_linear"] = growth / (found["slats_2000"] / found["slats_75"])
    slow = fine()
    assert check(**slow) == []
    count = len(set_out(**slow).slats)
    found["fine_level_s"] = fastest(2, lambda: areas(set_out(**slow)))
    each = found["set_out_and_areas_2000_s"] / found["slats_2000"]
    found["fine_level_over_long_wall"] = found["fine_level_s"] / count / each
    print(json.dumps({key: round(value, 4) for key, value in found.items()}, indent=2))
    met = found["references_for_75"] <= WITHIN_REFERENCES and found["growth_over_linear"] <= LINEAR_WITHIN
    return 0 if met and found["fine_level_over_long_wall"] <= FINE_WITHIN else 1


if __name__ == "__main__":
    sys.exit(main())
