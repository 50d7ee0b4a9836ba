"""How the candidates of a job differ under its lightings: a sentence for the client, and a number."""

from collections.abc import Collection
from gettext import gettext as _
from itertools import combinations
from typing import Any

from finishes.difference import Candidate, compare
from finishes.tone import tone_of
from viewer.light import light_together
from viewer.pages.opened import Opened
from viewer.services import services


def compared(on: Opened, shown: Collection[int] | None = None) -> list[dict[str, Any]]:
    """``[{"sentence", "number", "warnings"}]`` for every pair of candidates, or of those ``shown``."""
    catalogue = services().catalogue
    lamps = [light_together(lighting, catalogue) for lighting in on.lightings]
    seen = []
    for place, (label, finish) in enumerate(on.finishes):
        if shown is not None and place not in shown:
            continue
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
