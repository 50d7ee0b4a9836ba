"""What finishes on a kept job need, worked out once for each: pages compare them over and over."""

from gettext import gettext as _
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from finishes.choice import Finish
from viewer.answers.quantities import Quantities, quantities
from viewer.estimate.changes import changes
from viewer.pages.quantities import Row
from viewer.picture import Studio
from viewer.services import services

if TYPE_CHECKING:
    from viewer.pages.opened import Opened

MOST_NAMED = 3
"""Missing prices that are named; the take-off lists them all."""

_held: WeakKeyDictionary[Studio, dict[tuple[Finish, int], Quantities]] = WeakKeyDictionary()
"""By the studio of a job's version: it goes when that goes."""


def needed(on: "Opened", finish: Finish) -> Quantities:
    """What a finish on this version of the job needs, priced where there is a price list."""
    held = _held.setdefault(on.studio, {})
    cuttings = services().cuttings
    key = (finish, cuttings.improved)
    if key not in held:
        held[key] = quantities(on.job, finish, services().catalogue, services().prices, cuttings.best)
    return held[key]


def why_moved(before: Quantities, after: Quantities) -> tuple[str, ...]:
    """Why quantities and price differ between two finishes, a sentence each."""
    if before.priced is None or after.priced is None:
        return ()
    return changes(before.priced.estimate, after.priced.estimate)


def price_row(found: Quantities) -> Row:
    """The price, or in words why there is none. A missing price is never 0."""
    what = _("Price")
    if found.priced is None:
        return Row(what=what, amount="–", note=_("the stock gives no slats"))
    estimate = found.priced.estimate
    if estimate.prices is None:
        return Row(what=what, amount="–", note=_("no price list is set"))
    if estimate.total is None:
        named, more = estimate.missing[:MOST_NAMED], len(estimate.missing) - MOST_NAMED
        words = _("no price for {names}").format(names=", ".join(named))
        if more > 0:
            words = _("{words} and {count} more").format(words=words, count=more)
        return Row(what=what, amount="–", note=words)
    return Row(what=what, amount=f"{estimate.total:f}", unit=estimate.prices.currency, note=_("tax included"))
