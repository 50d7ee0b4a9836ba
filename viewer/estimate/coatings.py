"""Stain, topcoat and paint as needs: each coat, the backs, the samples and the touch-up pot by itself."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from gettext import gettext as _
from math import ceil
from typing import TYPE_CHECKING

from finishes.tins import Tins
from viewer.estimate.needs import Need, Part, Quantity, decimal
from viewer.estimate.packs import STEPS, cheapest
from viewer.estimate.prices import PriceList

if TYPE_CHECKING:
    from finishes.amounts import Amount, Coverage, Product
    from finishes.fabric_cut import FabricPlan

SPARE_STAPLES = Decimal("0.1")
"""Share of staples that bend or miss (common practice)."""


def coating_needs(coverage: "Coverage") -> tuple[Need, ...]:
    """The needs of one finish: stain, topcoat and backing paint, as far as it has them."""
    found: list[Need] = []
    for item, product in (
        ("stain", coverage.stain),
        ("topcoat", coverage.topcoat),
        ("backing_paint", coverage.backing_paint),
    ):
        if product is not None:
            found += _needs(item, product)
    return tuple(found)


def as_bought(coverage: "Coverage", prices: PriceList) -> "Coverage":
    """The same with the tins that the estimate buys: one choice, shown and priced.

    What has no price keeps the tins that leave the least over.
    """
    needs = {(need.item, need.of): need for need in coating_needs(coverage)}

    def bought(item: str, product: "Product | None") -> "Product | None":
        if product is None:
            return None
        parts = (
            replace(part, tins=_tins(needs[item, part.name], prices) or part.tins) for part in product.parts
        )
        return replace(product, parts=tuple(parts))

    return replace(
        coverage,
        stain=bought("stain", coverage.stain),
        topcoat=bought("topcoat", coverage.topcoat),
        backing_paint=bought("backing_paint", coverage.backing_paint),
    )


def _tins(need: Need, prices: PriceList) -> Tins | None:
    offers = prices.offers_for(need)
    if not offers:
        return None
    bought = cheapest(need, need.quantity.likely, offers)
    tins = [one for one in bought if one.offer.pack is not None]
    wanted = need.quantity.likely * STEPS
    return Tins(
        counts=tuple((int((one.offer.pack or 0) * STEPS), int(one.count)) for one in tins),
        volume_ml=ceil(sum(one.count * (one.offer.pack or 1) for one in bought) * STEPS),
        wanted_ml=ceil(wanted),
        cost=sum((one.cost for one in bought), Decimal(0)),
    )


def coated_m2(coverage: "Coverage") -> Decimal:
    """Square metres of coats of stain and topcoat: what finishing time goes by."""
    products = [product for product in (coverage.stain, coverage.topcoat) if product is not None]
    return decimal(sum(line.area_m2 for product in products for line in product.lines))


def _needs(item: str, product: "Product") -> list[Need]:
    """One need a thing on the shelf: an own tone is mixed from two, each with its share of every part."""
    return [
        Need(
            item=item,
            of=shelf.name,
            parts=tuple(
                Part(label=label, quantity=quantity) for label, quantity in _parts(product, shelf.share)
            ),
            drivers=((_("m2 of first coat"), _first_coat_m2(product)),),
        )
        for shelf in product.parts
    ]


def _parts(product: "Product", share: float) -> list[tuple[str, Quantity]]:
    amounts: dict[str, list[Amount]] = {}
    for line in product.lines:
        label = _("thin coat on the backs") if line.surface == "slat_back" else coat_words(line.coat)
        amounts.setdefault(label, []).append(line.litres)
    parts = [(label, _sum(litres, share)) for label, litres in amounts.items()]
    if product.samples_l.high:
        parts.append((_("samples"), _sum([product.samples_l], share)))
    if product.touch_up_l:
        parts.append((_("touch-up pot"), Quantity.exactly(product.touch_up_l * share)))
    return parts


def _sum(amounts: "list[Amount]", share: float) -> Quantity:
    return Quantity.between(
        sum(one.low for one in amounts) * share,
        sum(one.likely for one in amounts) * share,
        sum(one.high for one in amounts) * share,
    )


def _first_coat_m2(product: "Product") -> Decimal:
    return decimal(round(sum(line.area_m2 for line in product.lines if line.coat == 1), 3))


def coat_words(coat: int) -> str:
    """``first coat`` … ``sixth coat``."""
    words: Mapping[int, str] = {
        1: _("first coat"),
        2: _("second coat"),
        3: _("third coat"),
        4: _("fourth coat"),
        5: _("fifth coat"),
        6: _("sixth coat"),
    }
    return words[coat] if coat in words else _("coat %(number)d") % {"number": coat}


def fabric_needs(fabric: "FabricPlan | None") -> tuple[Need, ...]:
    """Cloth, staples and glue of a covered backing; nothing for a painted one."""
    if fabric is None:
        return ()
    spare = sum(drop.length_mm for drop in fabric.drops if drop.spare) / 1000
    parts = [Part(label=_("drops"), quantity=Quantity.exactly(fabric.metres - spare))]
    if spare:
        parts.append(Part(label=_("spare drop"), quantity=Quantity.exactly(spare)))
    edge, area = decimal(round(fabric.edge_m, 3)), decimal(round(fabric.area_m2, 3))
    fewest, most = fabric.staples_between
    bent = [
        (count * SPARE_STAPLES).to_integral_value(rounding="ROUND_CEILING")
        for count in (fewest, fabric.staples, most)
    ]
    staples = (
        Part(label=_("along the wrap"), quantity=Quantity.between(fewest, fabric.staples, most)),
        Part(label=_("bent and lost"), quantity=Quantity.between(*bent)),
    )
    glue = Quantity.between(fabric.glue_between_l[0], fabric.glue_l, fabric.glue_between_l[1])
    return (
        Need(item="fabric", of=fabric.fabric, parts=tuple(parts)),
        Need(
            item="staples",
            parts=staples,
            drivers=((_("m of edge"), edge),),
        ),
        Need(
            item="glue",
            parts=(Part(label=_("over the boards"), quantity=glue),),
            drivers=((_("m2 of board"), area),),
        ),
    )
