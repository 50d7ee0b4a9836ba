"""The catalogue: what can be chosen, from the TOML files beside this module and from a person's folders.

One entry a block (``[[timber]]``, ``[[stain]]`` …); every optical number stands with its source and tag. A
folder given later replaces entries of the same name, so a workshop's own measured rates or colours win.
"""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from finishes.catalogue.block import did_you_mean
from finishes.catalogue.constants import ConstantEntry, FigureEntry, PartEntry, PigmentEntry, PracticeEntry
from finishes.catalogue.entries import (
    FabricEntry,
    LampEntry,
    SampleEntry,
    SortingEntry,
    StainEntry,
    TimberEntry,
    TopcoatEntry,
)
from finishes.catalogue.kinds import READERS
from finishes.catalogue.links import link_problems
from finishes.catalogue.reading import Reading
from finishes.lamps import SPECTRA, LampSpectrum, dimmed_filament, lamp, measured_lamp
from finishes.tagged import Range

HERE = Path(__file__).parent
CHOICES = ("timber", "stain", "topcoat", "fabric", "lamp")
"""The kinds a person chooses from; the others are what the model itself needs."""


class CatalogueError(ValueError):
    """The catalogue cannot be used. ``problems``: one line each with file, entry, field, what is accepted."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Catalogue:
    """Entries by kind and name, in the order of the files; the first of a kind is its default."""

    timber: Mapping[str, TimberEntry]
    figure: Mapping[str, FigureEntry]
    pigment: Mapping[str, PigmentEntry]
    stain: Mapping[str, StainEntry]
    topcoat: Mapping[str, TopcoatEntry]
    fabric: Mapping[str, FabricEntry]
    lamp: Mapping[str, LampEntry]
    part: Mapping[str, PartEntry]
    sorting: Mapping[str, SortingEntry]
    sample: Mapping[str, SampleEntry]
    optics: Mapping[str, ConstantEntry]
    practice: Mapping[str, PracticeEntry]
    cache_dir: Path | None = None
    """Where lamp weights are kept; None is the user's cache folder."""

    def entries(self, kind: str) -> Mapping[str, Any]:
        """The mapping of one kind; ``kind`` is a word of :data:`CHOICES` or another block name."""
        if kind not in READERS:
            raise KeyError(f"{kind!r} is not a kind; use one of {', '.join(READERS)}")
        found: Mapping[str, Any] = getattr(self, kind)
        return found

    def default(self, kind: str) -> str:
        """The name that an empty choice means."""
        return next(iter(self.entries(kind)))

    def named(self, kind: str, name: str) -> Any:
        """The entry of that name, exactly; an empty name is the default. KeyError says what was meant."""
        entries = self.entries(kind)
        if name == "":
            return entries[self.default(kind)]
        if name not in entries:
            raise KeyError(f"{name!r} is not a {kind} in the catalogue{did_you_mean(name, entries)}")
        return entries[name]

    def nearest(self, kind: str, name: str) -> str:
        """The catalogue name nearest to what was typed (always one, for "did you mean")."""
        names = tuple(self.entries(kind))
        folded = {candidate.casefold(): candidate for candidate in reversed(names)}
        near = difflib.get_close_matches(name.casefold(), tuple(folded), n=1, cutoff=0.0)
        return folded[near[0]] if near else names[0]

    def light(self, name: str, *, dimmed_to: float = 1.0) -> LampSpectrum:
        """The spectrum of a lamp by its plain words or by the name of a spectrum (``LED-B3``).

        dimmed_to : share of full light, above 0 up to 1. An LED keeps its colour; a filament grows warmer.
        """
        entry: LampEntry = self.named("lamp", name)
        if entry.dimming == "warms":
            return dimmed_filament(entry.name, dimmed_to, cache_dir=self.cache_dir)
        if entry.csv is not None:
            return measured_lamp(entry.name, entry.csv, cache_dir=self.cache_dir)
        return lamp(entry.spectrum, cache_dir=self.cache_dir)

    def constant(self, name: str) -> float:
        """The value of one constant of the colour model."""
        return self.optics[name].number.value

    def rate(self, name: str) -> Range:
        """Low, likely and high of one habit of the trade."""
        return self.practice[name].range


def load(extra_dirs: Iterable[Path | str] = (), *, cache_dir: Path | None = None) -> Catalogue:
    """The catalogue of the project and then of each folder in ``extra_dirs`` (all their ``*.toml``, by name).

    Raises CatalogueError with every problem found in every file.
    """
    reading = Reading(cache_dir)
    for folder in (HERE, *map(Path, extra_dirs)):
        reading.read_folder(folder)
    found, problems = reading.found, reading.problems
    for name in SPECTRA:
        if found["lamp"] and name not in found["lamp"]:
            found["lamp"][name] = LampEntry(
                name=name,
                spectrum=name,
                csv=None,
                dimming="keeps its colour",
                cct_k=None,
                ra=None,
                source="CIE 15:2018",
                tag="published",
                words="",
            )
    problems += link_problems(found)
    if not problems:
        # the project's own colours are tested; only a person's are tried at every start
        # the colour model reads the catalogue, so it cannot be imported before the catalogue is there
        from finishes.catalogue.reachable import unreachable_colours

        problems = unreachable_colours(found, reading.from_folders(but=HERE), cache_dir)
    if problems:
        raise CatalogueError(problems)
    return Catalogue(**found, cache_dir=cache_dir)
