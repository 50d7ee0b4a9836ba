"""Everything that a picture or a GLB shows, as one set of faces with the parts they belong to."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import trimesh
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.solids.crooked import crooked, crooked_faces
from meshes.solids.fittings import Survey, fitting_parts
from meshes.solids.leaves import leaf_boxes
from meshes.solids.props import Extras, PropBox, prop_parts, stand_ins
from meshes.solids.quads import UNSEEN, Floats, Quads, joined
from meshes.solids.room import RoomBox, Turn, footprint, frames, room_faces, widths
from meshes.solids.section import metres
from meshes.solids.wall import wall_groups
from meshes.surfaces import PROP_ID, SURFACES


@dataclass(frozen=True, kw_only=True)
class Part:
    """One named thing. ``slat`` is its number among all slats of the scene, or -1."""

    name: str
    faces: Quads
    slat: int
    wall: int
    """Index of the set-out it belongs to, or -1 for the room."""

    @property
    def surfaces(self) -> NDArray[np.uint8]:
        """(triangles,) surface id of each triangle of ``mesh``."""
        return np.repeat(self.faces.surfaces, 2)

    @cached_property
    def mesh(self) -> trimesh.Trimesh:
        """The part with its shared corners merged [m]: a closed volume, except for the faces of the room."""
        return trimesh.Trimesh(self.faces.corners.reshape(-1, 3), self.faces.triangles(), process=True)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """The set-out walls and their room in world metres.

    ``part_of`` : (n,) int32, index into ``parts`` of each face in ``faces``. ``plan`` : (n, 2) corners (x, z)
    of the room's footprint. ``frames`` : world_from_wall (4, 4) of each wall.
    """

    set_outs: tuple[SetOut, ...]
    frames: tuple[Floats, ...]
    plan: Floats
    height: float
    faces: Quads
    part_of: NDArray[np.int32]
    parts: tuple[Part, ...]


def build(
    set_outs: Sequence[SetOut],
    room: RoomBox,
    turns: Sequence[Turn] = (),
    extras: Extras = Extras(),  # noqa: B008 - a frozen value
    surveys: Sequence[Survey] = (),
) -> Scene:
    """The scene of one wall, or of several that follow each other round corners.

    turns : "inside" or "outside" between each wall and the next (one fewer than walls); left out, as the
    set-outs say; extras : grey things that stand in the picture, none by default; surveys : each wall as
    measured, for the doors, windows, radiators and cornices that stand there already.
    Raises ValueError where the walls cannot stand in one closed room.
    """
    turns = turns or [one.turns for one in set_outs[1:] if one.turns != "first"]
    placed = frames(widths(set_outs), turns)
    plan = footprint(widths(set_outs), turns, room)
    height = max(metres(set_out.wall_height) for set_out in set_outs)
    parts: list[Part] = []
    numbers: dict[str, int] = {}
    for wall, (set_out, frame) in enumerate(zip(set_outs, placed, strict=True)):
        for group in wall_groups(set_out, extras.steps_mm):
            faces = group.faces.moved(frame) if wall else group.faces
            bounds = group.starts.tolist()
            for start, stop in pairwise(bounds):
                number = numbers.get(group.kind, 0)
                numbers[group.kind] = number + 1
                if stop == start:
                    continue
                parts.append(
                    Part(
                        name=f"{group.kind}/{number}",
                        faces=_cut(faces, start, stop),
                        slat=number if group.kind == "slat" else -1,
                        wall=wall,
                    )
                )
    for wall, (survey, set_out) in enumerate(zip(surveys, set_outs, strict=False)):
        for kind, faces in fitting_parts(survey, set_out, leaves=extras.leaves):
            number = numbers.get(kind, 0)
            numbers[kind] = number + 1
            placed_faces = faces.moved(placed[wall]) if wall else faces
            parts.append(Part(name=f"{kind}/{number}", faces=placed_faces, slat=-1, wall=wall))
    for name, faces in prop_parts(extras, set_outs, turns, placed, plan):
        parts.append(Part(name=name, faces=faces, slat=-1, wall=0))
    true = not crooked(set_outs, room)
    around = room_faces(plan, height) if true else crooked_faces(set_outs[0], room)
    for name, faces in around.items():
        parts.append(Part(name=name, faces=faces, slat=-1, wall=-1))
    counts = [len(part.faces) for part in parts]
    return Scene(
        set_outs=tuple(set_outs),
        frames=placed,
        plan=plan,
        height=height,
        faces=joined([part.faces for part in parts]),
        part_of=np.repeat(np.arange(len(parts), dtype=np.int32), counts),
        parts=tuple(parts),
    )


def _cut(faces: Quads, start: int, stop: int) -> Quads:
    return Quads(
        corners=faces.corners[start:stop],
        normals=faces.normals[start:stop],
        surfaces=faces.surfaces[start:stop],
    )


def prop_boxes(scene: Scene) -> tuple[PropBox, ...]:
    """The boxes that the grey things in the scene are made of, or that stand for bodies: what a lighting is
    solved for.
    """
    found = []
    for number, part in enumerate(scene.parts):
        grey = part.faces.surfaces.min()
        if len(SURFACES) <= grey < UNSEEN:
            if grey == PROP_ID["leaf"]:
                face = metres(scene.set_outs[part.wall].build_up.total)
                boxes = leaf_boxes(part.faces.corners, scene.frames[part.wall], face)
            else:
                boxes = stand_ins(part.faces.corners)
            body = number if grey in (PROP_ID["leaf"], PROP_ID["figure"]) else -1
            found += [PropBox(tuple(low.tolist()), tuple(high.tolist()), body) for low, high in boxes]
    return tuple(found)
