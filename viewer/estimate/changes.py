"""Why a number moved between two estimates, in words: quantities, their reasons, prices, and the total."""

from collections.abc import Sequence
from decimal import Decimal
from gettext import gettext as _

from viewer.estimate.items import ITEMS
from viewer.estimate.needs import Need
from viewer.estimate.total import Estimate, Line

TINY = Decimal("0.0005")
"""Quantities closer than this are the same: they are printed to a thousandth."""


def changes(before: Estimate, after: Estimate) -> tuple[str, ...]:
    """One sentence a line that moved, in the order of the later estimate, and one for the total."""
    old = {line.need.key: line for line in before.lines}
    new = {line.need.key: line for line in after.lines}
    sentences = []
    for key, line in new.items():
        sentences += _appeared(line) if key not in old else _moved(old[key], line)
    sentences += [
        _("%(what)s: no longer needed (was %(before)s).")
        % {"what": name_of(line.need), "before": amount(line.need.quantity.likely, line.need.unit)}
        for key, line in old.items()
        if key not in new
    ]
    return (*sentences, *_total(before, after))


def name_of(need: Need) -> str:
    """``Stain walnut``, ``Sawn timber 47 x 100 Scots pine, 2700 mm``."""
    words = ITEMS[need.item].words
    name = f"{words} {need.of}" if need.of else words
    return f"{name}, {need.length_mm:f} mm" if need.length_mm is not None else name


def amount(value: Decimal, unit: str, *, signed: bool = False) -> str:
    """``0.9 l``, ``12``, ``+3``: at most three decimals, no unit for pieces."""
    rounded = value.quantize(Decimal("0.001")).normalize() + Decimal(0)
    written = f"{rounded:+f}" if signed else f"{rounded:f}"
    return written if unit == "piece" else f"{written} {unit}"


def _appeared(line: Line) -> list[str]:
    return [
        _("%(what)s: new, %(after)s.")
        % {"what": name_of(line.need), "after": amount(line.need.quantity.likely, line.need.unit)}
    ]


def _moved(old: Line, new: Line) -> list[str]:
    sentences = []
    before, after = old.need.quantity.likely, new.need.quantity.likely
    unit = new.need.unit
    if abs(after - before) > TINY:
        words = {
            "what": name_of(new.need),
            "before": amount(before, unit),
            "after": amount(after, unit),
            "reasons": ", ".join(_reasons(old.need, new.need)),
        }
        if words["reasons"]:
            sentences.append(_("%(what)s: %(before)s became %(after)s (%(reasons)s).") % words)
        else:
            sentences.append(_("%(what)s: %(before)s became %(after)s.") % words)
    return sentences + _price_moved(old, new)


def _reasons(old: Need, new: Need) -> list[str]:
    """Parts that moved (second coat +0.9 l), and counts behind them (panels 6 to 7)."""
    reasons = []
    was = {part.label: part.quantity.likely for part in old.parts}
    now = {part.label: part.quantity.likely for part in new.parts}
    if len(was.keys() | now.keys()) > 1:
        for label in dict.fromkeys([*now, *was]):
            step = now.get(label, Decimal(0)) - was.get(label, Decimal(0))
            if abs(step) > TINY:
                reasons.append(f"{label} {amount(step, new.unit, signed=True)}")
    counted = dict(old.drivers)
    for label, count in new.drivers:
        if label in counted and abs(counted[label] - count) > TINY:
            words = {
                "label": label,
                "before": amount(counted[label], "piece"),
                "after": amount(count, "piece"),
            }
            reasons.append(_("%(label)s %(before)s to %(after)s") % words)
    return reasons


def _price_moved(old: Line, new: Line) -> list[str]:
    if old.cost is None and new.cost is None:
        return []
    what = {"what": name_of(new.need)}
    if old.cost is None:
        return [_("%(what)s: has a price now.") % what]
    if new.cost is None:
        return [_("%(what)s: has no price any more.") % what]
    was = {(one.offer.pack, one.offer.per, one.offer.supplier): one.unit_price for one in old.bought}
    return [
        _("%(what)s: the price of %(pack)s went from %(before)s to %(after)s.")
        % {
            **what,
            "pack": amount(one.offer.pack or Decimal(1), one.offer.per)
            if one.offer.pack
            else f"1 {one.offer.per}",
            "before": f"{was[sold]:f}",
            "after": f"{one.unit_price:f}",
        }
        for one in new.bought
        if (sold := (one.offer.pack, one.offer.per, one.offer.supplier)) in was
        and was[sold] != one.unit_price
    ]


def _total(before: Estimate, after: Estimate) -> Sequence[str]:
    if before.total is None or after.total is None or after.prices is None or before.total == after.total:
        return ()
    words = {
        "before": f"{before.total:f}",
        "after": f"{after.total:f}",
        "step": f"{after.total - before.total:+f}",
        "currency": after.prices.currency,
    }
    return (_("In all: %(before)s became %(after)s %(currency)s (%(step)s).") % words,)
