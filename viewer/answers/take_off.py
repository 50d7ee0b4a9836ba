"""The take-off as it is printed: stain, topcoat, fabric, timber and board for the wall, and the price."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from finishes.amounts import Amount, Product
from finishes.choice import Finish
from finishes.fabric_cut import FabricPlan
from meshes.cutting.export import sheets_json, stock_json
from viewer.answers.quantities import Better, Quantities, quantities
from viewer.estimate.export import price_json
from viewer.estimate.prices import PriceList
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Json = dict[str, Any]


def take_off_answer(
    job: Job,
    finish: Finish,
    label: str,
    catalogue: "Catalogue",
    prices: PriceList | None = None,
    better: Better | None = None,
) -> Json:
    """What ``slatwright take-off`` prints; ``better`` as for ``quantities``."""
    return answer_of(quantities(job, finish, catalogue, prices, better), label)


def answer_of(needed: Quantities, label: str) -> Json:
    """The same from quantities that are worked out already."""
    coverage = needed.coverage
    return {
        "finish": label,
        "areas_m2": {word: round(area, 4) for word, area in needed.areas_m2.items()},
        "stain": _product(coverage.stain),
        "topcoat": _product(coverage.topcoat),
        "backing_paint": _product(coverage.backing_paint),
        "fabric": _fabric(needed.fabric),
        **_cutting(needed),
        "notes": list(coverage.notes),
        "price": _price(needed),
    }


def _range(amount: Amount) -> Json:
    return {name: round(value, 3) for name, value in asdict(amount).items()}


def _product(product: Product | None) -> Json:
    """``litres`` is what the wall takes, likely; ``to_buy_litres`` adds samples and the touch-up pot."""
    if product is None:
        return {"name": None, "litres": 0, "coats": 0, "tins": [], "to_buy_litres": 0}
    return {
        "name": product.name,
        "litres": round(product.litres.likely, 3),
        "litres_range": _range(product.litres),
        "coats": product.coats,
        "samples_litres": round(product.samples_l.likely, 3),
        "touch_up_litres": round(product.touch_up_l, 3),
        "to_buy_litres": round(product.to_buy_l.likely, 3),
        "tins": [
            {"product": part.name, "size_ml": size, "count": count}
            for part in product.parts
            for size, count in part.tins.counts
        ],
        "by_surface": [
            {
                "surface": line.surface,
                "texture": line.texture,
                "coat": line.coat,
                "area_m2": round(line.area_m2, 4),
                "rate_m2_per_l": line.rate_m2_per_l.likely,
                "share": line.share,
                "litres": round(line.litres.likely, 4),
            }
            for line in product.lines
        ],
        "advice": product.advice,
    }


def _fabric(plan: FabricPlan | None) -> Json:
    if plan is None:
        return {"name": None, "metres": 0, "drops": []}
    return {
        "name": plan.fabric,
        "metres": plan.metres,
        "lay": plan.lay,
        "usable_width_mm": plan.usable_width_mm,
        "fewest_drops": plan.fewest_drops,
        "could_save_mm": round(plan.could_save_mm, 1),
        "drops": [asdict(drop) for drop in plan.drops],
        "staples": plan.staples,
        "glue_litres": round(plan.glue_l, 3),
        "notes": list(plan.notes),
    }


def _cutting(needed: Quantities) -> Json:
    """``stock`` and ``sheets``; where the stock cannot give the slats, both say why and the rest stands."""
    if needed.plan is None:
        why = {"problems": [{"path": path, "message": message} for path, message in needed.no_plan]}
        return {"stock": why, "sheets": why}
    return {"stock": stock_json(needed.plan), "sheets": sheets_json(needed.plan)}


def _price(needed: Quantities) -> Json:
    """Without a cutting plan nothing is summed up: what cannot be counted is missing, and never 0."""
    if needed.priced is None:
        return {"total": None, "missing": ["timber: the stock gives no slats (see stock)"], "lines": []}
    return price_json(needed.priced.estimate)
