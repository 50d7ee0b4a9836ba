"""How the candidates of a job differ under its lightings: a sentence for the client, and a number."""

from gettext import gettext as _
from itertools import combinations
from typing import Any

from finishes.difference import Candidate, compare
from finishes.lamps import LampSpectrum
from finishes.tone import tone_of
from meshes.light.lamps import Lighting
from viewer.light import lamp_spds, mixed_weights
from viewer.pages.opened import Opened
from viewer.services import services


def compared(on: Opened) -> list[dict[str, Any]]:
    """``[{"sentence", "number", "warnings"}]`` for every pair of candidates."""
    catalogue = services().catalogue
    lamps = [_as_lamp(lighting) for lighting in on.lightings]
    seen = []
    for label, finish in on.finishes:
        look = on.studio.appearance(finish)
        seen.append(
            Candidate(
                name=label,
                timber=catalogue.named("timber", finish.timber).name,
                dyed=tone_of(finish, catalogue).dyed,
                reflectance=look.seen(),
                roughness=look.gloss.roughness,
            )
        )
    within = catalogue.constant("within-board spread")
    found = (compare(one, other, lamps, within_board=within) for one, other in combinations(seen, 2))
    return [
        {
            "sentence": one.sentence,
            "number": ", ".join(f"{name} {value:.1f}" for name, value in one.difference) + _(" CIEDE2000"),
            "warnings": one.warnings,
        }
        for one in found
    ]


def _as_lamp(lighting: Lighting) -> LampSpectrum:
    """All lamps of a lighting together, by their lumens, as one light to compare under."""
    catalogue = services().catalogue
    weights = mixed_weights(lighting, catalogue)
    lumens = [one.lumens for one in lighting.lamps]
    spd = sum(share * row for share, row in zip(lumens, lamp_spds(lighting, catalogue), strict=True))
    return LampSpectrum(
        name=lighting.name, weights=weights, white_xyz=weights.sum(axis=0), spd=spd / sum(lumens)
    )
