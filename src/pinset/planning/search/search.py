"""The search for a plan: a first plan by parts, then the whole until the gap is proven.

Relax and fix: the nearest days are solved in whole numbers with the rest in fractions, then held
while the remaining whole days are solved. The first part is a relaxation of the whole, so its bound
is a bound of the whole; often the second part is already proven good enough by it. Of a very large
programme the far days are thinned first (:mod:`~pinset.planning.search.far_days`). Least batches of
far weeks are made whole round the near days (:mod:`~pinset.planning.search.far_batches`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from time import perf_counter

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import INFINITY, Outcome, gap_between, run
from pinset.planning.search.far_batches import far_batches, with_far_batches
from pinset.planning.search.far_days import with_thinned_far_days

FIRST_PART = 0.45  # of the whole-number days
MANY = 60  # whole columns from which on a first plan by parts pays
VERY_LARGE = 9000  # columns from which on fractions alone take seconds
THINNED_TIME = 0.75  # of the time, for a plan with thinned far days
PART_GAP = 0.5  # of the gap asked for, to which each part is solved
FIRST_TIME = 0.5  # of the time, for the first part
SECOND_TIME = 0.7  # of what the first part left
POOR = 4.0  # times the gap: a first part no better than this is not worth holding to
WITH_START = 0.4  # of the time, for the whole with yesterday's plan as a start


def search(
    model: Model,
    *,
    time_limit_s: float,
    gap: float,
    threads: int,
    start: Mapping[int, float] | None = None,
) -> Outcome:
    """Return the best plan found in the time, with the best bound.

    Parameters
    ----------
    model : Model
        The programme.
    time_limit_s : float
        Wall time. [s]
    gap : float
        Relative gap at which to stop, a fraction.
    threads : int
        Threads of the solver.
    start : mapping, optional
        Values of whole columns to start from.
    """

    def together(limit: float) -> Outcome:
        return _together(model, time_limit_s=limit, gap=gap, threads=threads, start=start)

    far = far_batches(model)
    if not far:
        return together(time_limit_s)
    return with_far_batches(
        model, far, together, time_limit_s=time_limit_s, gap=gap, threads=threads
    )


def _together(
    model: Model,
    *,
    time_limit_s: float,
    gap: float,
    threads: int,
    start: Mapping[int, float] | None,
) -> Outcome:
    """Return the best plan found of the programme as it stands."""
    ends = perf_counter() + time_limit_s
    lp = model.programme
    is_large = sum(lp.whole) > MANY and gap > 0.0
    best = Outcome(None, INFINITY, -INFINITY, INFINITY, is_proven=False, seconds=0.0)
    if is_large and len(lp.cost) > VERY_LARGE:
        limit = THINNED_TIME * time_limit_s
        best = with_thinned_far_days(
            model, time_limit_s=limit, gap=PART_GAP * gap, threads=threads, start=start
        )
        is_large = best.values is None
        if best.gap <= gap:
            return best
    elif start:
        share = WITH_START if is_large else 1.0
        found = run(lp, time_limit_s=share * time_limit_s, gap=gap, threads=threads, start=start)
        best = better(best, found)
        if best.gap <= gap or not is_large:
            return best
    if is_large:
        left = ends - perf_counter()
        for found in _by_parts(model, time_limit_s=left, gap=gap, threads=threads):
            best = better(best, found)
        if best.gap <= gap:
            return best
    left = ends - perf_counter()
    begin = None if best.values is None else dict(enumerate(best.values.tolist()))
    found = run(lp, time_limit_s=left, gap=gap, threads=threads, start=begin)
    return better(best, found)


def better(one: Outcome, other: Outcome) -> Outcome:
    """Return the better plan of two searches of one programme, with the better bound."""
    bound = max(one.bound, other.bound)
    plan = other if other.objective < one.objective else one
    if plan.values is None:
        return replace(plan, bound=bound)
    return replace(
        plan,
        bound=bound,
        gap=gap_between(plan.objective, bound),
        seconds=one.seconds + other.seconds,
    )


def _by_parts(model: Model, *, time_limit_s: float, gap: float, threads: int) -> list[Outcome]:
    """Return the bound of the first part, and the plan of the second."""
    lp = model.programme
    days = _whole_columns(model)
    cut = max(1, round(FIRST_PART * model.problem.whole_days))
    whole, lower, upper = lp.whole, lp.lower, lp.upper
    ends = perf_counter() + time_limit_s
    try:
        lp.whole = [each and days.get(column, 0) < cut for column, each in enumerate(whole)]
        limit = FIRST_TIME * time_limit_s
        first = run(lp, time_limit_s=limit, gap=PART_GAP * gap, threads=threads)
        bound_only = replace(first, values=None, objective=INFINITY, gap=INFINITY)
        if first.values is None or first.gap > POOR * gap:
            return [bound_only]
        lp.whole, lp.lower, lp.upper = whole, list(lower), list(upper)
        for column, day in days.items():
            if day < cut:
                value = float(round(float(first.values[column])))
                lp.lower[column] = lp.upper[column] = value
        limit = SECOND_TIME * (ends - perf_counter())
        second = run(lp, time_limit_s=limit, gap=PART_GAP * gap, threads=threads)
    finally:
        lp.whole, lp.lower, lp.upper = whole, lower, upper
    return [bound_only, replace(second, bound=-INFINITY)]


def _whole_columns(model: Model) -> dict[int, int]:
    """Return the day of each whole column."""
    days = {
        column: key[-1]
        for group in (model.x, model.s, model.p, model.v, model.n)
        for key, column in group.items()
    }
    days |= {column: key[2] for key, column in model.climate.items()}
    whole = model.programme.whole
    return {column: day for column, day in days.items() if whole[column]}
