"""How much stain and topcoat a set-out takes: areas x coats / spread rate / (1 - loss), low, likely and high.

Planed and sawn faces take different rates, a further coat takes less than the first, and slats thinner than
18 mm get one thin coat on the back so that both faces dry and swell alike. Rates with a source in the
catalogue entry replace the general ones.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from finishes.amounts import NOTHING, Amount, Coverage, Line, Part, Product
from finishes.catalogue import Catalogue
from finishes.catalogue.entries import SpreadRates, TopcoatEntry
from finishes.tagged import Range
from finishes.tins import least_cost
from finishes.tone import tone_of

if TYPE_CHECKING:
    from finishes.choice import Finish

DEFAULT_SIZES_ML = (250, 750, 1000, 2500, 5000)


def take_off(
    areas_m2: Mapping[str, float],
    finish: "Finish",
    catalogue: Catalogue,
    *,
    slat_depth_mm: float | None = None,
) -> Coverage:
    """Litres for the given areas, and the tins that leave the least over; prices choose among tins later.

    areas_m2 : by surface word, and ``slat_back`` for the hidden backs; surfaces that take no stain are passed
    over.
    slat_depth_mm : decides whether the backs get a coat; None coats them (the careful choice).
    Raises ValueError for a negative area and KeyError for an unknown name.
    """
    negative = [word for word, area in areas_m2.items() if not area >= 0]
    if negative:
        raise ValueError(f"areas_m2[{negative[0]!r}] is {areas_m2[negative[0]]:g}; an area must be 0 or more")
    tone = tone_of(finish, catalogue)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    cloth = catalogue.named("fabric", finish.fabric)
    faces, notes = _stained_faces(areas_m2, finish, catalogue, slat_depth_mm)
    stain_product = topcoat_product = paint_product = None
    if finish.coats > 0:
        general = SpreadRates(
            planed=catalogue.rate("planed spread rate"),
            sawn=catalogue.rate("sawn spread rate"),
            further_coat_share=catalogue.rate("further stain coat"),
        )
        rates = _blended([(_own(entry.spread, general), share) for entry, share in tone.parts])
        shelf = [(entry.name, share, entry.tin_sizes_ml) for entry, share in tone.parts]
        stain_product = _product(tone.name, faces, finish.coats, rates, shelf, catalogue)
    if top.coats > 0:
        general = SpreadRates(
            planed=catalogue.rate("topcoat spread rate"),
            sawn=catalogue.rate("topcoat spread rate, sawn"),
            further_coat_share=None,
        )
        shelf = [(top.name, 1.0, top.tin_sizes_ml)]
        topcoat_product = _product(top.name, faces, top.coats, top.spread or general, shelf, catalogue)
    if cloth.kind == "paint" and areas_m2.get("fabric", 0) > 0:
        rate = cloth.paint_m2_per_l
        own = SpreadRates(planed=rate, sawn=rate, further_coat_share=None)
        painted = [("fabric", "planed", areas_m2["fabric"], 1.0)]
        shelf = [(cloth.name, 1.0, cloth.tin_sizes_ml)]
        paint_product = _product(cloth.name, painted, 2, own, shelf, catalogue, samples=False)
    return Coverage(stain=stain_product, topcoat=topcoat_product, backing_paint=paint_product, notes=notes)


Face = tuple[str, str, float, float]
"""Surface word, texture, area [m2], share of a full coat (below 1: a back, which gets one thin coat)."""


def _stained_faces(
    areas_m2: Mapping[str, float], finish: "Finish", catalogue: Catalogue, slat_depth_mm: float | None
) -> tuple[list[Face], tuple[str, ...]]:
    textures = {
        "slat_front": finish.faces,
        "slat_side": finish.sides,
        "slat_end": "sawn",
        "trim": finish.faces,
    }
    faces: list[Face] = [
        (word, texture, areas_m2[word], 1.0)
        for word, texture in textures.items()
        if areas_m2.get(word, 0) > 0
    ]
    limit = catalogue.rate("back coat below depth").likely
    by_depth = slat_depth_mm is None or slat_depth_mm < limit
    coated = finish.backs == "coated" or (finish.backs == "by depth" and by_depth)
    notes: list[str] = []
    if areas_m2.get("slat_back", 0) > 0:
        if coated:
            share = catalogue.rate("back coat share").likely
            faces.append(("slat_back", finish.sides, areas_m2["slat_back"], share))
            notes.append(
                "The backs of the slats get one thin coat, so that both faces take up moisture alike."
            )
        else:
            notes.append("The backs of the slats stay bare.")
    return faces, tuple(notes)


def _product(
    name: str,
    faces: list[Face],
    coats: int,
    rates: SpreadRates,
    shelf: list[tuple[str, float, tuple[int, ...]]],
    catalogue: Catalogue,
    *,
    samples: bool = True,
) -> Product:
    loss = catalogue.rate("application loss")
    lines = []
    for surface, texture, area, thickness in faces:
        rate = rates.sawn if texture == "sawn" else rates.planed
        # a back that gets a thin coat gets one, however many the faces get
        for coat in range(1, (1 if thickness < 1.0 else coats) + 1):
            lines.append(_line(surface, texture, coat, area, rate, thickness, rates.further_coat_share, loss))
    wall = sum((line.litres for line in lines), start=NOTHING)
    sample = _samples(coats, rates, loss, catalogue) if samples else NOTHING
    touch_up = catalogue.rate("touch-up pot").likely
    kept = Amount(low=touch_up, likely=touch_up, high=touch_up)
    to_buy = wall + sample + kept
    parts = []
    for entry, share, sizes_ml in shelf:
        litres = to_buy.scaled(share)
        sizes = dict.fromkeys(sizes_ml or DEFAULT_SIZES_ML)
        parts.append(
            Part(name=entry, share=share, litres=litres, tins=least_cost(litres.likely * 1000, sizes))
        )
    return Product(
        name=name,
        coats=coats,
        lines=tuple(lines),
        litres=wall,
        samples_l=sample,
        touch_up_l=touch_up,
        to_buy_l=to_buy,
        parts=tuple(parts),
        advice="Buy one batch, pour the tins together and stir while working, so that the colour stays even.",
    )


def _own(rates: SpreadRates | None, general: SpreadRates) -> SpreadRates:
    """Rates with a source of their own, completed by the general habit for further coats."""
    if rates is None:
        return general
    further = rates.further_coat_share or general.further_coat_share
    return SpreadRates(planed=rates.planed, sawn=rates.sawn, further_coat_share=further)


def _blended(rates: list[tuple[SpreadRates, float]]) -> SpreadRates:
    """Rates of a mixture: each litre holds the shares, so areas per litre add up by share."""
    if len(rates) == 1:
        return rates[0][0]

    def blend(pick: str) -> Range:
        ranges = [(getattr(rate, pick), share) for rate, share in rates]
        return Range(
            low=sum(found.low * share for found, share in ranges),
            likely=sum(found.likely * share for found, share in ranges),
            high=sum(found.high * share for found, share in ranges),
            source="; ".join(dict.fromkeys(found.source for found, _ in ranges)),
            tag=ranges[0][0].tag,
        )

    return SpreadRates(
        planed=blend("planed"), sawn=blend("sawn"), further_coat_share=rates[0][0].further_coat_share
    )


def _samples(coats: int, rates: SpreadRates, loss: Range, catalogue: Catalogue) -> Amount:
    boards, area = catalogue.rate("sample boards"), catalogue.rate("sample board area")
    total = NOTHING
    for coat in range(1, coats + 1):
        line = _line("sample", "planed", coat, 1.0, rates.planed, 1.0, rates.further_coat_share, loss)
        total += line.litres
    return Amount(
        low=total.low * boards.low * area.low,
        likely=total.likely * boards.likely * area.likely,
        high=total.high * boards.high * area.high,
    )


def _line(
    surface: str,
    texture: str,
    coat: int,
    area_m2: float,
    rate: Range,
    thickness: float,
    further: Range | None,
    loss: Range,
) -> Line:
    share = (
        further
        if coat > 1 and further is not None
        else Range(low=1, likely=1, high=1, source="", tag="computed")
    )
    litres = Amount(
        low=area_m2 / rate.high * share.low * thickness / (1.0 - loss.low),
        likely=area_m2 / rate.likely * share.likely * thickness / (1.0 - loss.likely),
        high=area_m2 / rate.low * share.high * thickness / (1.0 - loss.high),
    )
    return Line(
        surface=surface,
        texture=texture,
        coat=coat,
        area_m2=area_m2,
        rate_m2_per_l=rate,
        share=share.likely * thickness,
        litres=litres,
    )
