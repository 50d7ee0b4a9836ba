"""Slats as they really came out: what the plan would have done with them, and what moves."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from meshes.layout.alternative import Alternative
from meshes.layout.gaps import gap_for
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import Panel, SetOut
from meshes.layout.site import Site
from meshes.layout.spacing import Slats
from meshes.layout.words import counted, mm, signed


def as_machined(
    slats: Slats,
    site: Site,
    chosen: Alternative,
    boards: Sequence[Panel],
    planned: SetOut | None,
    clearance: Fraction,
) -> Iterator[str]:
    """What differs from the wish, and from the set-out that was planned with it."""
    made = slats.as_machined_mm
    if made is None:
        return
    if made.depth != slats.depth_mm:
        yield (
            f"Slats came out {mm(made.depth)} mm deep, not the wished {mm(slats.depth_mm)}: the build-up "
            f"follows ({signed(made.depth - slats.depth_mm)} mm)."
        )
    if made.width == slats.width_mm:
        return
    came_out = f"Slats came out {mm(made.width)} mm wide, not the wished {mm(slats.width_mm)}"
    if planned is None:
        yield f"{came_out}: with the wished width nothing would have fitted."
        return
    count = len(planned.slats)
    shift = count * (slats.width_mm - made.width)
    yield (
        f"{came_out}: with the planned spacer of {rounded_mm(planned.gap)} mm kept, {count} slats would end "
        f"{mm(abs(shift))} mm {'short of' if shift > 0 else 'beyond'} the run. Set out again: "
        f"{chosen.slat_count} slats ({signed(Fraction(chosen.slat_count - count))}), "
        f"gap {rounded_mm(chosen.gap)} mm{_keeping(slats, site, count, chosen)}; "
        f"{_boards_moved(planned.panels, boards, slats.run, clearance)}."
    )


def _keeping(slats: Slats, site: Site, count: int, chosen: Alternative) -> str:
    """The even gap that the planned count would get now, where that is another choice."""
    if chosen.slat_count == count or slats.spacing != "even":
        return ""
    kept = gap_for(site.run, site.rhythm(slats.ends), count)
    return f"; keeping {count} slats the gap would be {mm(kept.gap)} mm" if kept else ""


def _boards_moved(planned: Sequence[Panel], boards: Sequence[Panel], run: str, clearance: Fraction) -> str:
    if len(planned) != len(boards):
        return f"{counted(len(planned), 'panel becomes', 'panels become')} {len(boards)}"
    before, after = _joints(planned, run), _joints(boards, run)
    shifts = [abs(one - other) for one, other in zip(before, after, strict=True)]
    moved = max(shifts, default=Fraction(0))
    if 2 * moved <= clearance:
        return f"joints move by less than half their clearance ({mm(clearance)} mm): boards cut already fit"
    return f"joints move by up to {mm(moved)} mm: boards already cut no longer fit"


def _joints(panels: Sequence[Panel], run: str) -> list[Fraction]:
    if run == "upright":
        return [(one.board.right + other.board.left) / 2 for one, other in pairwise(panels)]
    return [(one.board.top + other.board.bottom) / 2 for one, other in pairwise(panels)]
