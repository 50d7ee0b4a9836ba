"""A block of an entry: colours, curves, drying times and rates, each checked field by field."""

from collections.abc import Mapping
from typing import Any, get_args

import numpy as np

from finishes.catalogue.block import Block
from finishes.catalogue.constants import Curve, PublishedLab, Spectrum, Term
from finishes.catalogue.entries import Drying, SpreadRates
from finishes.spectra import frozen, spectrum_problems
from finishes.tagged import Number

ILLUMINANTS = ("A", "D50", "D65")
LAB_WORDS: Mapping[str, tuple[str | int, ...]] = {
    "illuminant": ILLUMINANTS,
    "observer_deg": (2, 10),
    "conditions": ("stated", "assumed"),
}
"""Without these three a CIELAB means nothing."""


class EntryBlock(Block):
    """A block that can also be asked for the larger fields of an entry."""

    __slots__ = ()

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
            "lab",
            table,
            (
                *("L", "a", "b", "sd_L", "sd_a", "sd_b"),
                *("illuminant", "observer_deg", "conditions", "source", "tag"),
            ),
        )
        for name, allowed in LAB_WORDS.items():
            if table.get(name) not in allowed:
                told = f"is {table[name]!r}" if name in table else "is missing"
                self.problem(f"lab.{name}", f"{told}; use one of {', '.join(map(str, allowed))}")
        spreads = [
            None if table.get(name) is None else self.value(f"lab.{name}", table[name], 0, 30)
            for name in ("sd_L", "sd_a", "sd_b")
        ]
        source, tag = self.origin("lab", table)
        return PublishedLab(
            L=self.value("lab.L", table.get("L"), 1, 99),
            a=self.value("lab.a", table.get("a"), -60, 60),
            b=self.value("lab.b", table.get("b"), -60, 80),
            sd_lightness=spreads[0],
            sd_a=spreads[1],
            sd_b=spreads[2],
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
        """A spectrum as a sum of at least one term; a flat one of 0 stands in where it is missing."""
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
        """Three waits [h], 0 to 2000, that share one source and tag; None where there is no such table."""
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
