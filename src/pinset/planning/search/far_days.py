"""A large farm planned with its far days thinned: what fractions leave out there stays out.

Solved in fractions, the programme gives a bound. Few of the starts, moves and stocks far ahead are
more than nothing in it. The others are left out, so that the whole numbers of the near days are
sought in a much smaller programme; every plan of that is a plan of the whole. In the manner of
relaxation enforced neighbourhoods (T. Berthold: RENS, the optimal rounding. Math. Programming
Computation 6, 2014; memory), on the far columns only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from time import perf_counter

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import ZERO, Change, Outcome, gap_between, run

FAR_AFTER = 7  # days past the whole-number days


def with_thinned_far_days(
    model: Model,
    *,
    time_limit_s: float,
    gap: float,
    threads: int,
    start: Mapping[int, float] | None = None,
) -> Outcome:
    """Return a plan of the thinned programme, with a bound of the whole one.

    Parameters
    ----------
    model : Model
        The programme.
    time_limit_s : float
        Wall time. [s]
    gap : float
        Relative gap of the thinned programme at which to stop, a fraction.
    threads : int
        Threads of the solver.
    start : mapping, optional
        Values of whole columns to start from.

    Returns
    -------
    Outcome
        Without values if the time was too short; its gap is that to the bound of the whole.
    """
    ends = perf_counter() + time_limit_s
    lp = model.programme
    relaxed = run(lp, time_limit_s=time_limit_s, threads=threads, change=Change(is_relaxed=True))
    if relaxed.values is None:
        return relaxed
    if not relaxed.is_proven:  # fractions are no plan, and no bound either
        return replace(relaxed, values=None)
    idle = {
        column: 0.0
        for column, day in _days_of_columns(model).items()
        if day >= model.problem.whole_days + FAR_AFTER
        and not lp.whole[column]
        and lp.lower[column] <= 0.0
        and abs(float(relaxed.values[column])) <= ZERO
    }
    found = run(
        lp,
        time_limit_s=ends - perf_counter(),
        gap=gap,
        threads=threads,
        start=start,
        change=Change(upper=idle),
    )
    bound = relaxed.objective
    seconds = relaxed.seconds + found.seconds
    if found.values is None:
        return replace(found, bound=bound, seconds=seconds)
    return replace(
        found,
        bound=bound,
        gap=gap_between(found.objective, bound),
        is_proven=False,
        seconds=seconds,
    )


def _days_of_columns(model: Model) -> dict[int, int]:
    """Return the day of each column that has one."""
    groups = (model.x, model.p, model.kept, model.v, model.n, model.fresh)
    days = {column: key[-1] for group in groups for key, column in group.items()}
    return days | {column: key[-1] for key, column in model.climate.items()}
