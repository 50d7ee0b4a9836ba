"""Contradictions between the parts of a job that each parsed by itself, all at once, as (path, message)."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Protocol

from meshes.layout.check_regions import regions
from meshes.layout.check_spacing import size_alone, spacing
from meshes.layout.check_wall import wall_alone, width
from meshes.layout.face import face_of
from meshes.layout.levels import ceiling_line
from meshes.layout.site import Corner
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import NextWall, Opening, Wall, Zone
from meshes.layout.words import mm

Problem = tuple[str, str]


class StockLengths(Protocol):
    """What the layout asks of the stock: the lengths on sale, and what is lost at each end of one [mm]."""

    @property
    def lengths_mm(self) -> tuple[Fraction, ...]: ...

    @property
    def end_trim_mm(self) -> Fraction: ...


def check(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    stock: StockLengths | None = None,
    next_walls: Sequence[NextWall] = (),
) -> list[Problem]:
    """Every contradiction, as (path, message) pairs in no particular order; empty when all is well.

    A message names what was given and what would be accepted.
    """
    problems = [*_panels(panels), *_turns(wall, next_walls)]
    corner: Corner | None = None
    walls = [("", wall, openings, zones)]
    walls += [
        (f"next_walls[{index}].", one.wall, one.openings, one.zones) for index, one in enumerate(next_walls)
    ]
    build_up = panels.packing_mm + panels.thickness_mm + panels.fabric_mm + slats.depth_mm
    for number, (prefix, one, its_openings, its_zones) in enumerate(walls):
        if number:
            corner = Corner(turns=next_walls[number - 1].turns, build_up=build_up)
        found = wall_alone(one, corner, slats)
        on = f"next_walls[{number}]" if number < len(next_walls) else ""
        found += regions(one, its_openings, its_zones, goes_on=on)
        if not any(path.startswith("wall") for path, _ in found):
            found += spacing(one, its_openings, its_zones, slats, panels, corner, alone=not found)
            if stock is not None:
                found += _stock(one, slats, stock, corner)
        elif slats.run == "upright" and not width(one, corner):
            found += size_alone(one, slats, corner)
        for path, message in found:
            on_wall = f"; so it is on {prefix}wall" if prefix else ""
            problems.append((path, message + on_wall) if _of_job(path) else (prefix + path, message))
    return list(dict.fromkeys(problems))


def _of_job(path: str) -> bool:
    """Whether a path belongs to the job as a whole, not to one of its walls."""
    return path.startswith(("slats", "panels", "stock"))


def _turns(wall: Wall, next_walls: Sequence[NextWall]) -> list[Problem]:
    """A wall that goes on round a corner must not say that it meets something else there."""
    found = []
    before = ["wall", *(f"next_walls[{index}].wall" for index in range(len(next_walls)))]
    walls = [wall, *(one.wall for one in next_walls)]
    for index, one in enumerate(next_walls):
        for path, end in (
            (f"{before[index]}.right.meets", walls[index].right),
            (f"next_walls[{index}].wall.left.meets", one.wall.left),
        ):
            corner = f"{one.turns}_corner"
            allowed = (corner, "wall") if one.turns == "inside" else (corner,)
            if "meets" in end.model_fields_set and end.meets not in allowed:
                found.append(
                    (path, f'"{end.meets}" is where next_walls[{index}] turns {one.turns}; give "{corner}"')
                )
    return found


def _panels(panels: Panels) -> list[Problem]:
    if panels.thickness_mm == 0:
        return [("panels.thickness_mm", "0 leaves nothing to pin into; give more than 0")]
    return []


def _stock(wall: Wall, slats: Slats, stock: StockLengths, corner: Corner | None) -> list[Problem]:
    face = face_of(wall, build_up=Fraction(0), starts_at=corner.starts_at if corner else Fraction(0)).rect
    needed = face.height if slats.run == "upright" else face.width
    if wall.ceiling == "swept":
        needed = ceiling_line(wall).highest - wall.cornice_mm - face.bottom
    if slats.longest_mm is not None:
        needed = min(needed, slats.longest_mm)
    longest = max(stock.lengths_mm)
    usable = longest - 2 * stock.end_trim_mm
    if usable >= needed:
        return []
    joints = f", or set slats.longest_mm to at most {mm(usable)} for staggered joints" if usable > 0 else ""
    return [
        (
            "stock.lengths_mm",
            f"the longest, {mm(longest)}, leaves {mm(usable)} between its end trims, and a slat is "
            f"{mm(needed)}; add a longer length{joints}",
        )
    ]
