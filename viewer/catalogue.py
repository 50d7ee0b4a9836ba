"""The catalogue that a command or the application works with: the project's own and a person's folders."""

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

KINDS = ("timber", "stain", "topcoat", "fabric", "lamp")


@lru_cache(maxsize=4)
def catalogue_of(folders: tuple[Path, ...], cache_dir: Path | None = None) -> "Catalogue":
    """The catalogue, read once a process. Raises ``finishes.catalogue.CatalogueError`` naming every fault."""
    from finishes.catalogue import load  # brings numpy: only where a catalogue is needed

    return load(folders, cache_dir=cache_dir)


def names_of(catalogue: "Catalogue") -> dict[str, tuple[str, ...]]:
    """The names of each kind, in the catalogue's order; the first is the default.

    ``film`` names the tones that lie on the wood: they mix with each other only.
    """
    names = {kind: tuple(catalogue.entries(kind)) for kind in (*KINDS, "sample")}
    names["film"] = tuple(name for name, tone in catalogue.stain.items() if tone.medium == "film")
    return names
