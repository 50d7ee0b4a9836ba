"""Where the timber goes: all that is bought is slat, spare, cull, small strip, kerf, kept or waste."""

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from meshes.cutting.plan import Plan

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where the timber goes [mm3]: bought = slats + spares + culls + smalls + kerf + kept + waste."""

    bought: Fraction
    slats: Fraction
    spares: Fraction
    culls: Fraction
    smalls: Fraction
    kerf: Fraction
    kept: Fraction
    waste: Fraction


def balance_of(plan: "Plan") -> Balance:
    """Each part is summed by itself, so that the equality of both sides can be tested."""
    section = plan.stock.section_mm[0] * plan.stock.section_mm[1]
    bought = slats = spares = culls = kerf = waste = ZERO
    for one in plan.timber:
        strip = one.rip.sawn_width * one.rip.sawn_depth
        from_culls = sum((sum(cull.pieces, ZERO) for cull in one.demand.culls), ZERO)
        pieces = sum((piece.length for piece in one.demand.pieces), ZERO)
        slats += strip * pieces
        spares += strip * one.demand.spares * one.demand.longest
        culls += strip * (len(one.demand.culls) * one.demand.longest - from_culls)
        for length, sections in one.crosscut.sections:
            bought += section * length * sections
            kerf += one.rip.kerf_area * length * sections
            # the rests of ripping lose the same ends as the strips
            waste += one.rip.rest_area * (length - one.crosscut.order.usable(length)) * sections
        for length, count in one.crosscut.uncut:
            waste += strip * (length - one.crosscut.order.usable(length)) * count
        for pattern in one.crosscut.patterns:
            waste += strip * pattern.end_trims * pattern.times
            kerf += strip * pattern.kerf * pattern.times
        kerf += sum((taken.kerf for taken in one.from_rests), ZERO)
    used = plan.reuse.used
    taken = ZERO
    for reused in used:
        area = reused.bar.width * reused.bar.depth
        taken += area * sum((small.length for small in reused.smalls), ZERO)
        kerf += area * reused.kerf
    return Balance(
        bought=bought,
        slats=slats,
        spares=spares,
        culls=culls,
        smalls=taken,
        kerf=kerf,
        kept=sum((bar.volume * count for bar, count in plan.reuse.kept), ZERO),
        waste=waste + sum((bar.volume * count for bar, count in plan.reuse.waste), ZERO),
    )
