"""The catalogue: what can be chosen, from the TOML files beside this module and from a person's folders.

One entry a block (``[[timber]]``, ``[[stain]]`` …); every optical number stands with its source and tag. A
folder given later replaces entries of the same name, so a workshop's own measured rates or colours win.
"""

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
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
from finishes.catalogue.entry_block import EntryBlock
from finishes.catalogue.kinds import READERS
from finishes.catalogue.links import link_problems
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

    def with_samples(self, samples: Iterable[SampleEntry]) -> "Catalogue":
        """The same catalogue with measured samples added; a sample of the same name is replaced."""
        return replace(self, sample={**self.sample, **{one.name: one for one in samples}})

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
    problems: list[str] = []
    found: dict[str, dict[str, Any]] = {kind: {} for kind in READERS}
    for folder in (HERE, *map(Path, extra_dirs)):
        files = sorted(folder.glob("*.toml"))
        if not folder.is_dir():
            problems.append(f"{folder}: is not a folder")
        here: dict[tuple[str, str], str] = {}
        for path in files:
            _read_file(path, found, here, problems)
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
    if not problems:
        problems = link_problems(found)
    if problems:
        raise CatalogueError(problems)
    return Catalogue(**found, cache_dir=cache_dir)


def _read_file(
    path: Path, found: dict[str, dict[str, Any]], here: dict[tuple[str, str], str], problems: list[str]
) -> None:
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        problems.append(f"{path.name}: cannot be read as TOML: {error}")
        return
    sources = document.pop("sources", {})
    if not isinstance(sources, dict) or not all(isinstance(text, str) for text in sources.values()):
        problems.append(f"{path.name}: sources: must be a table of texts")
        sources = {}
    for kind, blocks in document.items():
        if kind not in READERS:
            problems.append(f"{path.name}: [[{kind}]] is not a kind of entry{did_you_mean(kind, READERS)}")
            continue
        if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
            problems.append(f"{path.name}: write each {kind} as a block of its own, [[{kind}]]")
            continue
        for number, table in enumerate(blocks):
            _read_block(path, kind, number, table, sources, found, here, problems)


def _read_block(
    path: Path,
    kind: str,
    number: int,
    table: Mapping[str, Any],
    sources: Mapping[str, str],
    found: dict[str, dict[str, Any]],
    here: dict[tuple[str, str], str],
    problems: list[str],
) -> None:
    name = table.get("name")
    shown = repr(name) if isinstance(name, str) and name else f"number {number + 1}"
    block = EntryBlock(where=f"{path.name}: {kind} {shown}", table=table, sources=sources, problems=problems)
    name = block.text("name")
    if (kind, name) in here:
        block.problem("name", f"stands already in {here[(kind, name)]}; give it a name of its own")
    here[(kind, name)] = path.name
    if kind == "lamp" and "csv" in table:
        table = _with_csv(path, table, block)
        block.table = table
    found[kind][name] = READERS[kind](block, name)
    block.finish()


def _with_csv(path: Path, table: Mapping[str, Any], block: EntryBlock) -> Mapping[str, Any]:
    """The lamp's table with the measured file's text in place of its name."""
    file = path.parent / str(table["csv"])
    try:
        text = file.read_text(encoding="utf-8")
        measured_lamp(str(table.get("name")), text)
    except (OSError, UnicodeDecodeError) as error:
        block.problem("csv", f"{file.name} cannot be read: {error}")
        text = ""
    except ValueError as error:
        for line in str(error).splitlines():
            block.problem("csv", f"{file.name}: {line}")
        text = ""
    return {**table, "csv": text}
