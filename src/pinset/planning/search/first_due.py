"""Units that are sold go to the promise that is due first.

The search counts what is short in all. Units held back from one promise could stand beside it as
its spare units and be handed over with a later one, which costs it nothing. So what a plan has is
handed over once more, with nothing to be gained by waiting.
"""

from __future__ import annotations

from collections import defaultdict

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import Change, run

LEAST_SHORT = 1e-6  # units; less is a rounding error of the solver
HELD = 1e-6  # how far what is decided may move, so that rounding cannot make the pass impossible


def to_the_first_due(
    model: Model, values: NDArray[float64], *, time_limit_s: float, threads: int
) -> NDArray[float64]:
    """Return the values of a plan with sold units handed over as early as they are promised.

    What is started, moved, cooked and picked stays, and no more is carried into the cold; what is
    kept and handed over of units is decided anew. Where no units are short, or the time is over,
    the values are returned as they are.

    Parameters
    ----------
    model : Model
        The programme.
    values : ndarray, shape (columns,)
        Of its columns.
    time_limit_s : float
        Wall time. [s]
    threads : int
        Threads of the solver.
    """
    cost = _dearer_the_sooner(model, values)
    if not cost:
        return values
    lp = model.programme
    anew = [*cost, *model.kept.values(), *model.chill.values(), *model.wishes]
    lower = {n: max(lp.lower[n], float(value) - HELD) for n, value in enumerate(values)}
    upper = {n: min(lp.upper[n], float(value) + HELD) for n, value in enumerate(values)}
    lower |= {n: lp.lower[n] for n in anew}
    upper |= {n: lp.upper[n] for n in anew if n not in model.chill.values()}
    found = run(
        lp,
        time_limit_s=time_limit_s,
        threads=threads,
        change=Change(lower=lower, upper=upper, cost=cost, is_relaxed=True),
    )
    if found.values is None:
        return values
    handed_over = values.copy()
    handed_over[anew] = found.values[anew]
    return handed_over


def _dearer_the_sooner(model: Model, values: NDArray[float64]) -> dict[int, float]:
    """Return prices of what may be short of units that are sold: a step more for each later day.

    A unit held back is spare, at less than the price of a unit, beside every promise it passes.
    """
    sales: dict[tuple[int, str], list[tuple[int, int]]] = defaultdict(list)
    for (r, step, day, _), column in model.short.items():
        if step != "picked":
            sales[r, step].append((day, column))
    return {
        column: model.programme.cost[column] * (1.0 + later)
        for each in sales.values()
        if any(values[column] > LEAST_SHORT for _, column in each)
        for later, (_, column) in enumerate(sorted(each, reverse=True))
    }
