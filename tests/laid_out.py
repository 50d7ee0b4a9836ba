"""Walls for the layout's tests: a sound default job, with what a test changes in it."""

from typing import Any

from meshes.layout.checks import check
from meshes.layout.placed import SetOut
from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import NextWall, Opening, Wall, Zone
from meshes.layout.walls import set_out_walls

Json = dict[str, Any]

SOCKET = {"kind": "socket", "left_mm": 1480, "bottom_mm": 450, "width_mm": 146, "height_mm": 86}

WORKED = {
    "width_mm": 4200,
    "left": {"meets": "wall", "shadow_gap_mm": 12},
    "right": {"meets": "open", "trim_mm": 12},
}
"""A wall worked by hand: run 4200 - 12 - 12 = 4176; 72 slats of 44 leave 1008 for 71 gaps."""


ONE_PANEL = {"max_width_mm": 2100, "max_weight_kg": 1000, "sheet_mm": [2100, 2600]}
"""Boards of any width and weight, so that no joint crosses an opening."""


class StockOf:
    """Stock as the layout sees it: lengths on sale, and what is lost at each end."""

    def __init__(self, *lengths: int, end_trim_mm: int = 50) -> None:
        self.lengths_mm = lengths
        self.end_trim_mm = end_trim_mm


def job(wall: Json | None = None, slats: Json | None = None, **parts: Any) -> Json:
    """The parts of a job, parsed: a wall of 4200 × 2550, slats 44 × 16, gap 14."""
    return {
        "wall": Wall.model_validate({"width_mm": 4200, "height_mm": 2550, **(wall or {})}),
        "openings": tuple(Opening.model_validate({**SOCKET, **one}) for one in parts.get("openings", ())),
        "zones": tuple(Zone.model_validate(one) for one in parts.get("zones", ())),
        "slats": Slats.model_validate({"width_mm": 44, "depth_mm": 16, "gap_mm": 14, **(slats or {})}),
        "panels": Panels.model_validate(parts.get("panels", {})),
    }


def placed(wall: Json | None = None, slats: Json | None = None, **parts: Any) -> SetOut:
    """One wall, checked and set out."""
    given = job(wall, slats, **parts)
    assert check(**given) == []
    return set_out(**given)


def placed_walls(
    next_walls: list[Json], wall: Json | None = None, slats: Json | None = None, **parts: Any
) -> tuple[SetOut, ...]:
    """A wall and those round its corners, checked and set out."""
    given = {**job(wall, slats, **parts), "next_walls": [NextWall.model_validate(one) for one in next_walls]}
    assert check(**given) == []
    return set_out_walls(**given)


def problems(wall: Json | None = None, slats: Json | None = None, **parts: Any) -> list[tuple[str, str]]:
    """What ``check`` says of a job."""
    given = job(wall, slats, **parts)
    next_walls = [NextWall.model_validate(one) for one in parts.get("next_walls", ())]
    return check(**given, stock=parts.get("stock"), next_walls=next_walls)


def said(result: SetOut) -> str:
    """All warnings in one text."""
    return " ".join(result.warnings)
