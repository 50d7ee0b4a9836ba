"""What a finish looks like, in numbers: a spectrum a surface, its colour, and how each lighting shows it."""

from typing import TYPE_CHECKING, Any

import numpy as np

from finishes.adaptation import adapted_srgb
from finishes.appearance import appearance
from finishes.choice import Finish
from finishes.cielab import lab
from finishes.lamps import lamp
from finishes.spectra import WAVELENGTHS_NM
from meshes.layout.setout import SetOut
from meshes.surfaces import SURFACES
from viewer.answers.set_out import set_outs_of
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.light import light_together, mixed_weights

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def visible(set_outs: tuple[SetOut, ...]) -> list[str]:
    """The surface words that this wall shows, in the order of the words."""
    there = {
        "trim": any(one.trims for one in set_outs),
        "shadow_gap": any(one.shadow_gaps for one in set_outs),
        "skirting": any(one.skirting for one in set_outs),
        "plate": any(one.plates for one in set_outs),
    }
    return [word for word in SURFACES if there.get(word, True)]


def appearance_answer(job: Job, finish: Finish, label: str, catalogue: "Catalogue") -> dict[str, Any]:
    """What ``slatwright appearance`` prints. ``srgb`` is encoded, 0 to 1, adapted to the lighting's white."""
    look = appearance(finish, catalogue)
    daylight = lamp("D65").weights
    weights = {lighting.name: mixed_weights(lighting, catalogue) for lighting in lightings(job)}
    surfaces = {}
    for word in visible(set_outs_of(job)):
        if word.startswith("room_"):
            reflectance = np.full(41, getattr(job.room.reflectance, word.removeprefix("room_")))
        else:
            reflectance = look.reflectance[word]
        surfaces[word] = {
            "reflectance": [round(float(value), 6) for value in reflectance],
            "lab_d65": [
                round(float(value), 4) for value in lab(reflectance @ daylight, daylight.sum(axis=0))
            ],
            "uncertainty_de": round(look.uncertainties[word], 2) if word in look.uncertainties else 0.0,
            "srgb": {
                name: [round(float(value), 5) for value in adapted_srgb(reflectance @ each, each.sum(axis=0))]
                for name, each in weights.items()
            },
        }
    return {
        "finish": label,
        "state": look.state,
        "uncertainty_de": round(look.uncertainty_de, 2),
        "uncertainty_de_under": {
            lighting.name: round(look.uncertainty_under(light_together(lighting, catalogue)), 2)
            for lighting in lightings(job)
        },
        "spread_de": round(look.spread_de, 2),
        "late_share": look.late_share,
        "gloss": {"f0": look.f0, "roughness": look.roughness},
        "wavelengths_nm": [int(value) for value in WAVELENGTHS_NM],
        "surfaces": surfaces,
        "warnings": list(look.warnings),
    }
