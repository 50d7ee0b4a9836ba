"""The wall and its room as GLB, coloured by the chosen finish with the candidates as variants."""

from typing import TYPE_CHECKING

import numpy as np

from finishes.adaptation import D65_XYZ, linear_srgb
from finishes.appearance import Appearance, appearance
from finishes.lamps import lamp
from meshes.solids.glb import glb_bytes
from meshes.solids.scene import build
from meshes.surfaces import SURFACES
from viewer.answers.set_out import set_outs_of, surveys_of
from viewer.job.choices import candidates, chosen_finish, finish_label
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def palette(job: Job, look: Appearance) -> dict[str, tuple[float, float, float]]:
    """Linear BT.709 reflectance in even daylight (D65) of each surface word; the room is grey."""
    weights = lamp("D65").weights
    colours = {}
    for word in SURFACES:
        if word.startswith("room_"):
            grey = getattr(job.room.reflectance, word.removeprefix("room_"))
            colours[word] = (grey, grey, grey)
        else:
            rgb = np.clip(linear_srgb(look.reflectance[word] @ weights, D65_XYZ), 0, 1)
            colours[word] = (float(rgb[0]), float(rgb[1]), float(rgb[2]))
    return colours


def glb_answer(job: Job, catalogue: "Catalogue") -> bytes:
    """The GLB file: metres, Y up, nodes named by what they are, candidates as KHR_materials_variants."""
    finishes = candidates(job)
    variants = {
        finish_label(finish, number): palette(job, appearance(finish, catalogue))
        for number, finish in enumerate(finishes)
    }
    scene = build(set_outs_of(job), job.room, surveys=surveys_of(job))
    return glb_bytes(
        scene,
        palette(job, appearance(chosen_finish(job), catalogue)),
        variants if len(finishes) > 1 else None,
    )
