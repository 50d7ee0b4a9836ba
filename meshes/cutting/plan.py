"""The cutting plan of a job: sections to buy, ripping, crosscutting, boards from sheets, what is left.

``first_cutting`` answers within milliseconds; ``proven_cutting`` improves it in the background and proves it.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from meshes.cutting.balance import Balance, balance_of
from meshes.cutting.crosscut import Crosscut, Order, first_plan
from meshes.cutting.demand import Demand, Small, demands, smalls
from meshes.cutting.proof import proven_plan
from meshes.cutting.reuse import Bar, Reuse, remainders, reuse
from meshes.cutting.rip import Rip, refusal, rips, yield_at_lower_limit
from meshes.cutting.sheet_proof import proven_sheets
from meshes.cutting.sheets import SheetOrder, SheetPlan
from meshes.cutting.shelves import first_sheets
from meshes.cutting.stock import Stock
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber:
    """All slats of one width and depth: what is wanted, how a section is ripped, how strips are cut."""

    demand: Demand
    rip: Rip
    crosscut: Crosscut
    ready_made: Crosscut
    """The same pieces and spares from strips bought ready-made in the same lengths."""


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
    def proven(self) -> bool:
        return all(one.crosscut.proven for one in self.timber) and (self.sheets is None or self.sheets.proven)

    @cached_property
    def reuse(self) -> Reuse:
        """What becomes of all remainders; trims and spacers are cut from them where they fit."""
        bars: Counter[Bar] = Counter()
        for one in self.timber:
            bars.update(remainders(one.rip, one.crosscut))
        return reuse(bars, self.wanted_smalls, self.stock)

    @cached_property
    def balance(self) -> Balance:
        return balance_of(self)


def first_cutting(set_outs: Sequence[SetOut], *, stock: Stock, panels: Panels) -> Plan:
    """The plan at once, each part with its bound.

    Raises CuttingError with every reason at once: section too small, lengths too short, sheet too small.
    """
    wanted = demands(set_outs, stock)
    problems, warnings = _judged(wanted, stock)
    boards = _boards(set_outs, stock, panels)
    if boards is not None:
        problems += _sheet_problems(boards[0])
    if problems:
        raise CuttingError(problems)
    trim = _end_trim(wanted, stock)
    if trim < stock.end_trim_mm:
        warnings.append(
            f"the longest slat leaves only {rounded_mm(trim)} mm to trim at each end of the longest length, "
            f"not {rounded_mm(stock.end_trim_mm)} mm: look out for snipe, or buy longer"
        )
    return Plan(
        stock=stock,
        panels=panels,
        timber=tuple(_timber(demand, stock, trim) for demand in wanted),
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
    timber = []
    for done, one in enumerate(plan.timber):
        progress(done, parts)
        better = proven_plan(one.crosscut, time_limit_s=share, cancelled=cancelled)
        timber.append(replace(one, crosscut=better))
    sheets = plan.sheets
    if sheets is not None:
        progress(len(timber), parts)
        sheets = proven_sheets(sheets, time_limit_s=share, cancelled=cancelled)
    progress(parts, parts)
    return replace(plan, timber=tuple(timber), sheets=sheets)


def with_parts_of(plan: Plan, other: Plan) -> Plan:
    """The plan with the cuts of another plan of the same orders: names and walls stay those of ``plan``."""
    timber = tuple(
        replace(mine, crosscut=theirs.crosscut)
        for mine, theirs in zip(plan.timber, other.timber, strict=True)
    )
    return replace(plan, timber=timber, sheets=other.sheets)


def _judged(wanted: Sequence[Demand], stock: Stock) -> tuple[list[Problem], list[str]]:
    problems: list[Problem] = []
    warnings: list[str] = []
    longest_on_sale = max(stock.lengths_mm)
    for demand in wanted:
        best, _ = rips(width=demand.width, depth=demand.depth, stock=stock)
        if best.count == 0:
            reason = refusal(width=demand.width, depth=demand.depth, stock=stock)
            problems.append(("stock.section_mm", reason))
        else:
            warnings += _rip_warnings(best, demand, stock)
        if demand.longest > longest_on_sale:
            reason = (
                f"a slat of {rounded_mm(demand.longest)} mm is longer than the longest length on sale, "
                f"{rounded_mm(longest_on_sale)} mm; add a longer length or allow joints (slats.longest_mm)"
            )
            problems.append(("stock.lengths_mm", reason))
    return problems, warnings


def _rip_warnings(best: Rip, demand: Demand, stock: Stock) -> list[str]:
    warnings = []
    if best.front_rounding:
        warnings.append(
            f"one slat fills the section: {rounded_mm(best.front_rounding)} mm of its rounded arrises "
            "stay in sight"
        )
    at_least = yield_at_lower_limit(best, width=demand.width, depth=demand.depth, stock=stock)
    if stock.planing_mm and at_least < best.count:
        warnings.append(
            f"a section that measures the least that EN 336 allows gives {at_least} slats, not {best.count}: "
            "measure before buying"
        )
    return warnings


def _end_trim(wanted: Sequence[Demand], stock: Stock) -> Fraction:
    """The end trim asked for, or what the longest slat leaves of the longest length when that is less."""
    longest = max((demand.longest for demand in wanted), default=ZERO)
    return min(stock.end_trim_mm, (max(stock.lengths_mm) - longest) / 2)


def _timber(demand: Demand, stock: Stock, trim: Fraction) -> Timber:
    best, _ = rips(width=demand.width, depth=demand.depth, stock=stock)
    on_sale = {length: length for length in stock.lengths_mm}
    order = Order(
        pieces=demand.to_cut,
        stock=on_sale,
        kerf=stock.kerf_mm,
        end_trim=trim,
        strips_per_section=best.count,
    )
    strips = Counter(piece.length for piece in demand.pieces)
    strips[demand.longest] += demand.spares
    ready_made = Order(pieces=strips, stock=on_sale, kerf=stock.kerf_mm, end_trim=ZERO)
    return Timber(demand=demand, rip=best, crosscut=first_plan(order), ready_made=first_plan(ready_made))


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
