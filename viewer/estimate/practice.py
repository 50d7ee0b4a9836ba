"""Figures that quantities rest on where nothing was measured; all common practice, all replaceable.

A price list replaces any of them in its table ``practice`` by the name used here.
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Common practice without a published source; counts are per unit named, shares are parts of 1."""

    pin_spacing_mm: Decimal = Decimal(300)
    """Pins from the back of the board, in a zigzag along each slat."""
    pin_spare_share: Decimal = Decimal("0.1")
    screw_spare_share: Decimal = Decimal("0.1")
    fixing_spacing_mm: Decimal = Decimal(900)
    """Used where the set-out gives no fixing points: two upright rows a panel at this spacing."""
    packers_per_fixing: Decimal = Decimal(2)
    slats_per_disc_low: Decimal = Decimal(6)
    slats_per_disc_high: Decimal = Decimal(8)
    """One abrasive disc per so many slats and grit."""
    grits: Decimal = Decimal(2)
    black_paint_m2_per_l: Decimal = Decimal(10)
    black_paint_coats: Decimal = Decimal(2)
    test_strips: Decimal = Decimal(3)
    test_strip_mm: Decimal = Decimal(300)
    ledger_per_run: Decimal = Decimal(1)
    """Metres of ledger a metre of run: it carries the first panels and is taken off again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """Minutes of work, as the user times them; nothing is assumed, and what is not set is left out."""

    per_section: Decimal | None = None
    """Ripping and planing one section."""
    per_slat: Decimal | None = None
    """Crosscutting, sanding and pinning one slat piece."""
    per_coat_m2: Decimal | None = None
    """Stain or topcoat: one coat on one square metre."""
    per_panel: Decimal | None = None
    """Cutting, covering and hanging one panel."""
    per_opening: Decimal | None = None
    per_m2: Decimal | None = None
    """Anything else that goes by the area of the wall."""
    per_job: Decimal | None = None
    """Survey, setting up, delivery: once."""

    @property
    def given(self) -> bool:
        return any(getattr(self, name) is not None for name in self.__slots__)
