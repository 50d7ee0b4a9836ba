"""What holds a catalogue together: the names that entries use of each other, the constants it must have."""

from collections.abc import Mapping
from typing import Any

from finishes.catalogue.block import did_you_mean
from finishes.lamps import SPECTRA

CONSTANTS = (
    "external reflection",
    "internal reflection, bare",
    "internal reflection, filled",
    "wet scattering",
    "stained zone scattering",
    "fill by stain alone",
    "oil yellow height",
    "oil yellow decay",
    "further coat, wet on wet",
    "further coat, dried",
    "load on planed",
    "load on sanded",
    "load on sawn",
    "load on end",
    "within-board spread",
    "lot spread",
    "load spread",
    "constants spread",
    "warm light spread",
    "photo spread",
    "memory spread",
    "binder load",
    "far red floor",
    "grey card spread",
)
PRACTICES = (
    "planed spread rate",
    "sawn spread rate",
    "topcoat spread rate",
    "topcoat spread rate, sawn",
    "application loss",
    "further stain coat",
    "back coat below depth",
    "back coat share",
    "touch-up pot",
    "sample boards",
    "sample board area",
    "fabric wrap",
    "fabric seam",
    "staple spacing",
    "adhesive",
    "working day start",
    "working day end",
    "coating speed",
    "wet on wet wait",
    "light backing from",
)


def link_problems(found: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Every name that points nowhere, every kind that is empty, every constant that is missing."""
    problems = [
        f"catalogue: no {kind} in any file"
        for kind, entries in found.items()
        if not entries and kind != "sample"
    ]
    for timber in found["timber"].values():
        problems += _missing(f"timber {timber.name!r}: figure", timber.figure, found["figure"])
    for stain in found["stain"].values():
        for pigment, _ in stain.loads:
            problems += _missing(f"stain {stain.name!r}: loads", pigment, found["pigment"])
    for lamp in found["lamp"].values():
        if lamp.csv is None:
            problems += _missing(f"lamp {lamp.name!r}: spectrum", lamp.spectrum, dict.fromkeys(SPECTRA))
    for fabric in found["fabric"].values():
        roll, usable = fabric.roll_width_mm, fabric.usable_width_mm
        if roll is not None and usable is not None and usable.value > roll.value:
            problems.append(f"fabric {fabric.name!r}: usable_width_mm: is wider than the roll")
    for kind, names in (("optics", CONSTANTS), ("practice", PRACTICES)):
        problems += [f"catalogue: {kind} {name!r} is missing" for name in names if name not in found[kind]]
    for sample in found["sample"].values():
        problems += _missing(f"sample {sample.name!r}: timber", sample.timber, found["timber"])
        problems += _missing(f"sample {sample.name!r}: topcoat", sample.topcoat, found["topcoat"])
    surfaces = {part.surface for part in found["part"].values()}
    problems += [
        f"catalogue: no part for {s}" for s in ("shadow_gap", "skirting", "plate") if s not in surfaces
    ]
    return problems


def _missing(where: str, name: str, names: Mapping[str, Any]) -> list[str]:
    if name in names or not name:  # what is missing has been told where it was read
        return []
    return [f"{where}: {name!r} is not in the catalogue{did_you_mean(name, names)}"]
