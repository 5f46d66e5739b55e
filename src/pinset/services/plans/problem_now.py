"""The planning problem of the farm as it stands at this hour."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from pinset.chain.day_hours import HOUR
from pinset.chain.register import FarmBook
from pinset.planning.building.from_book import Delivered, build_problem
from pinset.planning.building.owed import Owed
from pinset.planning.model.cook_times import with_later_loads
from pinset.planning.problem import Pinned, Problem
from pinset.services.day.day_now import DayNow
from pinset.services.day.hours_left import only_what_is_left
from pinset.services.day.minutes_left import only_these_minutes
from pinset.services.jobs.records import JobKind
from pinset.services.loads.begun import begun_vessels, since_hours
from pinset.services.promises.due_deliveries import open_amount


def problem_now(book: FarmBook, day: DayNow) -> tuple[Problem, tuple[str, ...]]:
    """Return the problem of a farm, and what could not be planned."""
    today = day.today
    return build_problem(
        book,
        day.living,
        today,
        delivered=[
            Delivered(code, due, grams)
            for (code, due), grams in day.delivered.items()
            if due >= today
        ],
        owed=owed_now(day),
        store=day.store,
        late=late_starts(day),
        begun=begun_vessels(book, today, day.waiting, since_hours(day.left.since)),
        since_hours=since_hours(day.left.since),
        not_before=day.warm,
        not_carried=day.declined,
        taken=day.upkeep,
        assume_prepared=False,
    )


def with_hours_left(problem: Problem, day: DayNow, shut: frozenset[str]) -> Problem:
    """Return a problem with the hours, cooks and minutes that are left of today.

    ``shut`` are sterilisers whose cooks do not fit into today. What was loaded already counts
    towards a cook that is pinned for today.
    """
    loaded = Counter(
        (each.job.steriliser, each.job.cook_kind)
        for each in day.loaded
        if each.at.date() == day.today
    )
    problem = replace(
        problem,
        pins=tuple(
            _less(pin, loaded[pin.steriliser, pin.step]) if pin.day == 0 and pin.steriliser else pin
            for pin in problem.pins
        ),
    )
    free_from = {code: own.free_from / HOUR for code, own in day.left.sterilisers.items()}
    ready = with_later_loads(problem.resources.ready, day.book, day.today, free_from)
    problem = replace(problem, resources=replace(problem.resources, ready=ready))
    return only_these_minutes(only_what_is_left(problem, day.left, shut), day.minutes)


def _less(pin: Pinned, loaded: int) -> Pinned:
    done = min(float(loaded), pin.count)
    return replace(pin, count=pin.count - done, done=done)


def owed_now(day: DayNow) -> tuple[Owed, ...]:
    """Return what is open of the deliveries of earlier days that are asked for again today."""
    return tuple(Owed(each.promise, each.day, float(open_amount(each))) for each in day.late)


def late_starts(day: DayNow) -> tuple[tuple[str, str], ...]:
    """Return the variety and step of each start that should have happened before today."""
    return tuple(
        (each.job.variety, each.job.step)
        for each in day.known
        if each.job.kind is JobKind.TRANSFER and (each.job.first_day or each.job.day) < day.today
    )
