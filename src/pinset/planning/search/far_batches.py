"""Least batches of far weeks: the near days first, with those in fractions, then the far batches.

Sought together on a large farm, far batches cost the time that the near days need. So the near days
are planned as if far batches could be parts of one. Then they are held, and far batches are made
whole round them. Where that takes too long the far weeks stay in fractions: a poor plan of them
would be worse than a rough one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import perf_counter

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import Outcome, gap_between, run

FEW = 120  # whole columns up to which everything is sought together first
TOGETHER_TIME = 0.3  # of the time, for that
NEAR_TIME = 0.85  # of what is left, for the near days; far batches get what these leave
GOOD = 0.03  # far batches further from the best round the same near days are not taken

AGAIN_S = 0.5  # less time is left to no search

Search = Callable[[float], Outcome]
"""From a wall time to the best plan found of the programme as it stands."""


def far_batches(model: Model) -> list[int]:
    """Return the columns that count batches past the whole-number days."""
    return [column for key, column in model.s.items() if not model.is_whole(key[2])]


def with_far_batches(
    model: Model,
    far: list[int],
    together: Search,
    *,
    time_limit_s: float,
    gap: float,
    threads: int,
) -> Outcome:
    """Return a plan whose far batches are whole if that can be had in the time.

    Parameters
    ----------
    model : Model
        The programme.
    far : list of int
        From :func:`far_batches`.
    together : callable
        The search for all that is whole in the programme.
    time_limit_s : float
        Wall time. [s]
    gap : float
        Relative gap at which to stop, a fraction.
    threads : int
        Threads of the solver.

    Returns
    -------
    Outcome
        Its bound is that of the programme with far batches in fractions: no plan with whole ones
        can be cheaper, whatever its near days are. Its gap is to that bound. Where it is wider
        than wanted, what is left of the time goes to a search for everything together.
    """
    ends = perf_counter() + time_limit_s
    lp = model.programme
    if sum(lp.whole) <= FEW:
        found = together(TOGETHER_TIME * time_limit_s)
        if found.gap <= gap:
            return found
    whole, lower, upper = lp.whole, lp.lower, lp.upper
    try:
        lp.whole = list(whole)
        for column in far:
            lp.whole[column] = False
        near = together(NEAR_TIME * (ends - perf_counter()))
        if near.values is None:
            return near
        lp.lower, lp.upper = list(lower), list(upper)
        for column, is_near in enumerate(lp.whole):
            if is_near:
                lp.lower[column] = lp.upper[column] = float(round(float(near.values[column])))
        lp.whole = whole
        left = ends - perf_counter()
        found = run(lp, time_limit_s=left, gap=gap, threads=threads)
    finally:
        lp.whole, lp.lower, lp.upper = whole, lower, upper
    if found.values is None or found.gap > GOOD:
        return near
    seconds = near.seconds + found.seconds
    bound = near.bound
    best = replace(found, bound=bound, gap=gap_between(found.objective, bound), seconds=seconds)
    left = ends - perf_counter()
    if best.gap <= gap or left < AGAIN_S:
        return best
    start = dict(enumerate(float(each) for each in found.values))
    again = run(lp, time_limit_s=left, gap=gap, threads=threads, start=start)
    return _better(best, again)


def _better(best: Outcome, again: Outcome) -> Outcome:
    """Return the cheaper of two plans with the higher of their bounds."""
    bound = max(best.bound, again.bound)
    cheaper = again if again.values is not None and again.objective < best.objective else best
    gap = gap_between(cheaper.objective, bound)
    return replace(cheaper, bound=bound, gap=gap, seconds=best.seconds + again.seconds)
