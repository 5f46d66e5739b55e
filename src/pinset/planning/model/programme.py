"""A linear or mixed-integer programme as growing lists, and its hand-over to HiGHS."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from time import perf_counter

import highspy
import numpy as np
from highspy._core import _Highs
from numpy.typing import NDArray

INFINITY = highspy.kHighsInf
THREADS = 2
HEURISTIC_EFFORT = 0.2  # share of the search spent on finding plans; the solver's own is 0.05
ZERO = 1e-9
Term = tuple[int, float]


@dataclass(slots=True)
class Programme:
    """Columns and rows, added one by one; minimised."""

    cost: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)

    def column(
        self,
        cost: float = 0.0,
        *,
        lower: float = 0.0,
        upper: float = INFINITY,
        whole: bool = False,
    ) -> int:
        """Add a column and return its number."""
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, terms: Iterable[Term], lower: float, upper: float) -> int:
        """Add a row and return its number; repeated columns are summed."""
        summed: dict[int, float] = {}
        for column, value in terms:
            summed[column] = summed.get(column, 0.0) + value
        for column, value in summed.items():
            if value != 0.0:
                self.index.append(column)
                self.value.append(value)
        self.starts.append(len(self.index))
        self.row_lower.append(lower)
        self.row_upper.append(upper)
        return len(self.row_lower) - 1

    def at_most(self, terms: Iterable[Term], upper: float) -> int:
        """Add a row bounded above."""
        return self.row(terms, -INFINITY, upper)

    def at_least(self, terms: Iterable[Term], lower: float) -> int:
        """Add a row bounded below."""
        return self.row(terms, lower, INFINITY)

    @property
    def size(self) -> tuple[int, int, int, int]:
        """Return columns, rows, non-zeros and whole columns."""
        return len(self.cost), len(self.row_lower), len(self.index), sum(self.whole)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the solver found."""

    values: NDArray[np.float64] | None  # None: nothing found in the time
    objective: float
    bound: float
    gap: float
    is_proven: bool
    seconds: float


@dataclass(frozen=True, slots=True)
class Change:
    """How a pass differs from the programme: bounds, costs, slack on rows, whole or not."""

    row_upper: Mapping[int, float] = field(default_factory=dict)
    lower: Mapping[int, float] = field(default_factory=dict)
    upper: Mapping[int, float] = field(default_factory=dict)
    cost: Mapping[int, float] = field(default_factory=dict)
    slack: Mapping[int, float] = field(default_factory=dict)  # row -> price per unit
    is_relaxed: bool = False


def run(
    programme: Programme,
    *,
    time_limit_s: float,
    gap: float = 0.0,
    threads: int = THREADS,
    start: Mapping[int, float] | None = None,
    change: Change | None = None,
) -> Outcome:
    """Solve a programme, or a changed copy of it, and return what was found.

    Slack columns of ``change.slack`` follow the programme's own columns, in the order given.
    """
    begun = perf_counter()
    change = change or Change()
    highs = _silent()
    highs.setOptionValue("time_limit", max(0.05, time_limit_s))
    highs.setOptionValue("mip_rel_gap", gap)
    highs.setOptionValue("mip_abs_gap", 1e-7)
    highs.setOptionValue("mip_heuristic_effort", HEURISTIC_EFFORT)
    highs.setOptionValue("threads", threads)
    highs.setOptionValue("random_seed", 7)
    is_whole = any(programme.whole) and not change.is_relaxed
    status = highs.passModel(_lp(programme, change, is_whole=is_whole))
    if status == highspy.HighsStatus.kError:
        message = "the planning programme was refused by the solver"
        raise RuntimeError(message)
    if start and is_whole:
        columns = np.fromiter(start.keys(), dtype=np.int32, count=len(start))
        values = np.fromiter(start.values(), dtype=np.float64, count=len(start))
        highs.setSolution(len(start), columns, values)
    highs.run()
    info = highs.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    optimal = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    values_found = np.array(highs.getSolution().col_value) if found else None
    objective = float(info.objective_function_value) if found else INFINITY
    bound = float(info.mip_dual_bound) if is_whole else (objective if optimal else -INFINITY)
    share = gap_between(objective, bound) if found else INFINITY
    return Outcome(
        values=values_found,
        objective=objective,
        bound=bound,
        gap=share,
        is_proven=bool(optimal and found),
        seconds=perf_counter() - begun,
    )


