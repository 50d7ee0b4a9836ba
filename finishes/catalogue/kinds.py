"""From a block to an entry, one function a kind."""

from collections.abc import Callable
from datetime import date
from typing import Any, Literal, get_args

import numpy as np

from finishes.catalogue.constants import (
    ConstantEntry,
    FigureEntry,
    FigureZone,
    PartEntry,
    PigmentEntry,
    PracticeEntry,
    Spectrum,
)
from finishes.catalogue.entries import (
    Drying,
    FabricEntry,
    LampEntry,
    SampleEntry,
    SortingEntry,
    StainEntry,
    TimberEntry,
    TopcoatEntry,
)
from finishes.catalogue.entry_block import EntryBlock
from finishes.spectra import COUNT
from finishes.surfaces import SURFACES
from finishes.tagged import Number, Range

_NO_NUMBER = Number(value=0.0, source="", tag="judgement")
_NO_DRYING = Drying(recoat_h=_NO_NUMBER, handle_h=_NO_NUMBER, touch_fabric_h=_NO_NUMBER)


def _timber(block: EntryBlock, name: str) -> TimberEntry:
    lab, reflectance = block.lab_or_spectrum()
    return TimberEntry(
        name=name,
        kind=block.word("kind", ("softwood", "hardwood", "board")),
        figure=block.text("figure"),
        lab=lab,
        reflectance=reflectance,
        uptake=block.number("uptake", 0.1, 5),
        density_kg_m3=block.optional_number("density_kg_m3", 100, 1500),
        ageing=block.text("ageing"),
        words=block.text("words", ""),
    )


def _figure(block: EntryBlock, name: str) -> FigureEntry:
    zones: dict[str, FigureZone] = {}
    for zone in ("early", "late", "knot"):
        table = block.inner(zone, required=zone != "knot")
        if table is None:
            continue
        block.known(zone, table, ("dL", "da", "db", "uptake"))
        values = {
            key: block.value(f"{zone}.{key}", table.get(key), low, high)
            for key, low, high in (("dL", -40, 40), ("da", -20, 20), ("db", -20, 20), ("uptake", 0.01, 10))
        }
        zones[zone] = FigureZone(
            d_lightness=values["dL"], d_a=values["da"], d_b=values["db"], uptake=values["uptake"]
        )
    source, tag = block.origin("figure", {"source": block.text("source"), "tag": block.text("tag")})
    share = block.value("late_share", block.raw("late_share", required=True), 0, 1)
    plain = FigureZone(d_lightness=0, d_a=0, d_b=0, uptake=1)
    return FigureEntry(
        name=name,
        late_share=share,
        early=zones.get("early", plain),
        late=zones.get("late", plain),
        knot=zones.get("knot"),
        source=source,
        tag=tag,
    )


def _pigment(block: EntryBlock, name: str) -> PigmentEntry:
    return PigmentEntry(
        name=name,
        colorant=block.word("colorant", get_args(PigmentEntry.__annotations__["colorant"])),
        absorption=block.curve("absorption"),
        scattering=block.curve("scattering"),
    )


def _stain(block: EntryBlock, name: str) -> StainEntry:
    loads = block.inner("loads", required=True) or {}
    source, tag = block.origin("loads", {"source": block.text("source"), "tag": block.text("tag")})
    return StainEntry(
        name=name,
        medium=block.word("medium", ("penetrating", "film"), "penetrating"),
        loads=tuple(
            (pigment, block.value(f"loads.{pigment}", load, 0, 1000)) for pigment, load in loads.items()
        ),
        source=source,
        tag=tag,
        colorant=block.word("colorant", ("pigment", "dye"), "pigment"),
        drying=block.drying("drying", required=True) or _NO_DRYING,
        tin_sizes_ml=block.whole_numbers("tin_sizes_ml"),
        words=block.text("words", ""),
        oily=block.flag("oily", True),
        spread=block.spread(),
    )


def _topcoat(block: EntryBlock, name: str) -> TopcoatEntry:
    coats = block.whole("coats", 0, 6, 0)
    return TopcoatEntry(
        name=name,
        fill=block.number("fill", 0, 1),
        wetting=block.number("wetting", 0, 1),
        yellow=block.number("yellow", 0, 3),
        matt_share=block.number("matt_share", 0, 1),
        roughness=block.number("roughness", 0.02, 1),
        coats=coats,
        drying=block.drying("drying", required=coats > 0),
        tin_sizes_ml=block.whole_numbers("tin_sizes_ml"),
        spread=block.spread(),
        oily=block.flag("oily", False),
        ageing=block.text("ageing"),
        words=block.text("words", ""),
    )


