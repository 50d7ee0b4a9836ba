"""The cutting plan of a job: sections to buy, ripping, crosscutting, boards from sheets, what is left.

``first_cutting`` answers within milliseconds; ``proven_cutting`` improves it in the background and proves it.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import count

from meshes.cutting.balance import Balance, balance_of
from meshes.cutting.beside import least_length
from meshes.cutting.crosscut import Crosscut
from meshes.cutting.demand import Small, demands, smalls
from meshes.cutting.proof import proven_plan
from meshes.cutting.reuse import Bar, Reuse, remainders, reuse
from meshes.cutting.sheet_proof import proven_sheets
from meshes.cutting.sheets import SheetOrder, SheetPlan
from meshes.cutting.shelves import first_sheets
from meshes.cutting.stock import Stock
from meshes.cutting.timber import Timber, end_trim_of, judged, timbers
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import SetOut
from meshes.layout.spacing import Panels

ZERO = Fraction(0)
Problem = tuple[str, str]


class CuttingError(ValueError):
    """Nothing can be cut as asked; ``problems`` are (path, message) pairs like those of a job check."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(f"{path}: {message}" for path, message in problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The cutting plan of all walls of a job; lengths in mm."""

    stock: Stock
    panels: Panels
    timber: tuple[Timber, ...]
    wanted_smalls: tuple[Small, ...]
    sheets: SheetPlan | None
    board_names: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def sections(self) -> dict[Fraction, int]:
        """Sections to buy by length."""
        counts: Counter[Fraction] = Counter()
        for one in self.timber:
            counts.update(dict(one.crosscut.sections))
        return dict(sorted(counts.items()))

    @property
    def cost(self) -> Fraction:
        """Length of the sections bought [mm]."""
        return sum((one.crosscut.cost for one in self.timber), ZERO)

    @cached_property
    def bound(self) -> Fraction:
        """The least that any plan buys [mm]: slats of several sizes may be ripped from one section."""
        if len(self.timber) < 2:
            return sum((one.crosscut.bound for one in self.timber), ZERO)
        trim = self.timber[0].crosscut.order.end_trim
        wanted = [(one.rip, one.demand.to_cut) for one in self.timber]
        return max(least_length(wanted, self.stock, trim), *(one.alone for one in self.timber))

    @property
    def timber_proven(self) -> bool:
        """Whether no plan buys less timber."""
        return self.cost == self.bound

    @property
    def timber_gap(self) -> Fraction:
        """How much of the timber is not yet proven necessary, as a share of 1."""
        return (self.cost - self.bound) / self.cost if self.cost else ZERO

    @property
    def proven(self) -> bool:
        return self.timber_proven and (self.sheets is None or self.sheets.proven)

    @cached_property
    def reuse(self) -> Reuse:
        """What becomes of all remainders; trims and spacers are cut from them where they fit."""
        bars: Counter[Bar] = Counter()
        for one in self.timber:
            bars.update(remainders(one.rip, one.crosscut))
            for taken in one.from_rests:
                bars[taken.bar] -= taken.bars
                bars.update(taken.remainders)
        return reuse(bars, self.wanted_smalls, self.stock)

    @cached_property
    def balance(self) -> Balance:
        return balance_of(self)


def first_cutting(set_outs: Sequence[SetOut], *, stock: Stock, panels: Panels) -> Plan:
    """The plan at once, each part with its bound.

    Raises CuttingError with every reason at once: section too small, lengths too short, sheet too small.
    """
    wanted = demands(set_outs, stock)
    problems, warnings = judged(wanted, stock)
    boards = _boards(set_outs, stock, panels)
    if boards is not None:
        problems += _sheet_problems(boards[0])
    if problems:
        raise CuttingError(problems)
    trim = end_trim_of(wanted, stock)
    if trim < stock.end_trim_mm:
        warnings.append(
            f"the longest slat leaves only {rounded_mm(trim)} mm to trim at each end of the longest length, "
            f"not {rounded_mm(stock.end_trim_mm)} mm: look out for snipe, or buy longer"
        )
    return Plan(
        stock=stock,
        panels=panels,
        timber=timbers(wanted, stock, trim),
        wanted_smalls=smalls(set_outs),
        sheets=first_sheets(boards[0]) if boards is not None else None,
        board_names=boards[1] if boards is not None else (),
        warnings=tuple(warnings),
    )


def proven_cutting(
    plan: Plan,
    *,
    time_limit_s: float = 10.0,
    cancelled: Callable[[], bool] = lambda: False,
    progress: Callable[[int, int], None] = lambda done, parts: None,
) -> Plan:
    """The plan improved and proven, or with smaller gaps. ``progress`` hears (parts done, parts in all)."""
    parts = len(plan.timber) + (plan.sheets is not None)
    open_parts = sum(not one.crosscut.proven for one in plan.timber)
    open_parts += plan.sheets is not None and not plan.sheets.proven
    share = time_limit_s / max(1, open_parts)
    heard = count()

    def better(first: Crosscut) -> Crosscut:
        progress(next(heard), parts)
        return proven_plan(first, time_limit_s=share, cancelled=cancelled)

    trim = plan.timber[0].crosscut.order.end_trim if plan.timber else ZERO
    timber = timbers([one.demand for one in plan.timber], plan.stock, trim, better, plan.timber)
    if sum((one.crosscut.cost for one in timber), ZERO) > plan.cost:
        timber = plan.timber  # other sections left worse rests
    sheets = plan.sheets
    if sheets is not None:
        progress(len(timber), parts)
        sheets = proven_sheets(sheets, time_limit_s=share, cancelled=cancelled)
    progress(parts, parts)
    return replace(plan, timber=timber, sheets=sheets)


def with_parts_of(plan: Plan, other: Plan) -> Plan:
    """The plan with the cuts of another plan of the same orders: names and walls stay those of ``plan``."""
    timber = tuple(
        replace(mine, crosscut=theirs.crosscut, from_rests=theirs.from_rests)
        for mine, theirs in zip(plan.timber, other.timber, strict=True)
    )
    return replace(plan, timber=timber, sheets=other.sheets)


def _boards(
    set_outs: Sequence[SetOut], stock: Stock, panels: Panels
) -> tuple[SheetOrder, tuple[str, ...]] | None:
    named = [
        (f"wall {wall + 1} panel {panel.index + 1}" + (f" part {part + 1}" if panel.parts[1:] else ""), rect)
        for wall, set_out in enumerate(set_outs)
        for panel in set_out.panels
        for part, rect in enumerate(panel.parts or (panel.board,))
    ]
    if not named or panels.thickness_mm == 0:
        return None
    order = SheetOrder(
        boards=tuple((rect.width, rect.height) for _, rect in named),
        sheet=panels.sheet_mm,
        kerf=panels.saw_kerf_mm,
        may_turn=stock.boards_may_turn,
    )
    return order, tuple(name for name, _ in named)


def _sheet_problems(order: SheetOrder) -> list[Problem]:
    sheet = f"{rounded_mm(order.sheet[0])} x {rounded_mm(order.sheet[1])} mm"
    return [
        (
            "panels.sheet_mm",
            f"a board of {rounded_mm(w)} x {rounded_mm(h)} mm does not come out of a sheet of {sheet}; "
            "take a larger sheet or smaller panels (panels.max_width_mm)",
        )
        for w, h in order.sizes
        if not order.fits((w, h))
    ]
