"""Cross-checks on the parts of a job that parsed: each room judges its own values.

Where one opening of five did not parse, the other four are still held against the wall; what a room then says
about them is put back to the places they have in the job.
"""

import datetime
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from meshes.layout.checks import check as layout_check
from meshes.layout.spacing import Panels, Slats
from viewer.job.reading import Problem

_FITS_ANYWHERE = Slats(width_mm=Fraction(3), depth_mm=Fraction(3), gap_mm=Fraction(0))
"""Stands in for slats that did not parse, so that wall and openings can still be judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The sections of a job by name: parsed values, None where a section did not parse.

    ``items`` holds, for lists of which only some items parsed, those with their places; ``given`` are the
    sections that the job states.
    """

    values: Mapping[str, Any]
    items: Mapping[str, tuple[tuple[int, Any], ...]] = field(default_factory=dict)
    given: frozenset[str] = frozenset()

    def placed(self, section: str) -> tuple[tuple[int, Any], ...]:
        """The items of a list that parsed, each with its place in the job."""
        whole = self.values.get(section)
        return tuple(enumerate(whole)) if whole is not None else tuple(self.items.get(section, ()))


def _doubled(section: str, items: Iterable[tuple[int, Any]]) -> list[Problem]:
    """Names that must tell things apart, given twice."""
    first: dict[str, int] = {}
    problems = []
    for index, item in items:
        if item.name and item.name in first:
            earlier = f"{section}[{first[item.name]}]"
            message = f'"{item.name}" already names {earlier}; expected another name'
            problems.append((f"{section}[{index}].name", message))
        first.setdefault(item.name, index)
    return problems


def _own_checks(parts: Parts) -> list[Problem]:
    problems = []
    revised = parts.values.get("revised")
    if revised:
        try:
            datetime.date.fromisoformat(revised)
        except ValueError:
            problems.append(("revised", f'"{revised}" is no date; expected YYYY-MM-DD'))
    for section in ("finishes", "lightings"):
        problems += _doubled(section, parts.placed(section))
    return problems


def _at_their_places(problem: Problem, placed: Mapping[str, tuple[tuple[int, Any], ...]]) -> Problem:
    """A problem of the items that parsed, with the places that those have in the job."""

    def back(match: re.Match[str]) -> str:
        section, number = match.group(1), int(match.group(2))
        items = placed.get(section)
        return f"{section}[{items[number][0]}]" if items and number < len(items) else match.group()

    path, message = (re.sub(r"\b([a-z_]+)\[(\d+)\]", back, text) for text in problem)
    return path, message


def _layout_checks(parts: Parts) -> list[Problem]:
    wall = parts.values.get("wall")
    if wall is None:
        return []
    placed = {section: parts.placed(section) for section in ("openings", "zones", "next_walls")}
    slats, panels = parts.values.get("slats"), parts.values.get("panels")
    problems = layout_check(
        wall=wall,
        openings=tuple(item for _, item in placed["openings"]),
        zones=tuple(item for _, item in placed["zones"]),
        slats=slats or _FITS_ANYWHERE,
        panels=panels if panels is not None else Panels(),
        stock=parts.values.get("stock") if slats is not None else None,
        next_walls=tuple(item for _, item in placed["next_walls"]),
    )
    missing = tuple(name for name in ("slats", "panels") if parts.values.get(name) is None)
    return [
        _at_their_places(problem, placed)
        for problem in problems
        if not missing or not problem[0].startswith(missing)
    ]


def _light_checks(parts: Parts) -> list[Problem]:
    wall, room = parts.values.get("wall"), parts.values.get("room")
    slats, panels = parts.values.get("slats"), parts.values.get("panels")
    if wall is None or room is None or slats is None or panels is None:
        return []
    # these bring numpy: only where there is light and colour to judge
    from meshes.light.checks import check as light_check
    from viewer.plates import plate_problems

    placed = {"lightings": parts.placed("lightings")}
    lightings = tuple(item for _, item in placed["lightings"])
    problems = plate_problems(parts.placed("openings"))
    corners = bool(parts.placed("next_walls"))
    judged = light_check(
        wall=wall, slats=slats, panels=panels, room=room, lightings=lightings, corners=corners
    )
    return problems + [_at_their_places(problem, placed) for problem in judged]


def cross_checks(parts: Parts) -> list[Problem]:
    """What the rooms say about values that parsed each by itself but do not go together."""
    return [*_own_checks(parts), *_layout_checks(parts), *_light_checks(parts)]
