"""What would make a promise possible: each change tried by planning and carrying out anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from pinset.chain.day_hours import hours_count
from pinset.chain.register import FarmBook, Weekday
from pinset.planning.ask.trials import Trials, steady
from pinset.planning.building.everybody import usual_hours
from pinset.planning.building.step_numbers import groups
from pinset.planning.problem import Problem, Stock
from pinset.planning.search.any_day import on_any_day

MORE_PLACES = 1.25
BOUGHT_DAYS = 7  # until bought spawn is there; common practice, no source
LEAST_GAIN = 0.05
PLENTY = 1e4


class Change(StrEnum):
    """A change of the farm that may make a promise possible."""

    PLACES = "a quarter more places in its grow rooms"
    COOK = "one more cook a day"
    DAY = "another working day"
    BOUGHT = "spawn bought for it"
    OPEN = "starts and moves on any day of the week"


@dataclass(frozen=True, slots=True)
class Help:
    """A change, and how sure the promise is with it once it has settled."""

    change: Change
    what: str  # the day, or the step bought; empty: the change says it
    chance: float  # on the worst of its later days
    is_enough: bool


def helps_for(
    trials: Trials,
    book: FarmBook,
    variety: str,
    without: float,
    wanted: float,
    goes_on: Callable[[], bool],
) -> tuple[Help, ...]:
    """Return the changes that make a promise surer, the best first.

    Parameters
    ----------
    trials : Trials
        Of the farm as it is.
    book : FarmBook
        With the promise in it.
    variety : str
        That the promise is for.
    without : float
        Its chance, once it has settled, without any change.
    wanted : float
        Chance that is enough.
    goes_on : callable
        Whether there is time for another.
    """
    found = []
    for change, what, changed, alter in _changes(book, variety):
        if not goes_on():
            break
        chance = steady(trials.of(changed, alter).days(trials.until))
        if chance >= without + LEAST_GAIN:
            found.append(Help(change, what, chance, chance >= wanted))
    return tuple(sorted(found, key=lambda each: -each.chance))


def _changes(
    book: FarmBook, variety: str
) -> Iterable[tuple[Change, str, FarmBook, Callable[[Problem], Problem] | None]]:
    yield Change.PLACES, "", book, lambda problem: _more_places(problem, variety)
    if book.sterilisers:
        yield Change.COOK, "", _one_more_cook(book), None
    free = [day for day in Weekday if day not in book.farm.working_days]
    if free and book.workers:
        yield Change.DAY, free[0].value, _working_on(book, free[0]), None
    if (step := _spawn_step(book, variety)) is not None:
        yield Change.BOUGHT, step, book, lambda problem: _with_spawn(problem, variety, step)
    yield Change.OPEN, "", book, _any_day


def _any_day(problem: Problem) -> Problem:
    return replace(
        on_any_day(problem), is_picked_any_day=False, whole_parent_days=problem.whole_parent_days
    )


def _more_places(problem: Problem, variety: str) -> Problem:
    recipe = problem.recipe(variety)
    rooms = recipe.fruiting.rooms if recipe is not None and recipe.fruiting is not None else ()
    more = tuple(
        replace(
            room,
            places=room.places * MORE_PLACES,
            by_day=tuple(places * MORE_PLACES for places in room.by_day),
        )
        if room.code in rooms
        else room
        for room in problem.resources.rooms
    )
    return replace(problem, resources=replace(problem.resources, rooms=more))


def _one_more_cook(book: FarmBook) -> FarmBook:
    more = tuple(
        replace(
            each,
            cooks_per_day=each.cooks_per_day + 1,
            hours_per_day=min(
                24.0, each.hours_per_day + max((k.hours for k in each.cooks), default=0)
            ),
        )
        for each in book.sterilisers
    )
    return replace(book, sterilisers=more)


def _working_on(book: FarmBook, day: Weekday) -> FarmBook:
    """Return the book with one more day on which people work as long as on their usual ones."""
    workers = []
    for worker in book.workers:
        hours = list(worker.hours)
        hours[day.number] = usual_hours([each for each in hours if hours_count(each) > 0])
        workers.append(replace(worker, hours=tuple(hours)))
    farm = replace(book.farm, working_days=(*book.farm.working_days, day))
    return replace(book, farm=farm, workers=tuple(workers))


def _spawn_step(book: FarmBook, variety: str) -> str | None:
    """Return the step whose units a fruiting block is made from, if the farm makes it itself."""
    known = next((each for each in book.varieties if each.code == variety), None)
    route = next((each for each in book.routes if known and each.code == known.route), None)
    grouped = groups(route) if route is not None else ()
    if not grouped or not grouped[-1][0].parents:
        return None
    parent = grouped[-1][0].parents[0].step
    made = next((first for first, _ in grouped if first.code == parent), None)
    return parent if made is not None and made.parents else None


def _with_spawn(problem: Problem, variety: str, step: str) -> Problem:
    bought = Stock("bought", variety, step, PLENTY, BOUGHT_DAYS, problem.days, alive=PLENTY)
    return replace(problem, stock=(*problem.stock, bought))
