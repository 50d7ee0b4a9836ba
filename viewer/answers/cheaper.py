"""What else on the price list would cost less for a job: each candidate is set out, planned and priced."""

from typing import TYPE_CHECKING

from finishes.choice import Finish
from meshes.cutting.stock import Stock
from meshes.layout.setout import NothingFitsError
from meshes.layout.spacing import Panels
from viewer.answers.quantities import Quantities, quantities
from viewer.estimate.alternatives import Alternative, alternatives
from viewer.estimate.priced import Priced
from viewer.estimate.prices import PriceList
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def cheaper(
    job: Job, finish: Finish, catalogue: "Catalogue", prices: PriceList | None, base: Quantities
) -> tuple[Alternative, ...]:
    """Alternatives that save money; none without a price list or a cutting plan."""
    if prices is None or base.priced is None:
        return ()
    listed = prices

    def priced_with(stock: Stock, panels: Panels) -> Priced | None:
        other = job.model_copy(update={"stock": stock, "panels": panels})
        try:
            return quantities(other, finish, catalogue, listed).priced
        except NothingFitsError:
            return None

    return alternatives(
        base.priced,
        stock=job.stock,
        panels=job.panels,
        timber=catalogue.named("timber", finish.timber).name,
        prices=prices,
        priced_with=priced_with,
    )
