"""Contradictions within the survey of one wall: its height, width and ends, frame and studs."""

from fractions import Fraction

from meshes.layout.face import end_trim, face_bottom, under_ceiling
from meshes.layout.measured import Measured, points
from meshes.layout.site import Corner
from meshes.layout.spacing import Slats
from meshes.layout.survey import End, Wall
from meshes.layout.words import mm

Problem = tuple[str, str]

AGREE_MM = Fraction(5)
"""Measurements that contradict each other by more than this were not of the same wall (common practice)."""


def wall_alone(wall: Wall, corner: Corner | None, slats: Slats) -> list[Problem]:
    """What contradicts itself in the survey of one wall; ``corner``: how it meets the wall before it."""
    return [*_height(wall), *width(wall, corner), *_true(wall), *_frame(wall, slats), *_studs(wall)]


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


def width(wall: Wall, corner: Corner | None) -> list[Problem]:
    """What stands at the ends, and the build-up round a corner, must leave something of the width."""
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
