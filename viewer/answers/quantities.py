"""What a wall needs, worked out once: set-outs, cutting plan, coverage, fabric, and what it costs."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from finishes.amounts import Coverage
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.fabric_cut import Board, FabricPlan, fabric
from meshes.cutting.plan import CuttingError, Plan, first_cutting
from meshes.cutting.stock import Stock
from meshes.layout.areas import areas
from meshes.layout.setout import SetOut
from meshes.layout.spacing import Panels
from viewer.answers.set_out import set_outs_of
from viewer.estimate.coatings import as_bought
from viewer.estimate.priced import Priced, priced
from viewer.estimate.prices import PriceList
from viewer.job.model import Job
from viewer.job.reading import Problem

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Better = Callable[[Plan], Plan]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantities:
    """What one finish on the walls of a job needs. Where the stock gives no slats, ``plan`` is None.

    ``no_plan`` then says why, and nothing is priced.
    """

    set_outs: tuple[SetOut, ...]
    areas_m2: Mapping[str, float]
    coverage: Coverage
    fabric: FabricPlan | None
    plan: Plan | None
    no_plan: tuple[Problem, ...]
    priced: Priced | None


def areas_m2(set_outs: tuple[SetOut, ...]) -> dict[str, float]:
    """Areas of all walls by surface word, and ``slat_back`` [m2]: summed exactly, then made metres."""
    total: dict[str, Any] = {}
    for one in set_outs:
        for word, area in areas(one).items():
            total[word] = total.get(word, 0) + area
    return {word: float(area) / 1e6 for word, area in total.items()}


def _fabric(set_outs: tuple[SetOut, ...], finish: Finish, catalogue: "Catalogue") -> FabricPlan | None:
    """The fabric for the boards; None for a painted backing or walls without boards."""
    entry = catalogue.named("fabric", finish.fabric)
    boards = [
        Board(
            name=f"wall {wall + 1} panel {panel.index + 1}",
            width_mm=float(panel.board.width),
            height_mm=float(panel.board.height),
        )
        for wall, one in enumerate(set_outs)
        for panel in one.panels
    ]
    if not boards or entry.kind != "fabric":
        return None
    lay = None if finish.fabric_lay == "shortest" else finish.fabric_lay
    return fabric(boards, entry, catalogue, lay=lay)


def quantities(
    job: Job,
    finish: Finish,
    catalogue: "Catalogue",
    prices: PriceList | None = None,
    better: Better | None = None,
) -> Quantities:
    """What a checked job needs for one finish, priced from the list where there is one.

    ``better`` makes something of the first cutting plan: a proof, or what is known of it by now.
    """
    set_outs = set_outs_of(job)
    surfaces = areas_m2(set_outs)
    coverage = take_off(surfaces, finish, catalogue, slat_depth_mm=float(set_outs[0].slat_depth))
    if prices is not None:
        coverage = as_bought(coverage, prices)
    cloth = _fabric(set_outs, finish, catalogue)
    plan, no_plan = _plan(set_outs, stock_for(job, finish, catalogue), job.panels, better)
    cost = None
    if plan is not None:
        cost = priced(
            set_outs=set_outs,
            plan=plan,
            coverage=coverage,
            fabric=cloth,
            timber=catalogue.named("timber", finish.timber).name,
            openings=len(job.openings) + sum(len(after.openings) for after in job.next_walls),
            prices=prices,
            wall_build=job.wall.build,
        )
    return Quantities(
        set_outs=set_outs,
        areas_m2=surfaces,
        coverage=coverage,
        fabric=cloth,
        plan=plan,
        no_plan=no_plan,
        priced=cost,
    )


def stock_for(job: Job, finish: Finish, catalogue: "Catalogue") -> Stock:
    """The job's stock; where it states no share of strips sorted out, the stricter of two habits decides.

    One is the grade of the timber, the other how the finish has boards sorted by knots; a board without knots
    is not sorted by them.
    """
    wood = catalogue.named("timber", finish.timber)
    sorting = catalogue.named("sorting", finish.sorting).cull_percent.likely
    share = Fraction(str(sorting)) / 100 if catalogue.figure[wood.figure].knot is not None else Fraction(0)
    if job.stock.cull_rate is not None or share <= job.stock.culled:
        return job.stock
    return job.stock.model_copy(update={"cull_rate": share})


def _plan(
    set_outs: tuple[SetOut, ...], stock: Stock, panels: Panels, better: Better | None
) -> tuple[Plan | None, tuple[Problem, ...]]:
    try:
        plan = first_cutting(set_outs, stock=stock, panels=panels)
        return (better(plan) if better is not None else plan), ()
    except CuttingError as error:
        return None, error.problems
