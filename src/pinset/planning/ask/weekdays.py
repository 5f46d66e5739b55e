"""Which weekdays cost least: other days for one step after another, as long as there is time.

A plan without whole numbers is made of the farm as it is. Then, step by step from the last of each
route back, its starts (of the last step the moves into the grow room) are tried on other weekdays,
as many a week as before. A change that costs less is kept and the next is tried on top, until
a whole round brings nothing or time is up. So what is found is better than what is there, and need
not be the best there is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from pinset.chain.register import FarmBook, Step, StepKind, Weekday
from pinset.planning.ask.costs import Cost, cost_between
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.solve import solve

GAP = 1e-4
PLAN_LIMIT_S = 5.0
LEAST_SAVED = 0.001
"""Of what the plan costs; a change that saves less is left alone."""

STEADY = range(28, 56)
"""Days by which every step keeps its weekdays."""

MOST_TIMES = 2  # a week; a step that is started more often has no weekdays to choose
JUDGED_DAYS = 112
MOVED_KINDS = (StepKind.TRANSFER, StepKind.FRUIT)


@dataclass(frozen=True, slots=True)
class OtherDays:
    """Weekdays that one step of a route would better keep."""

    route: str
    step: str
    before: tuple[Weekday, ...]  # set by the farm, or kept by the plan
    after: tuple[Weekday, ...]


@dataclass(frozen=True, slots=True)
class Weekdays:
    """What other weekdays would bring."""

    changes: tuple[OtherDays, ...]
    saved: float  # share of what the plan costs, all in all
    short_before_g: float
    short_after_g: float
    work: Cost  # more than now; negative: less
    tried: int  # plans made
    is_whole: bool  # every other day was tried, with all that was found


def better_weekdays(
    book: FarmBook,
    build: Callable[[FarmBook], Problem],
    *,
    goes_on: Callable[[int], bool],
) -> Weekdays:
    """Return the weekdays that were found to cost less.

    Parameters
    ----------
    book : FarmBook
        The farm.
    build : callable
        Gives its planning problem; called again for every change tried.
    goes_on : callable
        Takes the number of plans made and says whether one more may be made.
    """
    problem = build(book)
    first = best = _in_fractions(problem)
    kept = {(s.route, s.step): s.before for s in _steps(book, problem)}
    now, tried = book, 1
    is_whole = False
    while not is_whole:
        is_whole = True
        for key, own in kept.items():
            current = _set(now, key) or own
            for days in _others(current, book):
                if not goes_on(tried):
                    return _found(book, problem, first, (now, best), kept, tried)
                other = _with(now, key, days)
                plan, tried = _in_fractions(build(other)), tried + 1
                if plan.objective < best.objective * (1.0 - LEAST_SAVED):
                    now, best, is_whole = other, plan, False
    return replace(_found(book, problem, first, (now, best), kept, tried), is_whole=True)


def with_weekdays(book: FarmBook, changes: Sequence[OtherDays]) -> FarmBook:
    """Return the book with steps on other weekdays."""
    for change in changes:
        book = _with(book, (change.route, change.step), change.after)
    return book


def _found(
    book: FarmBook,
    problem: Problem,
    first: Plan,
    last: tuple[FarmBook, Plan],
    kept: dict[tuple[str, str], tuple[Weekday, ...]],
    tried: int,
) -> Weekdays:
    now, best = last
    changes = tuple(
        OtherDays(key[0], key[1], own, days)
        for key, own in kept.items()
        if (days := _set(now, key)) != _set(book, key) and set(days) != set(own)
    )
    return Weekdays(
        changes,
        1.0 - best.objective / first.objective if first.objective > 0 else 0.0,
        _short_g(first),
        _short_g(best),
        cost_between(book, problem, first, best, JUDGED_DAYS),
        tried,
        is_whole=False,
    )


def _in_fractions(problem: Problem) -> Plan:
    near = replace(problem, whole_days=0)
    return solve(near, time_limit_s=PLAN_LIMIT_S, gap=GAP, explains=False)


def _short_g(plan: Plan) -> float:
    return sum(short.amount for short in plan.short if short.measure == "gram")


def _steps(book: FarmBook, problem: Problem) -> Iterator[OtherDays]:
    """Yield the steps that keep one or two weekdays, the last of each route first."""
    varieties = {recipe.variety: recipe for recipe in problem.recipes}
    done: set[str] = set()
    for variety in book.varieties:
        route = next((each for each in book.routes if each.code == variety.route), None)
        recipe = varieties.get(variety.code)
        if route is None or recipe is None or route.code in done:
            continue
        done.add(route.code)
        for step in reversed(route.steps):
            if step.kind not in MOVED_KINDS:
                continue
            making, fruiting = recipe.making(step.code), recipe.fruiting
            days = making.start_days if making is not None else ()
            if fruiting is not None and fruiting.step == step.code:
                days = fruiting.move_days
            on = tuple(sorted({(problem.start.weekday() + t) % 7 for t in days if t in STEADY}))
            if 0 < len(on) <= MOST_TIMES:
                weekdays = tuple(day for day in Weekday if day.number in on)
                yield OtherDays(route.code, step.code, weekdays, weekdays)


def _others(current: Sequence[Weekday], book: FarmBook) -> Iterator[tuple[Weekday, ...]]:
    """Yield other weekdays of the farm, as many; of two those that do not follow each other."""
    works = sorted(book.farm.working_days, key=lambda day: day.number)
    for days in combinations(works, len(current)):
        numbers = [day.number for day in days]
        is_spread = len(days) < MOST_TIMES or numbers[1] - numbers[0] > 1
        if is_spread and set(days) != set(current):
            yield days


def _set(book: FarmBook, key: tuple[str, str]) -> tuple[Weekday, ...]:
    route = next(each for each in book.routes if each.code == key[0])
    return route.step(key[1]).weekdays


def _with(book: FarmBook, key: tuple[str, str], days: tuple[Weekday, ...]) -> FarmBook:
    def changed(step: Step) -> Step:
        return replace(step, weekdays=days) if step.code == key[1] else step

    routes = tuple(
        replace(route, steps=tuple(map(changed, route.steps))) if route.code == key[0] else route
        for route in book.routes
    )
    return replace(book, routes=routes)
