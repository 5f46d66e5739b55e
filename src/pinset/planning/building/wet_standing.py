"""How long what was wetted may stand before it is cooked, and which cooks that leaves out.

Wet grain ferments and warms by itself. A soak that would have to be laid before days off stands too
long for the cook after them, so no new vessels of its mix go into that cook.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from math import ceil

from pinset.chain.in_use import loaded_on
from pinset.chain.register import FarmBook, Step, Steriliser
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.first_cooks import COOK, DRY, lead_of, reaches, wet_tasks
from pinset.planning.model.staffed import Staffed, clock_hours, moment_at
from pinset.planning.resources import TooWet

BEYOND_HOURS = 24.0
"""What is wet keeps so long beyond the hours its route describes. [h]; common practice, no source.
"""

SOAK_AT_MOST_HOURS = 48.0
"""A shorter soak may last so long all the same. [h]; common practice, no source."""

SOAK = "soak"

HEATED = frozenset({"boil", "simmer", "scald"})
"""Work that kills most of what grew in the soak: what is wet keeps from there on anew; common
practice, no source."""

LOOKED_BACK_DAYS = 14
SECONDS = 3600.0


def most_hours(step: Step, task: str) -> float | None:
    """Return how long after the begin of a task its vessels may still be loaded.

    Parameters
    ----------
    step : Step
        With its preparation.
    task : str
        Such as ``soak``.

    Returns
    -------
    float or None
        None where the task wets nothing, follows the cook or is not in the route. [h]
    """
    own, cook = lead_of(step, task), lead_of(step, COOK)
    if own is None or cook is None or own <= cook or task in DRY:
        return None
    return keeps_hours(task, own - cook)


def keeps_hours(task: str, described: float) -> float:
    """Return how long after its begin what a task wets keeps, meant to stand so long. [h]."""
    most = described + BEYOND_HOURS
    return max(most, SOAK_AT_MOST_HOURS) if task == SOAK else most


def soonest_load(step: Step, began: Mapping[str, datetime]) -> date | None:
    """Return the first day on which so begun vessels have stood their hours; None: not known."""
    cook = lead_of(step, COOK) or 0.0
    known = [(at, lead) for task, at in began.items() if (lead := lead_of(step, task)) is not None]
    return max(((at + timedelta(hours=lead - cook)).date() for at, lead in known), default=None)


def last_load(step: Step, began: Mapping[str, datetime]) -> date | None:
    """Return the last day on which vessels may be cooked, by when each task was begun.

    Parameters
    ----------
    step : Step
        They are for.
    began : mapping of task to datetime
        By the farm's clock; the tasks that were done to all of them.

    Returns
    -------
    date or None
        None where nothing the route knows was wetted.
    """
    wet = sorted(
        (task for task in began if most_hours(step, task) is not None),
        key=lambda task: -(lead_of(step, task) or 0.0),
    )
    heated = [place for place, task in enumerate(wet) if task in HEATED]
    counted = wet[heated[-1] :] if heated else wet
    return min(
        (
            (began[task] + timedelta(hours=most)).date()
            for task in counted
            if (most := most_hours(step, task)) is not None
        ),
        default=None,
    )


def too_wet_days(book: FarmBook, start: date, days: int) -> tuple[TooWet, ...]:
    """Return for each kind of cook and mix the days for whose load it would stand wet too long.

    Days on which a cook of that kind is pinned are left out: the grower has decided.

    Parameters
    ----------
    book : FarmBook
        The farm.
    start, days : date, int
        The first day, and how many are looked at. [d]
    """
    staffed = Staffed(book)
    pinned = {(pin.step, pin.day) for pin in book.pins if pin.steriliser and pin.count > 0}
    found: dict[tuple[str, str], set[int]] = {}
    for step in (step for route in book.routes for step in route.steps):
        own = [s for s in book.sterilisers if any(kind.code == step.cook for kind in s.cooks)]
        if not step.cook or not own or not wet_tasks(step):
            continue
        left_out = {
            ahead
            for ahead in range(days)
            if (step.cook, day := start + timedelta(days=ahead)) not in pinned
            and _is_too_wet(step, staffed, own, day)
        }
        key = (step.cook, mix_words(step))
        found[key] = found[key] & left_out if key in found else left_out
    return tuple(
        TooWet(cook, mix, tuple(sorted(left_out)))
        for (cook, mix), left_out in sorted(found.items())
        if left_out
    )


def _is_too_wet(step: Step, staffed: Staffed, own: list[Steriliser], day: date) -> bool:
    """Say whether no steriliser that is loaded on a day gets it fresh enough."""
    cook = lead_of(step, COOK) or 0.0
    described = ceil((wet_tasks(step)[0].lead_hours - cook) / 24.0)
    before = range(1, max(1, described) + 1)
    if not staffed.works_on(day) or all(staffed.works_on(day - timedelta(days=d)) for d in before):
        return False
    loaded = [here for each in own if (here := loaded_on(staffed.book, each, day)) is not None]
    return bool(loaded) and all(_stands_too_long(step, staffed, each, day) for each in loaded)


def _stands_too_long(step: Step, staffed: Staffed, steriliser: Steriliser, day: date) -> bool:
    load = moment_at(day, clock_hours(steriliser.load_at))
    first = wet_tasks(step)[0]
    cook = lead_of(step, COOK) or 0.0
    for back in range(LOOKED_BACK_DAYS):
        begun_on = day - timedelta(days=back)
        if not staffed.works_on(begun_on):
            continue
        if not reaches(step, staffed, staffed.begins(begun_on), steriliser, day):
            continue
        if begun_on == day:
            return False
        takes = timedelta(minutes=first.minutes_fixed + first.minutes_per_unit)
        described = load - timedelta(hours=first.lead_hours - cook)
        begin = min(described, max(staffed.begins(begun_on), staffed.ends(begun_on) - takes))
        most = most_hours(step, first.task)
        return most is not None and (load - begin).total_seconds() / SECONDS > most
    return False
