"""The backing behind the gaps: a fabric or a paint, its colour, and what a light one shows through."""

from pathlib import Path

from finishes.catalogue.entries import FabricEntry
from finishes.lamps import lamp
from finishes.spectra import Floats
from finishes.timber import bare


def reflectance(entry: FabricEntry, *, cache_dir: Path | None = None) -> Floats:
    """(41,) reflectance of the backing."""
    return bare(entry.lab, entry.reflectance, cache_dir=cache_dir)


def warnings(entry: FabricEntry, *, light_from_y: float, cache_dir: Path | None = None) -> tuple[str, ...]:
    """Sentences about what this backing asks of the maker; no more than what can be seen.

    light_from_y : luminance factor from which joints and pins are warned of.
    """
    luminance = float(
        reflectance(entry, cache_dir=cache_dir) @ lamp("D65", cache_dir=cache_dir).weights[:, 1]
    )
    found = []
    if luminance >= light_from_y and entry.kind == "fabric":
        found.append(
            f"{entry.name}: a light cloth. Board joints and pins can show through it: put joints "
            "behind slats, sink the pins and line or prime the board in one pale colour first."
        )
    if luminance >= light_from_y and entry.kind == "paint":
        found.append(
            f"{entry.name}: a light paint. Joints, filled pins and brush marks show in the gaps; fill and "
            "sand first."
        )
    if entry.nap:
        found.append(
            f"{entry.name}: has a nap. Mark its direction on the back before cutting; hang all drops alike."
        )
    return tuple(found)
