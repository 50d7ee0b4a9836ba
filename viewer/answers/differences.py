"""How the finishes of a job differ under its lightings: a sentence for the client, a number for the maker."""

from collections.abc import Sequence
from dataclasses import replace
from gettext import gettext as _
from itertools import combinations
from typing import TYPE_CHECKING, Any

from finishes.appearance import appearance
from finishes.choice import Finish
from finishes.difference import Candidate, Comparison, compare
from finishes.tone import tone_of
from meshes.light.lamps import Lighting
from viewer.calling import called
from viewer.job.choices import candidates, lightings
from viewer.job.model import Job
from viewer.light import light_together

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

LIKE_DAYLIGHT_Z = 0.8
"""Z of its white (Y = 1) from which a light counts as daylight (CIE 15: D50 has 0.825, LED-B3 0.676)."""


def differences(
    named: Sequence[tuple[str, Finish]], seen_under: Sequence[Lighting], catalogue: "Catalogue"
) -> tuple[Comparison, ...]:
    """Every pair of the finishes, in their order, under every lighting at full adaptation.

    Where no lighting is like daylight, daylight is added: pairs that agree by lamp alone must be told.
    """
    lamps = [light_together(lighting, catalogue) for lighting in seen_under]
    if all(light.white_xyz[2] < LIKE_DAYLIGHT_Z for light in lamps):
        lamps.append(replace(catalogue.light("D65"), name=_("daylight")))
    within = catalogue.constant("within-board spread")
    seen = []
    for label, finish in named:
        look = appearance(finish, catalogue)
        seen.append(
            Candidate(
                name=label,
                timber=catalogue.named("timber", finish.timber).name,
                dyed=tone_of(finish, catalogue).dyed,
                reflectance=look.seen(),
                roughness=look.gloss.roughness,
            )
        )
    return tuple(compare(one, other, lamps, within_board=within) for one, other in combinations(seen, 2))


def differences_answer(job: Job, catalogue: "Catalogue") -> dict[str, Any]:
    """What ``slatwright differences`` prints: ``difference`` is CIEDE2000 by lighting."""
    named = [(called(job, finish, catalogue), finish) for finish in candidates(job)]
    return {
        "within_board": catalogue.constant("within-board spread"),
        "pairs": [
            {
                "first": one.first,
                "second": one.second,
                "sentence": one.sentence,
                "difference": {name: round(value, 2) for name, value in one.difference},
                "alike": dict(one.alike),
                "parts_under_another_lamp": one.parts_under_another_lamp,
                "warnings": list(one.warnings),
            }
            for one in differences(named, lightings(job), catalogue)
        ],
    }
