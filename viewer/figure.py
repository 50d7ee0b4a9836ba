"""The figure of a finish: where the catalogue's timber meets the stems that slats are cut from."""

from typing import TYPE_CHECKING, cast

from finishes.choice import Finish
from meshes.stems import GROWTH, Figure, Knots

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

SEED = 1
"""The same stems for every candidate: what differs between two pictures is the finish, not the boards."""


def figure_of(finish: Finish, catalogue: "Catalogue") -> Figure | None:
    """What decides the figure of a finish; None for a board without any (such as MDF)."""
    timber = catalogue.named("timber", finish.timber)
    entry = catalogue.figure[timber.figure]
    if entry.name not in GROWTH:
        return None
    knots = catalogue.named("sorting", finish.sorting).name
    return Figure(
        kind=entry.name,
        late_share=entry.late_share,
        knots=cast(Knots, knots),
        seed=SEED,
    )
