"""How much stain and topcoat a set-out takes: areas x coats / spread rate / (1 - loss), low, likely and high.

Planed and sawn faces take different rates, a further coat takes less than the first, and slats thinner than
18 mm get one thin coat on the back so that both faces dry and swell alike. Rates with a source in the
catalogue entry replace the general ones.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from finishes.catalogue import Catalogue
from finishes.catalogue.entries import SpreadRates, StainEntry, TopcoatEntry
from finishes.tagged import Range
from finishes.tins import Tins, least_cost

if TYPE_CHECKING:
    from finishes.choice import Finish

DEFAULT_SIZES_ML = (250, 750, 1000, 2500, 5000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A quantity with its range, in the unit that the field's name gives."""

    low: float
    likely: float
    high: float

    def __add__(self, other: "Amount") -> "Amount":
        return Amount(
            low=self.low + other.low, likely=self.likely + other.likely, high=self.high + other.high
        )


NOTHING = Amount(low=0.0, likely=0.0, high=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One coat on one surface: ``litres = area / rate * share / (1 - loss)``; rate is the likely one."""

    surface: str
    texture: str
    coat: int
    area_m2: float
    rate_m2_per_l: Range
    share: float
    litres: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What one product takes: wall, samples, the pot kept for touch-up; tins to buy for the likely case."""

    name: str
    coats: int
    lines: tuple[Line, ...]
    litres: Amount
    samples_l: Amount
    touch_up_l: float
    to_buy_l: Amount
    tins: Tins
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """Stain, topcoat and backing paint of one finish; None where there is none of it."""

    stain: Product | None
    topcoat: Product | None
    backing_paint: Product | None
    notes: tuple[str, ...]

    @property
    def coats(self) -> int:
        """Coats of stain."""
        return self.stain.coats if self.stain else 0

    @property
    def litres(self) -> Amount:
        """Litres of stain on the wall, without samples and touch-up."""
        return self.stain.litres if self.stain else NOTHING

    @property
    def tins(self) -> Tins | None:
        """Tins of stain to buy."""
        return self.stain.tins if self.stain else None


def take_off(
    areas_m2: Mapping[str, float],
    finish: "Finish",
    catalogue: Catalogue,
    *,
    slat_depth_mm: float | None = None,
    prices: Mapping[str, Mapping[int, Decimal | None]] | None = None,
) -> Coverage:
    """Litres and tins for the given areas.

    areas_m2 : by surface word, and ``slat_back`` for the hidden backs; surfaces that take no stain are passed
    over.
    slat_depth_mm : decides whether the backs get a coat; None coats them (the careful choice).
    prices : tin prices by product name and size [ml]; without them the tins with the least left over are
    chosen.
    Raises ValueError for a negative area and KeyError for an unknown name.
    """
    negative = [word for word, area in areas_m2.items() if not area >= 0]
    if negative:
        raise ValueError(f"areas_m2[{negative[0]!r}] is {areas_m2[negative[0]]:g}; an area must be 0 or more")
    tone: StainEntry = catalogue.named("stain", finish.stain)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    cloth = catalogue.named("fabric", finish.fabric)
    tins = prices or {}
    faces, notes = _stained_faces(areas_m2, finish, catalogue, slat_depth_mm)
    stain_product = topcoat_product = paint_product = None
    if finish.coats > 0:
        general = SpreadRates(
            planed=catalogue.rate("planed spread rate"),
            sawn=catalogue.rate("sawn spread rate"),
            further_coat_share=catalogue.rate("further stain coat"),
        )
        stain_product = _product(
            tone.name,
            faces,
            finish.coats,
            tone.spread or general,
            tone.tin_sizes_ml,
            tins.get(tone.name),
            catalogue,
        )
    if top.coats > 0:
        rate = catalogue.rate("topcoat spread rate")
        general = SpreadRates(planed=rate, sawn=rate, further_coat_share=None)
        topcoat_product = _product(
            top.name, faces, top.coats, top.spread or general, top.tin_sizes_ml, tins.get(top.name), catalogue
        )
    if cloth.kind == "paint" and areas_m2.get("fabric", 0) > 0:
        rate = cloth.paint_m2_per_l
        own = SpreadRates(planed=rate, sawn=rate, further_coat_share=None)
        painted = [("fabric", "planed", areas_m2["fabric"], 1.0)]
        paint_product = _product(
            cloth.name, painted, 2, own, cloth.tin_sizes_ml, tins.get(cloth.name), catalogue, samples=False
        )
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
    sizes_ml: tuple[int, ...],
    prices: Mapping[int, Decimal | None] | None,
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
    found = least_cost(to_buy.likely * 1000, prices or dict.fromkeys(sizes_ml or DEFAULT_SIZES_ML))
    return Product(
        name=name,
        coats=coats,
        lines=tuple(lines),
        litres=wall,
        samples_l=sample,
        touch_up_l=touch_up,
        to_buy_l=to_buy,
        tins=found,
        advice="Buy one batch, pour the tins together and stir while working, so that the colour stays even.",
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
