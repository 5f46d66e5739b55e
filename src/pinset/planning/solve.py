"""A Problem in, a Plan out. Always a plan, never longer than asked, honest about how sure it is."""

from __future__ import annotations

from dataclasses import replace
from time import perf_counter

import numpy as np

from pinset.errors import InputError
from pinset.planning.model.columns import Model
from pinset.planning.model.limits_pins import harden_pins, hold_what_is_kept, start_with_pins
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import INFINITY, THREADS, Change, Outcome, run
from pinset.planning.model.steady import charge_changes, start_values
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.lapses import lapses_of
from pinset.planning.reading.pin_words import pins_kept
from pinset.planning.reading.pins_broken import Broken, ask_what_can_be, broken_pins
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.reading.schedule import (
    cooks_of,
    kept_cold,
    limits_of,
    moves_of,
    picks_of,
    starts_of,
    weeks_of,
)
from pinset.planning.reading.shortage import shortfall
from pinset.planning.reading.shortage_words import shorts_of
from pinset.planning.reading.shortfall import Shortfall
from pinset.planning.reading.trace import trace
from pinset.planning.search.far_batches import far_batches
from pinset.planning.search.first_due import to_the_first_due
from pinset.planning.search.search import search

PASSES_SHARE = 0.15  # of the time, kept for the passes that say why something is short
PINS_SHARE = 0.2  # of the time, at most, for what can be kept of pins, and what stands in their way
AGAIN_SHARE = 0.4  # of the rest, kept for searching again round pins that whole numbers break
SPARE_SHARE = 0.15  # the same where nothing speaks against the pins yet
MOMENT_S = 0.2
WHY_BROKEN = 0.3  # of that, for what stands in their way
LONGEST_SECONDS = 3600.0


def solve(
    problem: Problem,
    *,
    time_limit_s: float = 20.0,
    gap: float = 0.005,
    previous: Plan | None = None,
    threads: int = THREADS,
    freeze_days: int = 0,
    change_cost: float = 0.0,
    explains: bool = True,
) -> Plan:
    """Return the plan of a problem.

    Parameters
    ----------
    problem : Problem
        From :func:`pinset.planning.building.from_book.build_problem`.
    time_limit_s : float
        Wall time for everything, the passes that explain shortages included. [s]
    gap : float
        Proven relative distance from the best possible plan at which to stop; 0.005 is 0.5 %.
    previous : Plan, optional
        Yesterday's plan; its near whole numbers start the search.
    threads : int
        Threads of the solver.
    freeze_days, change_cost : int, float
        Days in which the previous plan is kept, and the price of a changed unit after that, as a
        share of what a unit costs to make.
    explains : bool
        Whether it is looked for why something is short; without, its reasons say nothing.

    Returns
    -------
    Plan
        Status "proven" (within the gap), "time limit" or "nothing to plan". Where no whole-number
        plan was found in the time, the near days are left without new starts.

    Raises
    ------
    InputError
        If the time limit, the gap or a price is out of range.
    """
    begun = perf_counter()
    _check(time_limit_s, gap, freeze_days, change_cost)
    model = build_model(problem)
    if not model.x and not model.v and not model.short:
        empty = _plan(
            model, _nothing(model), begun, time_limit_s, threads, "nothing to plan", explains=False
        )
        return replace(empty, pins=pins_kept(model, np.zeros(len(model.programme.cost)), {}))
    start = None
    if previous is not None:
        start = start_values(model, previous)
        if freeze_days > 0 or change_cost > 0:
            charge_changes(model, previous, freeze_days=freeze_days, change_cost=change_cost)
    left = (1.0 - PASSES_SHARE) * time_limit_s - (perf_counter() - begun)
    broken: dict[int, Broken] = {}
    if model.pins:
        outcome, broken = _search_with_pins(model, left, gap, threads, start)
    else:
        outcome = search(model, time_limit_s=left, gap=gap, threads=threads, start=start)
    if outcome.values is None:
        outcome = _without_starts(model, outcome, time_limit_s, threads)
    if outcome.values is not None:
        left = max(MOMENT_S, time_limit_s - (perf_counter() - begun)) / 2.0
        due = to_the_first_due(model, outcome.values, time_limit_s=left, threads=threads)
        outcome = replace(outcome, values=due)
    status = "proven" if outcome.gap <= gap + 1e-9 else "time limit"
    plan = _plan(model, outcome, begun, time_limit_s, threads, status, explains=explains)
    values = outcome.values if outcome.values is not None else _nothing(model).values
    if values is None:
        return plan
    return replace(plan, pins=pins_kept(model, values, broken, plan.cooks))


