"""Reading one block of a catalogue file; every problem is kept with file, entry and field."""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast, get_args

import numpy as np

from finishes.catalogue.entries import Curve, Drying, PublishedLab, Spectrum, SpreadRates, Term
from finishes.spectra import frozen, spectrum_problems
from finishes.tagged import TAGS, Number, Range, Tag

ILLUMINANTS = ("A", "D50", "D65")
Word = TypeVar("Word", bound=str)


@dataclass(slots=True, kw_only=True)
class Block:
    """A TOML table being read. Fields asked for are remembered, so that the rest can be reported."""

    where: str
    table: Mapping[str, Any]
    sources: Mapping[str, str]
    problems: list[str]
    asked: set[str] = field(default_factory=set)

    def problem(self, name: str, text: str) -> None:
        self.problems.append(f"{self.where}: {name}: {text}")

    def raw(self, name: str, *, required: bool) -> Any:
        self.asked.add(name)
        if name not in self.table and required:
            self.problem(name, "is missing")
        return self.table.get(name)

    def text(self, name: str, default: str | None = None) -> str:
        value = self.raw(name, required=default is None)
        if value is None:
            return default or ""
        if not isinstance(value, str) or (default is None and not value.strip()):
            self.problem(name, f"is {value!r}; a text is needed")
            return ""
        return value.strip()

    def flag(self, name: str, default: bool) -> bool:
        value = self.raw(name, required=False)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.problem(name, f"is {value!r}; true or false is needed")
            return default
        return value

    def whole(self, name: str, lowest: int, highest: int, default: int) -> int:
        value = self.raw(name, required=False)
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int) or not lowest <= value <= highest:
            self.problem(name, f"is {value!r}; a whole number from {lowest} to {highest} is needed")
            return default
        return value

    def whole_numbers(self, name: str) -> tuple[int, ...]:
        value = self.raw(name, required=False)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(type(v) is int and 0 < v <= 1_000_000 for v in value):
            self.problem(name, f"is {value!r}; a list of whole numbers from 1 to 1000000 is needed")
            return ()
        return tuple(sorted(set(value)))

    def word(self, name: str, allowed: tuple[Word, ...], default: Word | None = None) -> Word:
        value = self.raw(name, required=default is None)
        if value is None:
            return default if default is not None else allowed[0]
        if value not in allowed:
            self.problem(name, f"is {value!r}; use one of {', '.join(allowed)}")
            return allowed[0]
        return cast(Word, value)

    def origin(self, name: str, table: Mapping[str, Any]) -> tuple[str, Tag]:
        """Source and tag of one field; a source without a blank is a key of the file's [sources]."""
        source, tag = table.get("source"), table.get("tag")
        if not isinstance(source, str) or not source.strip():
            self.problem(f"{name}.source", "is missing; say where the number comes from")
            source = ""
        elif " " not in source.strip():
            if source not in self.sources:
                self.problem(
                    f"{name}.source",
                    f"{source!r} is not in the file's [sources]{did_you_mean(source, self.sources)}",
                )
            source = self.sources.get(source, "")
        if tag not in TAGS:
            self.problem(f"{name}.tag", f"is {tag!r}; use one of {', '.join(TAGS)}")
            tag = "judgement"
        return source, cast(Tag, tag)

    def inner(self, name: str, *, required: bool) -> Mapping[str, Any] | None:
        value = self.raw(name, required=required)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.problem(name, f"is {value!r}; a table with its own source and tag is needed")
            return None
        return value

    def known(self, name: str, table: Mapping[str, Any], allowed: Iterable[str]) -> None:
        names = tuple(allowed)
        for key in table:
            if key not in names:
                self.problem(f"{name}.{key}", f"is not known{did_you_mean(key, names)}")

    def value(self, name: str, value: object, lowest: float, highest: float) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not lowest <= value <= highest:
            shown = "is missing" if value is None else f"is {value!r}"
            self.problem(name, f"{shown}; a number from {lowest:g} to {highest:g} is needed")
            return lowest
        return float(value)

    def number(self, name: str, lowest: float, highest: float) -> Number:
        return self.optional_number(name, lowest, highest, required=True) or Number(
            value=lowest, source="", tag="judgement"
        )

    def optional_number(
        self, name: str, lowest: float, highest: float, *, required: bool = False
    ) -> Number | None:
        table = self.inner(name, required=required)
        if table is None:
            return None
        self.known(name, table, ("value", "spread", "source", "tag"))
        value = self.value(f"{name}.value", table.get("value"), lowest, highest)
        spread = table.get("spread")
        if spread is not None:
            spread = self.value(f"{name}.spread", spread, 0, highest)
        source, tag = self.origin(name, table)
        return Number(value=value, spread=spread, source=source, tag=tag)

    def optional_range(
        self, name: str, lowest: float, highest: float, *, required: bool = False
    ) -> Range | None:
        table = self.inner(name, required=required)
        if table is None:
            return None
        self.known(name, table, ("low", "likely", "high", "source", "tag"))
        values = [
            self.value(f"{name}.{key}", table.get(key), lowest, highest) for key in ("low", "likely", "high")
        ]
        if not values[0] <= values[1] <= values[2]:
            self.problem(name, f"low {values[0]:g}, likely {values[1]:g}, high {values[2]:g} do not rise")
        source, tag = self.origin(name, table)
        return Range(low=values[0], likely=values[1], high=values[2], source=source, tag=tag)

    def lab_or_spectrum(self) -> tuple[PublishedLab | None, Spectrum | None]:
        """Exactly one of ``lab`` and ``reflectance``."""
        lab, spectrum = self._lab(), self.spectrum(required=False)
        if ("lab" in self.table) == ("reflectance" in self.table):
            self.problem("lab", "give either lab or reflectance, and only one of them")
        return lab, spectrum

    def _lab(self) -> PublishedLab | None:
        table = self.inner("lab", required=False)
        if table is None:
            return None
        self.known(
            "lab", table, ("L", "a", "b", "sd_L", "illuminant", "observer_deg", "conditions", "source", "tag")
        )
        if table.get("illuminant") not in ILLUMINANTS:
            self.problem(
                "lab.illuminant", f"is {table.get('illuminant')!r}; use one of {', '.join(ILLUMINANTS)}"
            )
        if table.get("observer_deg") not in (2, 10):
            self.problem("lab.observer_deg", f"is {table.get('observer_deg')!r}; 2 or 10 is needed")
        if table.get("conditions") not in ("stated", "assumed"):
            self.problem("lab.conditions", f"is {table.get('conditions')!r}; use stated or assumed")
        sd = table.get("sd_L")
        source, tag = self.origin("lab", table)
        return PublishedLab(
            L=self.value("lab.L", table.get("L"), 1, 99),
            a=self.value("lab.a", table.get("a"), -60, 60),
            b=self.value("lab.b", table.get("b"), -60, 80),
            sd_lightness=None if sd is None else self.value("lab.sd_L", sd, 0, 30),
            illuminant=str(table.get("illuminant")),
            observer_deg=10 if table.get("observer_deg") == 10 else 2,
            conditions="stated" if table.get("conditions") == "stated" else "assumed",
            source=source,
            tag=tag,
        )

    def spectrum(self, *, required: bool) -> Spectrum | None:
        """The field ``reflectance``: 41 values with source and tag."""
        table = self.inner("reflectance", required=required)
        if table is None:
            return None
        self.known("reflectance", table, ("values", "source", "tag"))
        problems = spectrum_problems(table.get("values"))
        for text in problems:
            self.problem("reflectance.values", text)
        source, tag = self.origin("reflectance", table)
        if problems:
            return None
        return Spectrum(values=frozen(np.asarray(table["values"], dtype=np.float64)), source=source, tag=tag)

    def curve(self, name: str) -> Curve:
        table = self.inner(name, required=True) or {
            "source": "missing curve",
            "tag": "judgement",
            "terms": [{"shape": "flat", "height": 0}],
        }
        self.known(name, table, ("terms", "source", "tag"))
        source, tag = self.origin(name, table)
        given = table.get("terms")
        if not isinstance(given, list) or not given or not all(isinstance(term, dict) for term in given):
            self.problem(f"{name}.terms", "must be a list of at least one table with a shape and a height")
            given = []
        return Curve(
            terms=tuple(self._term(f"{name}.terms[{n}]", t) for n, t in enumerate(given)),
            source=source,
            tag=tag,
        )

    def _term(self, name: str, table: Mapping[str, Any]) -> Term:
        self.known(name, table, ("shape", "height", "at_nm", "width_nm", "exponent"))
        shapes = get_args(Term.__annotations__["shape"])
        if table.get("shape") not in shapes:
            self.problem(f"{name}.shape", f"is {table.get('shape')!r}; use one of {', '.join(shapes)}")
        return Term(
            shape=table["shape"] if table.get("shape") in shapes else "flat",
            height=self.value(f"{name}.height", table.get("height"), 0, 100),
            at_nm=self.value(f"{name}.at_nm", table.get("at_nm", 550.0), 100, 2000),
            width_nm=self.value(f"{name}.width_nm", table.get("width_nm", 1.0), 1, 2000),
            exponent=self.value(f"{name}.exponent", table.get("exponent", 0.0), -8, 8),
        )

    def drying(self, name: str, *, required: bool) -> Drying | None:
        table = self.inner(name, required=required)
        if table is None:
            return None
        self.known(name, table, ("recoat_h", "handle_h", "touch_fabric_h", "source", "tag"))
        source, tag = self.origin(name, table)
        hours = [
            Number(value=self.value(f"{name}.{key}", table.get(key), 0, 2000), source=source, tag=tag)
            for key in ("recoat_h", "handle_h", "touch_fabric_h")
        ]
        return Drying(recoat_h=hours[0], handle_h=hours[1], touch_fabric_h=hours[2])

    def spread(self) -> SpreadRates | None:
        """Own spread rates, all three together or none: a rate of 0 would ask for endless stain."""
        planed = self.optional_range("planed_m2_per_l", 0.1, 100)
        sawn = self.optional_range("sawn_m2_per_l", 0.1, 100)
        share = self.optional_range("further_coat_share", 0.01, 2)
        if (planed is None) != (sawn is None):
            self.problem("planed_m2_per_l", "give both planed_m2_per_l and sawn_m2_per_l, or neither")
        if planed is None or sawn is None:
            return None
        return SpreadRates(planed=planed, sawn=sawn, further_coat_share=share)

    def finish(self) -> None:
        """Report every field that nobody asked for."""
        for key in self.table:
            if key not in self.asked:
                self.problem(key, f"is not known{did_you_mean(key, self.asked)}")


def did_you_mean(name: str, names: Iterable[str]) -> str:
    """``; did you mean 'x'?`` for the nearest of the names, or nothing when none is near."""
    near = difflib.get_close_matches(name, tuple(names), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""
