"""Catalogue names given to a command: what is unknown, and what was meant."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from viewer.job.accepted import listed, nearest, shown

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def unknown_names(catalogue: "Catalogue", named: Mapping[str, Iterable[str]]) -> list[tuple[str, str]]:
    """A problem for each name that the catalogue does not have, by kind, with the nearest that it has."""
    problems = []
    for kind, names in named.items():
        known = list(catalogue.entries(kind))
        for name in names:
            if name not in known:
                close = nearest(name, known)
                offer = f"the nearest is {shown(close)}" if close else f"known: {listed(known)}"
                problems.append((f"--{kind}", f"{shown(name)} is unknown; {offer}"))
    return problems
