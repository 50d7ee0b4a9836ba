"""The take-off: what the wall needs of stain, topcoat, fabric, timber and board, and what it costs."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from finishes.amounts import Amount, Coverage, Product
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.fabric_cut import Board, FabricPlan, fabric
from meshes.cutting.export import sheets_json, stock_json
from meshes.cutting.plan import CuttingError, first_cutting
from meshes.layout.areas import areas
from meshes.layout.setout import SetOut
from viewer.answers.set_out import set_outs_of
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Json = dict[str, Any]


def areas_m2(set_outs: tuple[SetOut, ...]) -> dict[str, float]:
    """Areas of all walls by surface word, and ``slat_back`` [m2]: summed exactly, then made metres."""
    total: dict[str, Any] = {}
    for one in set_outs:
        for word, area in areas(one).items():
            total[word] = total.get(word, 0) + area
    return {word: float(area) / 1e6 for word, area in total.items()}


def coverage_of(job: Job, finish: Finish, catalogue: "Catalogue") -> Coverage:
    """Stain, topcoat and backing paint for the walls of a job."""
    set_outs = set_outs_of(job)
    return take_off(areas_m2(set_outs), finish, catalogue, slat_depth_mm=float(set_outs[0].slat_depth))


def fabric_of(job: Job, finish: Finish, catalogue: "Catalogue") -> FabricPlan | None:
    """The fabric for the boards of a job; None for a painted backing or walls without boards."""
    entry = catalogue.named("fabric", finish.fabric)
    boards = [
        Board(
            name=f"wall {wall + 1} panel {panel.index + 1}",
            width_mm=float(panel.board.width),
            height_mm=float(panel.board.height),
        )
        for wall, one in enumerate(set_outs_of(job))
        for panel in one.panels
    ]
    return fabric(boards, entry, catalogue) if boards and entry.kind == "fabric" else None


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
        "drops": [asdict(drop) for drop in plan.drops],
        "staples": plan.staples,
        "glue_litres": round(plan.glue_l, 3),
        "notes": list(plan.notes),
    }


def _cutting(job: Job, set_outs: tuple[SetOut, ...]) -> tuple[Json, Json]:
    """``stock`` and ``sheets``; where the stock cannot give the slats, both say why and the rest stands."""
    try:
        plan = first_cutting(set_outs, stock=job.stock, panels=job.panels)
    except CuttingError as error:
        why = {"problems": [{"path": path, "message": message} for path, message in error.problems]}
        return why, why
    return stock_json(plan), sheets_json(plan)


def take_off_answer(job: Job, finish: Finish, label: str, catalogue: "Catalogue") -> Json:
    """What ``slatwright take-off`` prints."""
    set_outs = set_outs_of(job)
    coverage = coverage_of(job, finish, catalogue)
    stock, sheets = _cutting(job, set_outs)
    stain, topcoat, paint = map(_product, (coverage.stain, coverage.topcoat, coverage.backing_paint))
    cloth = _fabric(fabric_of(job, finish, catalogue))
    return {
        "finish": label,
        "areas_m2": {word: round(area, 4) for word, area in areas_m2(set_outs).items()},
        "stain": stain,
        "topcoat": topcoat,
        "backing_paint": paint,
        "fabric": cloth,
        "stock": stock,
        "sheets": sheets,
        "notes": list(coverage.notes),
        "price": _price(
            {"stain": stain, "topcoat": topcoat, "backing paint": paint, "fabric": cloth},
        ),
    }


def _price(bought: Mapping[str, Json]) -> Json:
    """Without a price list nothing has a price, and a missing price is never 0: each is named."""
    missing = [f"{kind}: {found['name']}" for kind, found in bought.items() if found["name"]]
    return {"total": None, "missing": [*missing, "timber", "boards"]}
