"""How much of the catalogue rests on something outside the project's own judgement."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from finishes.catalogue import CHOICES, Catalogue
from finishes.lamps import SPECTRA

OPTICAL_KINDS = (
    "timber",
    "figure",
    "pigment",
    "stain",
    "topcoat",
    "fabric",
    "lamp",
    "part",
    "optics",
    "sample",
)

NOT_OPTICAL = (
    *("drying", "spread", "paint_m2_per_l", "density_kg_m3"),
    *("roll_width_mm", "usable_width_mm", "shrinkage_percent"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """entries, indicative : by kind, how many there are and how many are Indicative (the rest are Measured).

    from_memory : timbers whose colour nobody has looked up.
    constants, judged : optical constants with a tag, and how many of them are judgement; constants_by_tag :
        all.
    """

    entries: Mapping[str, int]
    indicative: Mapping[str, int]
    from_memory: int
    constants_by_tag: Mapping[str, int]

    @property
    def constants(self) -> int:
        return sum(self.constants_by_tag.values())

    @property
    def judged(self) -> int:
        return self.constants_by_tag.get("judgement", 0)

    @property
    def sentence(self) -> str:
        """One sentence for the command and the README."""
        choices = [kind for kind in CHOICES if kind != "lamp"]
        indicative = sum(self.indicative[kind] for kind in choices)
        entries = sum(self.entries[kind] for kind in choices)
        return (
            f"{indicative} of {entries} timbers, tones, topcoats and backings are indicative, the colours of "
            f"{self.from_memory} timbers come from memory, and {self.judged} of {self.constants} optical "
            "constants are judgement, until stained off-cuts are measured."
        )


def count(catalogue: Catalogue) -> Count:
    """Count entries by state and optical constants by tag."""
    entries, indicative = {}, {}
    for kind in CHOICES:
        found = [entry for name, entry in catalogue.entries(kind).items() if name not in SPECTRA]
        entries[kind] = len(found)
        indicative[kind] = sum(entry.state == "Indicative" for entry in found)
    tags: dict[str, int] = {}
    for kind in OPTICAL_KINDS:
        for name, entry in catalogue.entries(kind).items():
            if name in SPECTRA:
                continue
            for tagged in tagged_values(entry, without=NOT_OPTICAL):
                tags[tagged.tag] = tags.get(tagged.tag, 0) + 1
    colours = [entry.lab for entry in catalogue.timber.values() if entry.lab is not None]
    return Count(
        entries=entries,
        indicative=indicative,
        from_memory=sum(colour.tag == "judgement" for colour in colours),
        constants_by_tag=tags,
    )


def tagged_values(value: Any, *, without: tuple[str, ...] = ()) -> Iterator[Any]:
    """Every value within an entry that carries a source and a tag, the entry itself included.

    without : names of fields that are passed over.
    """
    if not is_dataclass(value) or isinstance(value, type):
        return
    if hasattr(value, "tag") and hasattr(value, "source"):
        yield value
    for field in fields(value):
        if field.name in without:
            continue
        inside = getattr(value, field.name)
        for item in inside if isinstance(inside, tuple) else (inside,):
            yield from tagged_values(item, without=without)
