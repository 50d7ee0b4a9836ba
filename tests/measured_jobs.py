"""A measured off-cut as a job file holds it, and what changes when each part of it is moved."""

from typing import Any

AN_OFF_CUT: dict[str, Any] = {
    "name": "3",
    "timber": "Scots pine",
    "tone": "honey",
    "coats": 2,
    "topcoat": "oil",
    "date": "2026-11-20",
    "lamp": "daylight window",
    "reflectance": [0.4] * 41,
    "uncertainty_de": 2,
}
"""A measured off-cut as a job file holds it."""

Moves = list[tuple[str, Any, dict[str, Any]]]
"""(path, another value, what the job needs for it)."""


def _with(values: dict[str, Any]) -> Moves:
    return [
        (f"finish.off_cut.{name}", value, {"finish.off_cut": AN_OFF_CUT}) for name, value in values.items()
    ]


OFF_CUT_SIGNED: Moves = [
    ("finish.off_cut", AN_OFF_CUT, {}),
    *_with({name: "another" for name in ("name", "timber", "tone", "topcoat", "lamp")}),
    *_with({"coats": 3, "between_coats": "dried", "faces": "sawn", "date": "2026-11-21"}),
    *_with({"reflectance[20]": 0.5}),
]
_HOW = {"uncertainty_de": 3, "rough": True, "read_from": "two photographs"}
OFF_CUT_NOT_SIGNED: Moves = [*_with(_HOW), ("finish.fabric_lay", "along", {})]
WHOLE_OFF_CUT = {**AN_OFF_CUT, "between_coats": "dried", "faces": "planed", **_HOW}
"""With every key."""
