"""Words for the bench: the off-cut that is agreed, ageing in light, and what oily rags can do."""

from typing import TYPE_CHECKING

from finishes.catalogue import Catalogue
from finishes.catalogue.entries import TimberEntry, TopcoatEntry
from finishes.tone import tone_of

if TYPE_CHECKING:
    from finishes.choice import Finish

RAGS = (
    "Rags with drying oil heat up by themselves and can catch fire within hours. Spread them flat, one by "
    "one, outdoors until they are stiff, or sink them in water in a metal can with a lid; never leave them "
    "in a heap. Follow the tin's label and the local rules for disposal."
)
"""Fire-service advice on drying oils (self-heating)."""


def sample_board_recipe(finish: "Finish", catalogue: Catalogue) -> tuple[str, ...]:
    """How to make the off-cut that is agreed, step by step, from the same boards as the wall."""
    wood: TimberEntry = catalogue.named("timber", finish.timber)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    tone = tone_of(finish, catalogue)
    steps = [
        f"Take three off-cuts of the {wood.name} that is bought for the wall, about 300 × 100 mm: one pale, "
        "one middling, one dark.",
        f"Prepare one face {finish.faces} and leave one edge {finish.sides}, as on the wall.",
    ]
    if finish.coats > 0:
        if finish.own_tone is not None:
            steps.append(f"Mix by volume: {tone.name}. Use one measure and note the batch of each tin.")
        wet = finish.between_coats == "wet on wet"
        way = "while the one before is wet" if wet else "after the one before has dried"
        coats = "one coat" if finish.coats == 1 else f"{finish.coats} coats, each {way}"
        steps.append(
            f"Stain with {tone.name}: {coats}; after the same wait each time, wipe off what is left on top."
        )
    if top.coats > 0:
        steps.append(f"Topcoat {top.name}: {top.coats} coats, as on the wall.")
    steps += [
        "Write timber, tone, coats, surface, topcoat, batch and date on the back.",
        "Look at the off-cuts where the wall will stand, by day and with the lamps on. What is agreed is the "
        "off-cut.",
    ]
    return tuple(steps)


def ageing(finish: "Finish", catalogue: Catalogue) -> tuple[str, ...]:
    """What light does to this timber under this topcoat, in words; nothing is predicted."""
    wood: TimberEntry = catalogue.named("timber", finish.timber)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    return wood.ageing, top.ageing


def sign_off_words(finish: "Finish", catalogue: Catalogue) -> str:
    """The line that names what is agreed: sorting, and the off-cut where one was measured."""
    wood: TimberEntry = catalogue.named("timber", finish.timber)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    sorting = catalogue.named("sorting", finish.sorting)
    coats = "1 coat" if finish.coats == 1 else f"{finish.coats} coats"
    measured = finish.off_cut or (catalogue.named("sample", finish.sample) if finish.sample else None)
    off_cut = f" Off-cut {measured.name}, measured on {measured.date}." if measured is not None else ""
    return (
        f"Timber {wood.name}, tone {tone_of(finish, catalogue).name}, {coats}, faces {finish.faces}, sides "
        f"{finish.sides}, topcoat {top.name}. {sorting.sign_off}{off_cut}"
    )