def _search_with_pins(
    model: Model, time_limit_s: float, gap: float, threads: int, start: dict[int, float] | None
) -> tuple[Outcome, dict[int, Broken]]:
    """Return a plan that keeps to the pins as far as can be, and those that are broken.

    What cannot be kept in fractions is asked less of, at a price. The rest must hold; only if whole
    numbers forbid that, it may be broken at its price, too. Then the farm is planned round what is
    left of the pins.
    """
    ends = perf_counter() + time_limit_s
    broken = ask_what_can_be(model, time_limit_s=PINS_SHARE * time_limit_s, threads=threads)
    start = None if start is None else start_with_pins(model, start)
    outcome = Outcome(None, INFINITY, -INFINITY, INFINITY, is_proven=False, seconds=0.0)
    for soft in (frozenset(broken), frozenset(row.number for row in model.pins)):
        harden_pins(model, but=soft)
        kept_back = AGAIN_SHARE if soft else SPARE_SHARE
        left = (1.0 - kept_back) * max(MOMENT_S, ends - perf_counter())
        outcome = search(model, time_limit_s=left, gap=gap, threads=threads, start=start)
        if outcome.values is not None:
            break
    left = max(MOMENT_S, ends - perf_counter())
    return _round_broken_pins(model, outcome, broken, left, gap, threads), broken


def _round_broken_pins(
    model: Model,
    outcome: Outcome,
    broken: dict[int, Broken],
    left: float,
    gap: float,
    threads: int,
) -> Outcome:
    """Return a plan round the pins that whole numbers break, and add those to the broken ones."""
    if outcome.values is None:
        return outcome
    more = broken_pins(model, outcome.values, time_limit_s=WHY_BROKEN * left, threads=threads)
    if not more:
        return outcome
    for number, each in more.items():
        known = broken.get(number)
        broken[number] = replace(known, planned=each.planned) if known is not None else each
    hold_what_is_kept(model, outcome.values)
    start = dict(enumerate(outcome.values.tolist()))
    left *= 1.0 - WHY_BROKEN
    again = search(model, time_limit_s=left, gap=gap, threads=threads, start=start)
    return again if again.values is not None else outcome


def _check(time_limit_s: float, gap: float, freeze_days: int, change_cost: float) -> None:
    if not 0.0 < time_limit_s <= LONGEST_SECONDS:
        raise InputError("time_limit_s", time_limit_s, f"above 0 to {LONGEST_SECONDS:.0f} s")
    if not 0.0 <= gap < 1.0:
        raise InputError("gap", gap, "a fraction from 0 to below 1")
    if freeze_days < 0:
        raise InputError("freeze_days", freeze_days, "0 or more days")
    if change_cost < 0.0:
        raise InputError("change_cost", change_cost, "0 or more")


def _nothing(model: Model) -> Outcome:
    return Outcome(np.zeros(len(model.programme.cost)), 0.0, 0.0, 0.0, is_proven=True, seconds=0.0)


def _without_starts(model: Model, outcome: Outcome, time_limit_s: float, threads: int) -> Outcome:
    """Return a plan in which the near days start and move nothing: it always exists."""
    far = set(far_batches(model))
    closed = {
        column: model.programme.lower[column]
        for column, whole in enumerate(model.programme.whole)
        if whole and column not in far
    }
    found = run(
        model.programme,
        time_limit_s=max(1.0, time_limit_s / 4),
        threads=threads,
        change=Change(upper=closed, is_relaxed=True),
    )
    if found.values is None:  # not even that in the time: nothing at all is started
        values = np.array(model.programme.lower)
        for column in model.short.values():
            values[column] = model.programme.upper[column]
        found = replace(found, values=values, objective=INFINITY)
    bound = outcome.bound
    share = (found.objective - bound) / found.objective if found.objective < INFINITY else 1.0
    return replace(found, bound=bound, gap=min(1.0, max(0.0, share)), is_proven=False)


def _plan(
    model: Model,
    outcome: Outcome,
    begun: float,
    time_limit_s: float,
    threads: int,
    status: str,
    *,
    explains: bool,
) -> Plan:
    problem = model.problem
    values = outcome.values if outcome.values is not None else np.zeros(len(model.programme.cost))
    found = trace(model, values)
    left = max(0.5, time_limit_s - (perf_counter() - begun))
    climates = RoomClimates(problem, found.moves)
    lacking = Shortfall(untold=found.short)
    if explains:
        lacking = shortfall(
            model, found.short, climates=climates, time_limit_s=left, threads=threads
        )
    starts = starts_of(model, found)
    moves = moves_of(model, found)
    return Plan(
        start=problem.start,
        days=problem.days,
        whole_days=problem.whole_days,
        starts=tuple(starts),
        moves=tuple(moves),
        cooks=tuple(cooks_of(model, found)),
        picks=tuple(picks_of(model, found)),
        short=tuple(shorts_of(model, found.short, lacking)),
        at_limit=tuple(limits_of(model, values)),
        weeks=tuple(weeks_of(starts, moves)),
        gap=outcome.gap,
        seconds=perf_counter() - begun,
        objective=outcome.objective,
        bound=outcome.bound,
        status=status,
        climates=climates.kept(),
        lapses=lapses_of(model, found, climates),
        kept_cold=tuple(kept_cold(model, found)),
    )
