"""Walls round the corner: each is set out in its own coordinates, starting from what the one before leaves.

::

         wall 2 (turns inside)               Seen from above. The run of wall 2 starts at the build-up of
         |:|                                 wall 1 and a gap, so that no slat disappears in the corner.
         |:|<- gap
    =====+-+====== build-up of wall 1        Round an outside corner a post fills the square between the
    ------------------------- wall 1         two build-ups, and both runs go up to the corner.
"""

from collections.abc import Sequence

from meshes.layout.placed import SetOut
from meshes.layout.setout import set_out
from meshes.layout.site import Corner
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import NextWall, Opening, Wall, Zone


def set_out_walls(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    next_walls: Sequence[NextWall] = (),
) -> tuple[SetOut, ...]:
    """Set out the first wall and those that go on round its right-hand corners."""
    turns = [one.turns for one in next_walls]
    parts = [(wall, openings, zones), *((one.wall, one.openings, one.zones) for one in next_walls)]
    done: list[SetOut] = []
    for number, (one, its_openings, its_zones) in enumerate(parts):
        corner = None
        if number:
            corner = Corner(turns=turns[number - 1], build_up=done[-1].build_up.total)
            one = _meeting(one, "left", turns[number - 1])
        if number < len(turns):
            one = _meeting(one, "right", turns[number])
        done.append(
            set_out(
                wall=one,
                openings=its_openings,
                zones=its_zones,
                slats=slats,
                panels=panels,
                corner=corner,
            )
        )
    return tuple(done)


def _meeting(wall: Wall, side: str, turns: str) -> Wall:
    """The wall, its end at a corner said to meet that corner."""
    end = wall.left if side == "left" else wall.right
    turned = end.model_copy(update={"meets": f"{turns}_corner"})
    return wall.model_copy(update={side: turned})