class Again:
    """A relaxed programme solved again and again with a few changes, each from the last solution.

    Slack columns follow the programme's own as in :func:`run`.
    """

    def __init__(self, programme: Programme, change: Change, *, threads: int = THREADS) -> None:
        """Take a programme as it is changed."""
        self._highs = _silent()
        self._highs.setOptionValue("threads", threads)
        self._highs.setOptionValue("solver", "simplex")
        lp = _lp(programme, change, is_whole=False)
        self._cost, self._lower, self._upper = (
            np.array(row) for row in (lp.col_cost_, lp.col_lower_, lp.col_upper_)
        )
        self._highs.passModel(lp)

    def solved(
        self,
        cost: Mapping[int, float],
        *,
        time_limit_s: float,
        fixed: Mapping[int, float] | None = None,
    ) -> NDArray[np.float64] | None:
        """Return the best values with some costs changed, and columns fixed, for this once.

        None: there are none, or they were not found in the time.
        """
        costs, lower, upper = self._cost.copy(), self._lower.copy(), self._upper.copy()
        for place, value in cost.items():
            costs[place] = value
        for place, value in (fixed or {}).items():
            lower[place] = upper[place] = value
        highs, every = self._highs, np.arange(len(costs), dtype=np.int32)
        highs.changeColsCost(len(costs), every, costs)
        highs.changeColsBounds(len(costs), every, lower, upper)
        highs.setOptionValue("time_limit", highs.getRunTime() + max(0.05, time_limit_s))
        highs.run()
        if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return np.array(highs.getSolution().col_value)


def _silent() -> _Highs:
    """Return a solver that prints nothing; the wrapping class prints a banner when made."""
    highs = _Highs()
    highs.setOptionValue("output_flag", False)
    return highs


def gap_between(objective: float, bound: float) -> float:
    """Return how far a plan may be from the best one, as a fraction of its own cost."""
    if abs(objective) < ZERO:
        return 0.0 if abs(bound) < ZERO else INFINITY
    return max(0.0, (objective - bound) / abs(objective))


def _lp(programme: Programme, change: Change, *, is_whole: bool) -> highspy.HighsLp:
    columns, rows, _, _ = programme.size
    cost = np.array(programme.cost + [0.0] * len(change.slack))
    lower = np.array(programme.lower + [0.0] * len(change.slack))
    upper = np.array(programme.upper + [INFINITY] * len(change.slack))
    row_lower = np.array(programme.row_lower)
    row_upper = np.array(programme.row_upper)
    for array, changes in (
        (cost, change.cost),
        (lower, change.lower),
        (upper, change.upper),
        (row_upper, change.row_upper),
    ):
        for place, value in changes.items():
            array[place] = value
    lp = highspy.HighsLp()
    lp.num_col_ = columns + len(change.slack)
    lp.num_row_ = rows
    starts = np.array(programme.starts, dtype=np.int32)
    index = np.array(programme.index, dtype=np.int32)
    values = np.array(programme.value)
    if change.slack:
        at = np.array([programme.starts[row + 1] for row in change.slack])
        order = np.argsort(at, kind="stable")
        added = np.array([columns + number for number in range(len(change.slack))], dtype=np.int32)
        index = np.insert(index, at[order], added[order])
        values = np.insert(values, at[order], np.full(len(at), -1.0))
        extra = np.zeros(rows + 1, dtype=np.int32)
        for row in change.slack:
            extra[row + 1] += 1
        starts = (starts + np.cumsum(extra)).astype(np.int32)
        cost[columns:] = np.array(list(change.slack.values()))
    lp.col_cost_ = cost
    lp.col_lower_ = lower
    lp.col_upper_ = upper
    lp.row_lower_ = row_lower
    lp.row_upper_ = row_upper
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = starts
    lp.a_matrix_.index_ = index
    lp.a_matrix_.value_ = values
    if is_whole:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[each] for each in programme.whole] + [kinds[0]] * len(change.slack)
    return lp
