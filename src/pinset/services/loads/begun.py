"""Which vessels are begun and not cooked: grain in the soak cannot be wished there today."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from pinset.chain.register import FarmBook, Step
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.first_cooks import next_load
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.resources import Begun
from pinset.services.loads.what_waits import Mix, Waiting, step_of


def begun_vessels(
    book: FarmBook, today: date, waiting: Waiting, hours: float = 0.0
) -> tuple[Begun, ...]:
    """Return what is begun, mix by mix, and the days of the cooks that may still take it.

    Counted is the task of which most was done: what was soaked, while only some is boiled yet.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and its day.
    waiting : Waiting
        What was prepared and neither cooked nor thrown out.
    hours : float
        Hour of today from which work can begin. [h]
    """
    most: defaultdict[tuple[Mix, date], int] = defaultdict(int)
    for (mix, _, day), units in waiting.units.items():
        most[mix, day] = max(most[mix, day], units)
    found = []
    for (mix, day), units in sorted(most.items()):
        step, meant = step_of(book, mix), (day - today).days
        last = (waiting.last_load(mix, day) - today).days
        if step is not None and units > 0 and last >= 0:
            litres = units * litres_of(book, step)
            tasks = {task for own, task, _ in waiting.units if own == mix}
            whole = [task for task in tasks if waiting.units.get((mix, task, day), 0) == units]
            soonest = min(
                first_day(book, step, waiting, (mix, t, day), today, hours) for t in whole
            )
            first = max(0, (soonest - today).days)
            if first <= last:
                begun = Begun(step.cook, litres, first, last, mix_words(step))
                found.append(replace(begun, meant_day=max(first, meant)))
    return tuple(found)


def first_day(
    book: FarmBook,
    step: Step,
    waiting: Waiting,
    key: tuple[Mix, str, date],
    today: date,
    hours: float,
) -> date:
    """Return the first day whose cook can take what is waiting: not before it has soaked its hours.

    Where no hour is known, that is the day it was begun for.

    Parameters
    ----------
    book, step, waiting : FarmBook, Step, Waiting
        The farm, what it is for, and what is waiting.
    key : tuple of (mix, task, day)
        What was done to it, and for the cook of which day.
    today, hours : date, float
        The farm's day and the hour of it from which work can begin. [h]
    """
    _, task, day = key
    began = waiting.began.get(key)
    if began is None:
        return day
    now = datetime.combine(today, time(0)) + timedelta(hours=hours)
    ahead = next_load(book, step, now, task, began)
    return day if ahead is None else today + timedelta(days=ahead)


def since_hours(since: time | None) -> float:
    """Return the hour from which work of today can begin; 0 in the morning. [h]."""
    return since.hour + since.minute / 60.0 if since else 0.0
