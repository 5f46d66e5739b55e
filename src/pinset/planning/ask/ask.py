"""Can it be promised? The farm is planned with it and without, and both are carried out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from pinset.chain.register import FarmBook, Promise
from pinset.planning.ask.costs import Cost, cost_between
from pinset.planning.ask.help import Help, helps_for
from pinset.planning.ask.trials import ASKED, SEASONS, AskedDay, Farm, Trial, Trials, steady
from pinset.planning.building.from_book import LONGEST_HORIZON
from pinset.planning.plan import Short
from pinset.planning.season.chances import JUDGED_DAYS
from pinset.planning.season.tuning import WANTED

ENOUGH = 0.02
"""A chance so much under the wanted one still counts: two errors of 600 seasons."""

ENDANGERED = 0.03
SEARCH_WEEKS = 8


@dataclass(frozen=True, slots=True)
class Endangered:
    """A promise the farm has already, and what the new one does to it."""

    promise: str
    day: date
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether a promise can be made, and what it does to the farm."""

    wanted: float
    days: tuple[AskedDay, ...]
    holds_from: date | None  # every day from then on is as sure as wanted; None: not in sight
    later_day: date | None  # of a promise for one day: when it would hold
    cost: Cost
    endangered: tuple[Endangered, ...]
    short: tuple[Short, ...]  # of the promise itself, in expectation, with the reasons
    helps: tuple[Help, ...]
    seasons: int = SEASONS

    @property
    def is_yes(self) -> bool:
        """Whether it holds on every day asked for."""
        return bool(self.days) and self.holds_from == self.days[0].day


def ask(
    farm: Farm,
    asked: Promise,
    *,
    wanted: float = WANTED,
    seed: int = 0,
    time_limit_s: float = 8.0,
    say: Callable[[str], None] = lambda _: None,
    goes_on: Callable[[], bool] = lambda: True,
) -> Answer:
    """Return whether a promise can be made.

    Parameters
    ----------
    farm : Farm
        As it stands.
    asked : Promise
        What would be promised; its code is not looked at.
    wanted : float
        Chance with which it is to be met each time, 0 to 1.
    seed : int
        Of the luck, the same for all plans that are compared.
    time_limit_s : float
        Of each plan. [s]
    say : callable
        Takes what is being done, in words.
    goes_on : callable
        Whether there is time to try another day, or a change that may help.
    """
    asked = replace(asked, code=ASKED)
    with_it = replace(farm.book, promises=(*farm.book.promises, asked))
    until = _horizon(asked, farm.today)
    trials = Trials(farm, seed, time_limit_s, until)
    say("planning without it")
    without = trials.of(farm.book)
    say("planning with it")
    found = trials.of(with_it, explains=True)
    days = found.days(until)
    holds = _holds_from(days, wanted)
    later = None
    if asked.on_date is not None and holds is None:
        say("looking for a later day")
        later = _later_day(trials, farm.book, asked, asked.on_date, wanted, goes_on)
    is_yes = bool(days) and holds == days[0].day
    helps: tuple[Help, ...] = ()
    if not is_yes:
        say("trying what would help")
        helps = helps_for(trials, with_it, asked.variety, steady(days), wanted - ENOUGH, goes_on)
    return Answer(
        wanted,
        days,
        holds,
        later,
        cost_between(farm.book, found.problem, without.plan, found.plan, until),
        tuple(_endangered(without, found, until)),
        tuple(short for short in found.plan.short if short.promise == ASKED),
        helps,
    )


def _holds_from(days: Iterable[AskedDay], wanted: float) -> date | None:
    """Return the first day from which on every one is as sure as wanted."""
    first: date | None = None
    for each in days:
        if each.chance < wanted - ENOUGH:
            first = None
        elif first is None:
            first = each.day
    return first


def _horizon(asked: Promise, today: date) -> int:
    """Return how many days are planned and judged: eight weeks of the promise at least."""
    begins = asked.on_date or asked.from_date or today
    return min(LONGEST_HORIZON, max(JUDGED_DAYS, (begins - today).days + 7 * (SEARCH_WEEKS + 1)))


def _later_day(
    trials: Trials,
    book: FarmBook,
    asked: Promise,
    on: date,
    wanted: float,
    goes_on: Callable[[], bool],
) -> date | None:
    """Return the soonest of the next weeks' same weekdays on which it would hold.

    Where there is no time to go on, the soonest that was found.
    """
    low, high, best = 1, SEARCH_WEEKS, None
    while low <= high and goes_on():
        weeks = (low + high) // 2
        moved = replace(asked, on_date=on + timedelta(weeks=weeks))
        days = trials.of(replace(book, promises=(*book.promises, moved))).days(trials.until)
        if days and steady(days) >= wanted - ENOUGH:
            best, high = moved.on_date, weeks - 1
        else:
            low = weeks + 1
    return best


def _endangered(without: Trial, found: Trial, until: int) -> Iterable[Endangered]:
    """Return the promises that become less sure, the most endangered first."""
    before = {
        (order.promise, order.due): float(without.met[n].mean())
        for n, order in enumerate(without.problem.orders)
        if order.day < until
    }
    drops = []
    for n, order in enumerate(found.problem.orders):
        was = before.get((order.promise, order.due))
        now = float(found.met[n].mean())
        if was is not None and was - now >= ENDANGERED:
            day = found.problem.date_of(order.due)
            drops.append(Endangered(order.promise, day, was, now))
    return sorted(drops, key=lambda each: (each.after - each.before, each.day))
