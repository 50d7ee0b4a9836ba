"""How far a colour may be off: one standard uncertainty by day, CIEDE2000, as a root sum of squares."""

from functools import lru_cache
from math import sqrt

import numpy as np

from finishes.catalogue import Catalogue
from finishes.catalogue.constants import PartEntry, PublishedLab
from finishes.catalogue.entries import FabricEntry, TimberEntry
from finishes.difference import ciede2000


def written_de(entry: FabricEntry | PartEntry, catalogue: Catalogue) -> float:
    """Of a cloth, a paint or a part whose colour stands in the catalogue as such."""
    origin = entry.lab or entry.reflectance
    if origin is not None and origin.tag == "measured":
        return catalogue.constant("photo spread")
    lot = catalogue.constant("lot spread")
    known = origin is not None and origin.tag in ("published", "computed")
    return lot if known else sqrt(lot**2 + catalogue.constant("memory spread") ** 2)


def modelled_de(wood: TimberEntry, catalogue: Catalogue) -> float:
    """Root sum of squares of the independent parts of a modelled colour."""
    parts = [catalogue.constant(f"{name} spread") for name in ("constants", "load")]
    parts.append(_between_boards(wood.lab) or catalogue.constant("lot spread"))
    if wood.lab is not None and wood.lab.tag == "judgement":
        parts.append(catalogue.constant("memory spread"))
    return sqrt(sum(part * part for part in parts))


@lru_cache(maxsize=256)
def _between_boards(lab: PublishedLab | None) -> float | None:
    """How far boards of this timber lie from its published mean; None where its spread was not published."""
    if lab is None or lab.sd_lightness is None:
        return None
    mean = np.array([lab.L, lab.a, lab.b])
    steps = np.diag([lab.sd_lightness, lab.sd_a or 0.0, lab.sd_b or 0.0])
    return float(np.sqrt((ciede2000(mean + steps, np.stack([mean] * 3)) ** 2).sum()))
