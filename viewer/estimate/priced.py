"""One call from a planned wall to its estimate, for those who wire it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from meshes.cutting.plan import Plan
from meshes.layout.setout import SetOut
from viewer.estimate.coatings import coated_m2, coating_needs, fabric_needs
from viewer.estimate.lines import needs_of
from viewer.estimate.needs import Need
from viewer.estimate.practice import Labour, Practice
from viewer.estimate.prices import PriceList
from viewer.estimate.total import Estimate, estimate
from viewer.estimate.work import WallBuild, Work, work_of

if TYPE_CHECKING:
    from finishes.amounts import Coverage
    from finishes.fabric_cut import FabricPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """The counts, what they need, and what that costs."""

    work: Work
    needs: tuple[Need, ...]
    estimate: Estimate


def priced(
    *,
    set_outs: Sequence[SetOut],
    plan: Plan,
    coverage: "Coverage",
    fabric: "FabricPlan | None",
    timber: str,
    openings: int,
    prices: PriceList | None,
    wall_build: WallBuild = "unknown",
) -> Priced:
    """The estimate of one finish on the walls of a job. ``timber`` is the finish's catalogue name."""
    practice = prices.practice if prices is not None else Practice()
    work = work_of(
        set_outs,
        plan,
        timber=timber,
        openings=openings,
        wall_build=wall_build,
        edges_covered=fabric is not None,
        practice=practice,
    )
    needs = needs_of(
        work,
        coating_needs(coverage),
        fabric_needs(fabric),
        coated_m2=coated_m2(coverage),
        practice=practice,
        labour=prices.labour if prices is not None else Labour(),
    )
    return Priced(work=work, needs=needs, estimate=estimate(needs, prices))
