"""The tone of a finish: a tone of the catalogue, or an own one mixed from two of them by parts of volume."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from finishes import pigment
from finishes.catalogue import Catalogue
from finishes.catalogue.entries import StainEntry
from finishes.spectra import Floats

if TYPE_CHECKING:
    from finishes.choice import Finish


class UnmixableError(ValueError):
    """The two tones cannot be mixed: one lies in the wood and the other on it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tone:
    """What the stain does, mixed or not.

    absorption, scattering : (41,) K and S for one planed coat; total : the sum of the pigment loads.
    parts : (entry, share of the volume); the shares add up to 1.
    """

    name: str
    medium: Literal["penetrating", "film"]
    absorption: Floats
    scattering: Floats
    total: float
    colorants: tuple[str, ...]
    parts: tuple[tuple[StainEntry, float], ...]

    @property
    def dyed(self) -> bool:
        """Whether any of its colour comes from a dye."""
        return "organic dye" in self.colorants


def tone_of(finish: "Finish", catalogue: Catalogue) -> Tone:
    """The tone that a finish names.

    Raises KeyError for an unknown name, UnmixableError for a film tone mixed with a penetrating one.
    """
    if finish.own_tone is None:
        entry: StainEntry = catalogue.named("stain", finish.stain)
        return _tone(entry.name, ((entry, 1.0),), catalogue)
    recipe = finish.own_tone
    first: StainEntry = catalogue.named("stain", recipe.first)
    second: StainEntry = catalogue.named("stain", recipe.second)
    if first.medium != second.medium:
        raise UnmixableError(
            f"own_tone: {first.name!r} is a {first.medium} tone and {second.name!r} a {second.medium} one; "
            "mix two of the same kind"
        )
    whole = recipe.first_parts + recipe.second_parts
    name = f"{_parts(recipe.first_parts)} {first.name} + {_parts(recipe.second_parts)} {second.name}"
    return _tone(
        name, ((first, recipe.first_parts / whole), (second, recipe.second_parts / whole)), catalogue
    )


def _tone(name: str, parts: tuple[tuple[StainEntry, float], ...], catalogue: Catalogue) -> Tone:
    loads: dict[str, float] = {}
    for entry, share in parts:
        for colorant, load in entry.loads:
            loads[colorant] = loads.get(colorant, 0.0) + share * load
    absorption, scattering = pigment.mix(loads.items(), catalogue.pigment)
    kinds = dict.fromkeys(catalogue.pigment[colorant].colorant for colorant in loads)
    return Tone(
        name=name,
        medium=parts[0][0].medium,
        absorption=absorption,
        scattering=scattering,
        total=sum(loads.values()),
        colorants=tuple(kinds),
        parts=parts,
    )


def _parts(count: float) -> str:
    return f"{count:g} {'part' if count == 1 else 'parts'}"
