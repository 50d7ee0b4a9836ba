"""What a finish looks like: a reflectance for each visible surface, figure, shine, state, uncertainty."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from finishes import backing, pigment, stain, timber, topcoat
from finishes.catalogue import Catalogue
from finishes.catalogue.entries import PartEntry, StainEntry, TimberEntry, TopcoatEntry
from finishes.spectra import Floats, frozen
from finishes.tagged import State
from finishes.topcoat import Gloss

if TYPE_CHECKING:
    from finishes.choice import Finish

SLAT_SURFACES = ("slat_front", "slat_side", "slat_end")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Appearance:
    """A finish as light sees it.

    reflectance : by surface word, (41,) in 0..1, the area mean; without the mirror-like first-surface
    reflection.
    zones : by slat surface word, (early (41,), late (41,)); mean = (1 - late_share) early + late_share late.
    late_share : area of late wood, 0..1: the mean of the drawn figure's mask.
    gloss : what the picture adds on the slats and trims (f0, roughness); every other surface is matt.
    uncertainty_de : one standard uncertainty of the colour of a whole board, CIEDE2000.
    spread_de : standard spread of the colour within one board, CIELAB.
    """

    reflectance: Mapping[str, Floats]
    zones: Mapping[str, tuple[Floats, Floats]]
    late_share: float
    gloss: Gloss
    state: State
    uncertainty_de: float
    spread_de: float
    warnings: tuple[str, ...]

    @property
    def f0(self) -> float:
        return self.gloss.f0

    @property
    def roughness(self) -> float:
        return self.gloss.roughness

    def seen(self, surface: str = "slat_front") -> Floats:
        """(41,) as an instrument or an eye in even light sees it: with the matt part of the shine."""
        glossy = surface in SLAT_SURFACES or surface == "trim"
        added = self.gloss.f0 * self.gloss.matt_share if glossy else 0.0
        return self.reflectance[surface] + added


def appearance(finish: "Finish", catalogue: Catalogue) -> Appearance:
    """The appearance of a chosen finish. Empty names are the catalogue's first entries.

    Raises KeyError, naming the nearest entry, for a name that the catalogue lacks.
    """
    wood: TimberEntry = catalogue.named("timber", finish.timber)
    tone: StainEntry = catalogue.named("stain", finish.stain)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    cloth = catalogue.named("fabric", finish.fabric)
    constants = stain.optics(catalogue)
    mean = timber.bare(wood.lab, wood.reflectance, wood=True, cache_dir=catalogue.cache_dir)
    figure = catalogue.figure[wood.figure]
    parts = timber.zones(mean, figure, cache_dir=catalogue.cache_dir)

    surfaces = {"slat_front": finish.faces, "slat_side": finish.sides, "slat_end": "end"}
    absorption, scattering = pigment.mix(tone.loads, catalogue.pigment)
    film = tone.medium == "film"
    further = constants.dried if finish.between_coats == "dried" else constants.wet_on_wet
    coats = stain.coat_load(finish.coats, 1.0 if film else further)
    uptakes = (1.0, 1.0) if film else (figure.early.uptake, figure.late.uptake)
    loads = np.array([[constants.surface_load[s] * up for up in uptakes] for s in surfaces.values()])
    loads = loads[..., None] * coats * (1.0 if film else wood.uptake.value)
    bare_zones = np.stack([parts.early, parts.late])[None]
    total = sum(load for _, load in tone.loads)
    finished = stain.finish(
        bare_zones,
        loads * absorption,
        loads * scattering,
        loads * total,
        topcoat.surface_of(top),
        constants,
        film=film,
    )
    finished = frozen(finished)
    late = figure.late_share
    reflectance = {
        surface: frozen((1.0 - late) * finished[row, 0] + late * finished[row, 1])
        for row, surface in enumerate(surfaces)
    }
    behind = backing.reflectance(cloth, cache_dir=catalogue.cache_dir)
    reflectance |= {"trim": reflectance["slat_front"], "fabric": behind, "panel_edge": behind}
    for part in catalogue.part.values():
        reflectance[part.surface] = _part(part, catalogue)
    return Appearance(
        reflectance=MappingProxyType(reflectance),
        zones=MappingProxyType(
            {surface: (finished[row, 0], finished[row, 1]) for row, surface in enumerate(surfaces)}
        ),
        late_share=late,
        gloss=topcoat.gloss_of(top, constants.external),
        state="Indicative",
        uncertainty_de=_uncertainty(wood, catalogue),
        spread_de=catalogue.constant("within-board spread"),
        warnings=backing.warnings(cloth, cache_dir=catalogue.cache_dir),
    )


def _part(part: PartEntry, catalogue: Catalogue) -> Floats:
    return timber.bare(part.lab, part.reflectance, wood=False, cache_dir=catalogue.cache_dir)


def _uncertainty(wood: TimberEntry, catalogue: Catalogue) -> float:
    """Root sum of squares of the independent parts of a modelled colour."""
    parts = [catalogue.constant(f"{name} spread") for name in ("constants", "load", "lot")]
    if wood.lab is not None and wood.lab.tag == "judgement":
        parts.append(catalogue.constant("memory spread"))
    return sqrt(sum(part * part for part in parts))
