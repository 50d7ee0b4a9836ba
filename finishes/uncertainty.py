"""How far a colour may be off: one standard uncertainty by day, CIEDE2000, as a root sum of squares."""

from math import sqrt

from finishes.catalogue import Catalogue
from finishes.catalogue.constants import PartEntry
from finishes.catalogue.entries import FabricEntry, TimberEntry


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
    parts = [catalogue.constant(f"{name} spread") for name in ("constants", "load", "lot")]
    if wood.lab is not None and wood.lab.tag == "judgement":
        parts.append(catalogue.constant("memory spread"))
    return sqrt(sum(part * part for part in parts))
