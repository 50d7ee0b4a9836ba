"""The one door to the solver (HiGHS): linear and integer programs with a proven bound.

Plain data in, plain data out; no name of the solver leaves this file. One thread and a fixed seed, so that
the same program gives the same answer unless the time limit cuts it short.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A variable: its cost, its upper bound, and its coefficients as (row, value) pairs. Lower bound 0."""

    cost: float
    upper: float
    entries: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A constraint ``lower <= sum <= upper``."""

    lower: float
    upper: float = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """``values`` is None when nothing feasible was found in time; ``bound`` never exceeds the optimum."""

    values: tuple[float, ...] | None
    objective: float
    bound: float
    optimal: bool
    duals: tuple[float, ...] = ()


class _Quiet(highspy.Highs):  # type: ignore[misc]  # the solver's classes carry no types
    """HiGHS greets on standard output when its callbacks are set up; that stream belongs to our JSON."""

    def enableCallbacks(self) -> None:  # noqa: N802  # the solver's own spelling
        self.silent()
        super().enableCallbacks()


def minimise(
    columns: Sequence[Column],
    rows: Sequence[Row],
    *,
    whole: bool,
    time_limit_s: float,
    start: Sequence[float] | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Answer:
    """Minimise the cost. ``whole``: all variables are whole numbers. ``start``: a known feasible answer.

    ``cancelled`` is asked while solving; the best answer so far comes back with the bound proven by then.
    """
    highs = _Quiet()
    for option, value in (
        ("threads", 1),
        ("random_seed", 0),
        ("time_limit", float(time_limit_s)),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 1e-6),
    ):
        highs.setOptionValue(option, value)

    def stop(event: Any) -> None:
        if cancelled():
            event.interrupt()

    if whole:
        highs.cbMipInterrupt += stop
    else:
        highs.cbSimplexInterrupt += stop
    highs.passModel(_model(columns, rows, whole))
    if start is not None:
        known = highspy.HighsSolution()
        known.col_value = list(start)
        highs.setSolution(known)
    highs.run()
    return _answer(highs, whole)


def _model(columns: Sequence[Column], rows: Sequence[Row], whole: bool) -> Any:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns), len(rows)
    lp.col_cost_ = _array(column.cost for column in columns)
    lp.col_lower_ = np.zeros(len(columns))
    lp.col_upper_ = _array(column.upper for column in columns)
    lp.row_lower_ = _array(row.lower for row in rows)
    lp.row_upper_ = _array(row.upper for row in rows)
    starts = np.zeros(len(columns) + 1, dtype=np.int32)
    starts[1:] = np.cumsum([len(column.entries) for column in columns])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = starts
    lp.a_matrix_.index_ = np.array([row for column in columns for row, _ in column.entries], dtype=np.int32)
    lp.a_matrix_.value_ = _array(value for column in columns for _, value in column.entries)
    if whole:
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    return lp


def _array(values: Any) -> NDArray[np.float64]:
    return np.array(list(values), dtype=np.float64)


def _answer(highs: Any, whole: bool) -> Answer:
    info, solution = highs.getInfo(), highs.getSolution()
    optimal = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    feasible = info.primal_solution_status == 2  # HiGHS: kSolutionStatusFeasible
    relaxed = info.objective_function_value if optimal else float("-inf")
    return Answer(
        values=tuple(solution.col_value) if feasible else None,
        objective=info.objective_function_value if feasible else float("inf"),
        bound=info.mip_dual_bound if whole else relaxed,
        optimal=optimal and feasible,
        duals=tuple(solution.row_dual) if optimal and not whole else (),
    )
