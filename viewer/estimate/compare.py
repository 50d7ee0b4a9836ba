"""Making it oneself beside buying it ready: the same prices and the same lines, with some stages replaced.

Cost of a wall of length L = what does not grow + what grows x L / length of this wall. Two such lines cross
at the break-even length, where there is one. Packs are taken in the proportion in which this wall uses them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from gettext import gettext as _

from viewer.estimate.items import ITEMS, Stage
from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.prices import PriceList
from viewer.estimate.total import Estimate, estimate
from viewer.estimate.work import Work

NOT_WITH_STRIPS = ("section", "small_strip", "test_strip")
KEPT_WITH_PANELS: tuple[Stage, ...] = ("fixing",)
WITHOUT_RIPPING = "ripping and planing"
TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Another way to the same wall. ``saving`` > 0: making it costs less; None while a price is missing."""

    way: str
    words: str
    other: Estimate
    saving: Decimal | None
    break_even_m: Decimal | None


def comparisons(needs: Sequence[Need], work: Work, prices: PriceList | None) -> tuple[Comparison, ...]:
    """Ready-cut strips and ready-made panels against ``needs``, for the maker's eyes."""
    own = estimate(needs, prices)
    return (
        _compared("ready_strips", own, estimate(_with_strips(needs, work), prices), work),
        _compared("ready_panels", own, estimate(_with_panels(needs, work), prices), work),
    )


def _with_strips(needs: Sequence[Need], work: Work) -> list[Need]:
    """The same wall from strips that come ripped and planed: no sections, no ripping."""
    kept = [_without_part(need, _(WITHOUT_RIPPING)) for need in needs if need.item not in NOT_WITH_STRIPS]
    bought = [
        _ready("ready_strip", Decimal(count), of=strips.of, length_mm=length)
        for strips in work.ready_strips
        for length, count in strips.lengths.items()
    ]
    return [*bought, *(need for need in kept if need.parts)]


def _with_panels(needs: Sequence[Need], work: Work) -> list[Need]:
    """The same area from panels that come finished: fixing is left, cutting at openings, and what is once."""
    kept = [need for need in needs if ITEMS[need.item].stage in KEPT_WITH_PANELS]
    for need in needs:
        if need.item == "labour":
            parts = tuple(part for part in need.parts if not need.grows or part.label == _("openings"))
            kept += [replace(need, parts=parts)] if parts else []
    return [_ready("ready_panel", work.face_m2), *kept]


def _ready(item: str, count: Decimal, of: str = "", length_mm: Decimal | None = None) -> Need:
    part = Part(label=_("bought ready"), quantity=Quantity.exactly(count))
    return Need(item=item, of=of, length_mm=length_mm, parts=(part,))


def _without_part(need: Need, label: str) -> Need:
    if need.item != "labour":
        return need
    return replace(need, parts=tuple(part for part in need.parts if part.label != label))


def _compared(way: str, own: Estimate, other: Estimate, work: Work) -> Comparison:
    if own.total is None or other.total is None:
        missing = ", ".join(dict.fromkeys([*own.missing, *other.missing])) or _("a price list")
        words = _("Cannot be compared yet; missing: %(missing)s.") % {"missing": missing}
        return Comparison(way=way, words=words, other=other, saving=None, break_even_m=None)
    saving = other.total - own.total
    length, words = _break_even(own, other, saving, work)
    return Comparison(way=way, words=words, other=other, saving=saving, break_even_m=length)


def _break_even(own: Estimate, other: Estimate, saving: Decimal, work: Work) -> tuple[Decimal | None, str]:
    """(length of run [m] at which both cost the same, or None; the sentence that says so)."""
    once = _part(own, grows=False) - _part(other, grows=False)
    a_metre = (_part(other, grows=True) - _part(own, grows=True)) / work.run_m
    currency = own.prices.currency if own.prices else ""
    money = {"saving": f"{abs(saving):f}", "currency": currency}
    if a_metre <= 0:
        if once >= 0:
            return None, _(
                "Buying it ready costs less at every length, here by %(saving)s %(currency)s."
            ) % money
        if a_metre == 0:
            return None, _("Making it costs less at every length, here by %(saving)s %(currency)s.") % money
        length = (once / a_metre).quantize(TENTH, rounding=ROUND_FLOOR)
        return length, _("Making it costs less up to a run of %(length)s m.") % {"length": f"{length:f}"}
    if once <= 0:
        return None, _("Making it costs less at every length, here by %(saving)s %(currency)s.") % money
    length = (once / a_metre).quantize(TENTH, rounding=ROUND_CEILING)
    return length, _("Making it pays from a run of %(length)s m on.") % {"length": f"{length:f}"}


def _part(of: Estimate, *, grows: bool) -> Decimal:
    costs = (line.cost.likely for line in of.lines if line.cost is not None and line.need.grows == grows)
    return of.with_tax(sum(costs, Decimal(0)))


def per_unit(of: Estimate, work: Work) -> dict[str, Decimal | None]:
    """The total per square metre of face, per panel, and in all; None while a price is missing."""
    total, prices = of.total, of.prices
    if total is None or prices is None:
        return {"per_m2": None, "per_panel": None, "in_all": None}
    return {
        "per_m2": prices.rounded(total / work.face_m2) if work.face_m2 else None,
        "per_panel": prices.rounded(total / work.panels) if work.panels else None,
        "in_all": total,
    }
