"""Contradictions between the parts of a job that each parsed by itself, all at once, as (path, message)."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Protocol

from meshes.layout.check_regions import regions
from meshes.layout.check_spacing import size_alone, spacing
from meshes.layout.face import end_trim, face_bottom, face_of, under_ceiling
from meshes.layout.levels import ceiling_line
from meshes.layout.measured import Measured, points
from meshes.layout.site import Corner
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import End, NextWall, Opening, Wall, Zone
from meshes.layout.words import mm

Problem = tuple[str, str]

AGREE_MM = Fraction(5)
"""Measurements that contradict each other by more than this were not of the same wall (common practice)."""


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
        found = _wall(one, corner, slats)
        on = f"next_walls[{number}]" if number < len(next_walls) else ""
        found += regions(one, its_openings, its_zones, goes_on=on)
        if not any(path.startswith("wall") for path, _ in found):
            found += spacing(one, its_openings, its_zones, slats, panels, corner, alone=not found)
            if stock is not None:
                found += _stock(one, slats, stock, corner)
        elif slats.run == "upright" and not _width(one, corner):
            found += size_alone(one, slats, corner)
        for path, message in found:
            on_wall = f"; so it is on {prefix}wall" if prefix else ""
            problems.append((path, message + on_wall) if _of_job(path) else (prefix + path, message))
    return list(dict.fromkeys(problems))


def _of_job(path: str) -> bool:
    """Whether a path belongs to the job as a whole, not to one of its walls."""
    return path.startswith(("slats", "panels", "stock"))


def _wall(wall: Wall, corner: Corner | None, slats: Slats) -> list[Problem]:
    return [*_height(wall), *_width(wall, corner), *_true(wall), *_frame(wall, slats), *_studs(wall)]


def _height(wall: Wall) -> list[Problem]:
    if face_bottom(wall) < under_ceiling(wall) - (wall.ceiling_mm if wall.ceiling != "plain" else 0):
        return []
    limit = under_ceiling(wall)
    if wall.skirting == "kept" and wall.skirting_mm:
        name, given = "skirting_mm", wall.skirting_mm
    elif wall.plinth_mm:
        name, given = "plinth_mm", wall.plinth_mm
    elif wall.cornice_mm:
        name, given = "cornice_mm", wall.cornice_mm
    elif wall.ceiling_mm:
        name, given = "ceiling_mm", wall.ceiling_mm
    else:
        fall = f"a floor that reaches {mm(face_bottom(wall))} and a ceiling that comes down to {mm(limit)}"
        return [("wall.height_mm", f"{mm(wall.height_mm)} leaves no height between {fall}; measure again")]
    if given >= limit > 0:
        return [(f"wall.{name}", f"{mm(given)} reaches the ceiling at {mm(limit)}; give less than that")]
    return [
        (
            f"wall.{name}",
            f"{mm(given)} and what else stands at floor and ceiling leave no height of {mm(wall.height_mm)}; "
            "give less",
        )
    ]


def _width(wall: Wall, corner: Corner | None) -> list[Problem]:
    taken = corner.starts_at if corner else Fraction(0)
    taken += sum((end.shadow_gap_mm + end_trim(end) for end in (wall.left, wall.right)), Fraction(0))
    if taken < wall.width_mm:
        return []
    over = taken - wall.width_mm
    given = [
        (
            f"wall.{side}.{name}",
            f"{mm(size)} and what else stands at the ends take {mm(taken)} of the wall's "
            f"{mm(wall.width_mm)}; {f'give less than {mm(size - over)}' if size > over else 'leave it out'}",
        )
        for side, end in (("left", wall.left), ("right", wall.right))
        for name, size in (("shadow_gap_mm", end.shadow_gap_mm), ("trim_mm", end_trim(end)))
        if size
    ]
    return given or [
        (
            "wall.width_mm",
            f"{mm(wall.width_mm)} is taken up by the build-up of the wall before; give more than {mm(taken)}",
        )
    ]


def _true(wall: Wall) -> list[Problem]:
    """Measurements that cannot all be of one wall."""
    found = []
    lean = wall.left.out_of_plumb_mm + wall.right.out_of_plumb_mm
    if isinstance(wall.width_mm, Measured) and (wall.left.out_of_plumb_mm or wall.right.out_of_plumb_mm):
        floor, _, ceiling = points(wall.width_mm)
        if abs(floor - ceiling - lean) > AGREE_MM:
            found.append(
                (
                    "wall.width_mm",
                    f"{mm(floor)} at the floor and {mm(ceiling)} at the ceiling do not go with ends that "
                    f"lean in {mm(lean)} together; measure again",
                )
            )
    if isinstance(wall.height_mm, Measured) and wall.ceiling_out_of_level_mm:
        left, _, right = points(wall.height_mm)
        rise = wall.floor_out_of_level_mm + right - left
        if abs(rise - wall.ceiling_out_of_level_mm) > AGREE_MM:
            found.append(
                (
                    "wall.ceiling_out_of_level_mm",
                    f"{mm(wall.ceiling_out_of_level_mm)} does not go with the three heights, which say "
                    f"{mm(rise)}; leave it out",
                )
            )
    return found


def _frame(wall: Wall, slats: Slats) -> list[Problem]:
    found = []
    kept = wall.skirting == "kept" and wall.skirting_mm > 0
    if kept and wall.plinth_mm:
        found.append(
            (
                "wall.plinth_mm",
                f'{mm(wall.plinth_mm)} goes with no skirting; set wall.skirting to "removed" or leave it out',
            )
        )
    if wall.closing_trim_mm and not kept:
        found.append(
            (
                "wall.closing_trim_mm",
                "closes the edge over a kept skirting; give wall.skirting_mm or leave it out",
            )
        )
    if wall.ceiling in ("shadow", "trim") and not wall.ceiling_mm:
        found.append(
            ("wall.ceiling_mm", f'0 is no {wall.ceiling}; give its height or set wall.ceiling to "plain"')
        )
    if wall.ceiling in ("plain", "swept") and wall.ceiling_mm:
        found.append(
            (
                "wall.ceiling_mm",
                f'{mm(wall.ceiling_mm)} goes with wall.ceiling "shadow" or "trim"; leave it out',
            )
        )
    if wall.ceiling == "swept" and slats.run == "level":
        found.append(
            ("wall.ceiling", 'level slats cannot be swept to the ceiling; give "plain", "shadow" or "trim"')
        )
    for side, end in (("left", wall.left), ("right", wall.right)):
        found += _end(f"wall.{side}", end)
    return found


def _end(path: str, end: End) -> list[Problem]:
    if end.post_mm and end.meets != "outside_corner":
        return [(f"{path}.post_mm", f'{mm(end.post_mm)} goes with meets "outside_corner"; leave it out')]
    return []


def _studs(wall: Wall) -> list[Problem]:
    return [
        (f"wall.studs_mm[{index}]", f"{mm(stud)} lies outside the wall; give 0 to {mm(wall.width_mm)}")
        for index, stud in enumerate(wall.studs_mm)
        if not 0 <= stud <= wall.width_mm
    ]


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
