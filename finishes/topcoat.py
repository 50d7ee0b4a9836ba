"""Topcoats: how the last coat changes the surface, and what of its shine the picture adds."""

from dataclasses import dataclass

from finishes.catalogue.entries import TopcoatEntry
from finishes.stain import Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Gloss:
    """The first-surface reflection that the picture adds over the reflectance.

    f0 : reflectance at normal incidence, 0..1 (dielectric, not tinted); 0 when the reflectance holds it
    already.
    roughness : 0 mirror … 1 matt (GGX alpha = roughness^2).
    matt_share : part of f0 that is seen from everywhere, for colours shown without a picture.
    """

    f0: float
    roughness: float
    matt_share: float


def surface_of(entry: TopcoatEntry) -> Surface:
    """The optical surface under this topcoat."""
    return Surface(
        fill=entry.fill.value,
        wetting=entry.wetting.value,
        yellow=entry.yellow.value,
        matt=entry.matt_share.value >= 1.0,
    )


def gloss_of(entry: TopcoatEntry, external: float) -> Gloss:
    """Its shine. external : first-surface reflectance K1 of the coat.

    Without a coat the first-surface reflection is wholly diffuse and stays in the reflectance, so nothing is
    added.
    """
    wholly_matt = entry.matt_share.value >= 1.0
    return Gloss(
        f0=0.0 if wholly_matt else external,
        roughness=entry.roughness.value,
        matt_share=0.0 if wholly_matt else entry.matt_share.value,
    )
