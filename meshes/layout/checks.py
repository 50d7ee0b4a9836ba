"""Contradictions between the parts of a job that each parsed by itself, all at once, as (path, message)."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from typing import Protocol

from meshes.layout.axes import axes_of
from meshes.layout.face import end_trim, face_of, face_width
from meshes.layout.gaps import even_gaps, gap_for
from meshes.layout.openings import opening_rect, overlap
from meshes.layout.reasons import mm
from meshes.layout.setout import slat_size
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone

Problem = tuple[str, str]


class StockLengths(Protocol):
    """What the layout asks of the stock: the lengths on sale [mm]."""

    @property
    def lengths_mm(self) -> tuple[Fraction, ...]: ...


def check(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    stock: StockLengths | None = None,
) -> list[Problem]:
    """Every contradiction, as (path, message) pairs in no particular order; empty when all is well.

    A message names what was given and what would be accepted.
    """
    problems = [*_wall(wall), *_inside("openings", openings, wall), *_inside("zones", zones, wall)]
    problems += _overlaps(openings)
    problems += _panels(panels)
    if not any(path.startswith("wall") for path, _ in problems):
        problems += _slats(wall, slats)
        if stock is not None:
            problems += _stock(wall, slats, stock)
    return problems


def _wall(wall: Wall) -> list[Problem]:
    problems = []
    if wall.skirting_mm >= wall.height_mm:
        problems.append(
            (
                "wall.skirting_mm",
                f"{mm(wall.skirting_mm)} reaches the ceiling at {mm(wall.height_mm)}; give less than that",
            )
        )
    if face_width(wall) <= 0:
        for side, end in (("left", wall.left), ("right", wall.right)):
            for name, taken in (("shadow_gap_mm", end.shadow_gap_mm), ("trim_mm", end_trim(end))):
                if taken:
                    problems.append(
                        (
                            f"wall.{side}.{name}",
                            f"{mm(taken)} and the other ends leave no run of the wall's {mm(wall.width_mm)}",
                        )
                    )
    return problems


def _inside(name: str, regions: Sequence[Opening] | Sequence[Zone], wall: Wall) -> list[Problem]:
    problems = []
    for index, region in enumerate(regions):
        for low, size, limit, whose in (
            ("left_mm", "width_mm", wall.width_mm, "wall's"),
            ("bottom_mm", "height_mm", wall.height_mm, "wall's height of"),
        ):
            at, length = getattr(region, low), getattr(region, size)
            path = f"{name}[{index}]"
            if at >= limit:
                problems.append((f"{path}.{low}", f"{mm(at)} lies beyond the {whose} {mm(limit)}"))
            elif at < 0:
                problems.append((f"{path}.{low}", f"{mm(at)} lies before the wall; give 0 to {mm(limit)}"))
            elif length == 0:
                problems.append(
                    (f"{path}.{size}", f"0 is no size; give more than 0 and at most {mm(limit - at)}")
                )
            elif at + length > limit:
                problems.append(
                    (
                        f"{path}.{size}",
                        f"{mm(length)} from {mm(at)} reaches {mm(at + length)}, beyond the {whose} "
                        f"{mm(limit)}; give at most {mm(limit - at)}",
                    )
                )
    return problems


def _overlaps(openings: Sequence[Opening]) -> list[Problem]:
    problems = []
    for (first, one), (second, other) in combinations(enumerate(openings), 2):
        if overlap(opening_rect(one), opening_rect(other)):
            problems.append(
                (
                    f"openings[{second}]",
                    f"{other.kind} overlaps openings[{first}] ({one.kind}); move it or make them one opening",
                )
            )
    return problems


def _panels(panels: Panels) -> list[Problem]:
    if panels.thickness_mm == 0:
        return [("panels.thickness_mm", "0 leaves nothing to pin into; give more than 0")]
    return []


def _slats(wall: Wall, slats: Slats) -> list[Problem]:
    """What nearest thing fits, when the slats do not."""
    across = axes_of(slats.run).across(face_of(wall).rect)
    run = across[1] - across[0]
    width, _ = slat_size(slats)
    path = "slats.as_machined_mm.width" if slats.as_machined_mm else "slats.width_mm"
    if width > run:
        return [(path, f"{mm(width)} is wider than the run of {mm(run)}; give at most {mm(run)}")]
    if even_gaps(run, width, slats.gap_mm, slats.ends):
        return []
    single = gap_for(run, width, 1, "gap")
    shown = mm(single) if single is not None else "0"
    return [
        (
            path,
            f'{mm(width)} does not fit twice into the run of {mm(run)}; nearest: ends "gap" with one slat '
            f"and {shown} each side, or two slats of at most {mm(run / 2)}",
        )
    ]


def _stock(wall: Wall, slats: Slats, stock: StockLengths) -> list[Problem]:
    low, high = axes_of(slats.run).along(face_of(wall).rect)
    longest = max(stock.lengths_mm)
    if longest >= high - low:
        return []
    return [
        (
            "stock.lengths_mm",
            f"the longest, {mm(longest)}, is shorter than a slat of {mm(high - low)}; add a longer length",
        )
    ]
