"""Other weekdays for starting and moving: searched for by the worker, accepted by the grower."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, Route, Weekday
from pinset.errors import InputError, RefusedError
from pinset.farm import question_store
from pinset.farm.question_store import QuestionRow
from pinset.planning.ask.weekdays import OtherDays, better_weekdays, with_weekdays
from pinset.planning.problem import Problem
from pinset.planning.season.tuning import with_spare
from pinset.services.asking.cost import weekdays_cost
from pinset.services.book_reader import Reader
from pinset.services.books.register_change import write_records
from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.day_now import day_now
from pinset.services.day.hours_left import laid_from
from pinset.services.plans import planning_day
from pinset.services.plans.problem_now import problem_now, with_hours_left
from pinset.services.words import WEEKDAYS, joined

BUDGET_S = 90.0
"""So long other days are tried; the worker plans nothing else meanwhile."""

BODY: dict[str, object] = {"weekdays": True}
LEAST_G = 1000.0
LEAST_SAVED = 0.002
"""Of what the plan costs; less is not worth a change of habit."""


@dataclass(frozen=True, slots=True)
class DaysLine:
    """Other weekdays for one step, as they are read."""

    key: str  # "route step"
    words: str  # "Grey oyster, block: Tuesday instead of Thursday"
    varieties: str


@dataclass(frozen=True, slots=True)
class WeekdaysAnswer:
    """What other weekdays would bring, and the changes themselves."""

    sentence: str
    lines: tuple[DaysLine, ...] = ()
    brings: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    changes: tuple[OtherDays, ...] = ()


@dataclass(frozen=True, slots=True)
class Proposal:
    """The newest search for better weekdays, and how far it has come."""

    number: int
    asked_at: datetime
    is_ended: bool
    progress: str
    problem: str
    answer: WeekdaysAnswer | None


def ask_for_weekdays(person: str, now: datetime | None = None) -> int:
    """Put the search in line and return its number; one that waits already is shared."""
    waiting = (each for each in question_store.open_ones() if each.question == BODY)
    same = next(waiting, None)
    return same.number if same else question_store.ask(person, dict(BODY), now or now_utc())


def newest_weekdays() -> Proposal | None:
    """Return the newest search that nobody gave up; None if there was none."""
    rows = question_store.newest(question_store.KEPT)
    row = next((each for each in rows if each.question == BODY), None)
    return _proposal(row) if row is not None else None


def _proposal(row: QuestionRow) -> Proposal:
    answer = None
    if row.answer is not None:
        try:
            answer = from_plain(WeekdaysAnswer, row.answer)
        except InputError:
            answer = None
    problem = row.problem
    if row.is_ended and answer is None and not problem:
        problem = "An older pinset wrote this answer; it cannot be read any more. Ask again."
    return Proposal(row.number, row.asked_at, row.is_ended, row.progress, problem, answer)


def weekdays_found(
    now: datetime | None = None,
    *,
    say: Callable[[str], None] = lambda _: None,
    clock: Callable[[], float] = time.monotonic,
    budget_s: float | None = None,
) -> WeekdaysAnswer:
    """Return which other weekdays would cost less, of the farm as it stands.

    Nothing is written. ``say`` takes what is being done, and what it raises ends the work;
    ``clock`` counts seconds.
    """
    began, budget = clock(), BUDGET_S if budget_s is None else budget_s
    say("reading the farm")
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    hour = farm_time(moment, book.farm.time_zone) if now or hour_is_known() else None
    day = day_now(book, today, laid_from(hour, book) if hour else None)
    newest = planning_day.latest()
    shares = newest.aim.tuning.shares if newest is not None and newest.aim is not None else {}

    def build(other: FarmBook) -> Problem:
        problem, _ = problem_now(replace(other, pins=()), day)
        return with_hours_left(with_spare(problem, shares), day, frozenset())

    def goes_on(tried: int) -> bool:
        say(f"trying other weekdays, {tried} tried")
        spent = clock() - began
        return spent + spent / tried <= budget

    found = better_weekdays(book, build, goes_on=goes_on)
    reader = Reader(book, today)
    less_g = found.short_before_g - found.short_after_g
    is_worth_it = bool(found.changes) and (found.saved >= LEAST_SAVED or less_g >= LEAST_G)
    remarks = [] if found.is_whole else ["Time ended the search; there may be better days still."]
    remarks.append("It is reckoned in fractions, without what chance does, and is no proof.")
    if not is_worth_it:
        return WeekdaysAnswer("No other weekdays were found that cost less.", remarks=(*remarks,))
    brings = list(weekdays_cost(found.work))
    if less_g >= LEAST_G:
        brings.insert(0, f"{reader.about(less_g)} less short")
    return WeekdaysAnswer(
        sentence=f"Other weekdays save {found.saved:.1%} of what the plan costs.",
        lines=tuple(_line(change, reader) for change in found.changes),
        brings=tuple(brings),
        remarks=tuple(remarks),
        changes=found.changes,
    )


def _line(change: OtherDays, reader: Reader) -> DaysLine:
    names = [v.name for v in reader.book.varieties if v.route == change.route]
    after, before = _days(change.after), _days(change.before)
    words = f"{change.step}: {after} instead of {before}"
    return DaysLine(f"{change.route} {change.step}", words, joined(names))


def _days(days: Sequence[Weekday]) -> str:
    return joined([WEEKDAYS[day.number] for day in sorted(days, key=lambda day: day.number)])


def accept(keys: Sequence[str], person: str, now: datetime | None = None) -> tuple[str, ...]:
    """Write the proposed weekdays of some steps into their routes, from today on.

    Returns
    -------
    tuple of str
        What was changed, in words.

    Raises
    ------
    RefusedError
        If there is no proposal, or one of the steps is not in it or not on the farm any more.
    """
    moment = now or now_utc()
    proposal = newest_weekdays()
    answer = proposal.answer if proposal is not None else None
    if answer is None or not answer.changes:
        raise RefusedError("No other weekdays are proposed.", "Ask for them first.")
    chosen = [each for each in answer.changes if f"{each.route} {each.step}" in set(keys)]
    if not chosen or len(chosen) != len(set(keys)):
        raise RefusedError("Nothing of the proposal was chosen.", "Choose one change or more.")
    book, _ = planning_day.farm_book(moment)
    known = {(route.code, step.code) for route in book.routes for step in route.steps}
    if any((each.route, each.step) not in known for each in chosen):
        raise RefusedError("A step of it is no longer described.", "Ask again.")
    changed: list[Route] = [
        route
        for route, old in zip(with_weekdays(book, chosen).routes, book.routes, strict=True)
        if route != old
    ]
    write_records(changed, person, moment)
    words = {line.key: f"{line.varieties}, {line.words}" for line in answer.lines}
    return tuple(words[f"{each.route} {each.step}"] for each in chosen)


def answered_weekdays(now: datetime | None, say: Callable[[str], None]) -> dict[str, object]:
    """Work out a search of the queue, as its answer is stored."""
    found: dict[str, object] = to_plain(weekdays_found(now, say=say))
    return found