def _fabric(block: EntryBlock, name: str) -> FabricEntry:
    kind: Literal["fabric", "paint"] = block.word("kind", ("fabric", "paint"))
    lab, reflectance = block.lab_or_spectrum()
    cloth = kind == "fabric"
    return FabricEntry(
        name=name,
        kind=kind,
        lab=lab,
        reflectance=reflectance,
        weave=block.text("weave", None if cloth else ""),
        roll_width_mm=block.optional_number("roll_width_mm", 100, 6000, required=cloth),
        usable_width_mm=block.optional_number("usable_width_mm", 100, 6000, required=cloth),
        shrinkage_percent=block.optional_number("shrinkage_percent", 0, 30, required=cloth),
        nap=block.flag("nap", False),
        light_fastness=block.text("light_fastness", None if cloth else ""),
        paint_m2_per_l=block.optional_range("paint_m2_per_l", 0.1, 100, required=not cloth),
        tin_sizes_ml=block.whole_numbers("tin_sizes_ml"),
        words=block.text("words", ""),
    )


def _lamp(block: EntryBlock, name: str) -> LampEntry:
    source, tag = block.origin("lamp", {"source": block.text("source"), "tag": block.text("tag")})
    csv = block.text("csv", "")
    return LampEntry(
        name=name,
        spectrum=block.text("spectrum", "" if csv else None),
        csv=csv or None,
        dimming=block.word("dimming", ("keeps its colour", "warms"), "keeps its colour"),
        cct_k=block.optional_number("cct_k", 1000, 40_000),
        ra=block.optional_number("ra", -100, 100),
        source=source,
        tag=tag,
        words=block.text("words", ""),
    )


def _sorting(block: EntryBlock, name: str) -> SortingEntry:
    nothing = Range(low=0, likely=0, high=0, source="", tag="judgement")
    return SortingEntry(
        name=name,
        knots_per_m2=block.number("knots_per_m2", 0, 1000),
        knot_mm=block.number("knot_mm", 0, 200),
        cull_percent=block.optional_range("cull_percent", 0, 90, required=True) or nothing,
        sign_off=block.text("sign_off"),
        words=block.text("words", ""),
    )


def _sample(block: EntryBlock, name: str) -> SampleEntry:
    reflectance = block.spectrum(required=True)
    day = block.text("date")
    if not _is_date(day):
        block.problem("date", f"is {day!r}; a date as 2026-11-20 is needed")
    return SampleEntry(
        name=name,
        timber=block.text("timber"),
        tone=block.text("tone"),
        coats=block.whole("coats", 0, 6, 1),
        between_coats=block.word("between_coats", ("wet on wet", "dried"), "wet on wet"),
        faces=block.word("faces", ("planed", "sanded", "sawn"), "planed"),
        topcoat=block.text("topcoat"),
        date=day,
        lamp=block.text("lamp"),
        reflectance=reflectance or Spectrum(values=np.full(COUNT, 0.5), source="", tag="measured"),
        uncertainty_de=block.value("uncertainty_de", block.raw("uncertainty_de", required=True), 0, 50),
        rough=block.flag("rough", False),
        words=block.text("words", ""),
    )


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _part(block: EntryBlock, name: str) -> PartEntry:
    lab, reflectance = block.lab_or_spectrum()
    surface = block.word("surface", SURFACES)
    return PartEntry(
        name=name, surface=surface, lab=lab, reflectance=reflectance, words=block.text("words", "")
    )


def _constant(block: EntryBlock, name: str) -> ConstantEntry:
    return ConstantEntry(name=name, number=block.number("number", 0, 10_000), words=block.text("words", ""))


def _practice(block: EntryBlock, name: str) -> PracticeEntry:
    nothing = Range(low=0, likely=0, high=0, source="", tag="judgement")
    found = block.optional_range("range", 0, 1_000_000, required=True)
    return PracticeEntry(name=name, range=found or nothing, words=block.text("words", ""))


READERS: dict[str, Callable[[EntryBlock, str], Any]] = {
    "timber": _timber,
    "figure": _figure,
    "pigment": _pigment,
    "stain": _stain,
    "topcoat": _topcoat,
    "fabric": _fabric,
    "lamp": _lamp,
    "part": _part,
    "sorting": _sorting,
    "sample": _sample,
    "optics": _constant,
    "practice": _practice,
}
