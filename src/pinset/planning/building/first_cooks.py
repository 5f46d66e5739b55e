"""How soon vessels that nobody has begun can be cooked: soaked so long, boiled, filled, loaded."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from pinset.chain.in_use import loaded_on, loading_minutes
from pinset.chain.register import FarmBook, Preparation, Step, Steriliser
from pinset.chain.vessel_keys import mix_words
from pinset.planning.model.staffed import Staffed
from pinset.planning.resources import FirstCook

DRY = frozenset({"chop", "cut", "shred", "weigh"})
"""Work after which nothing is wet yet."""

AT_ONCE = DRY | {"mix"}
"""Work that need not last before the next begins; common practice, no source."""

LOADED_AT_ONCE = AT_ONCE | {"fill"}
"""Work that need not last before the vessels are loaded; common practice, no source."""

COOK = "cook"
COOL = "cool"
LONGEST_DAYS = 31
LONGEST_LEAD_HOURS = 10_000.0


def first_cooks(book: FarmBook, today: date, since_hours: float = 0.0) -> tuple[FirstCook, ...]:
    """Return for each kind of cook and mix the first day on which it can be loaded.

    Begun today, each task at an hour at which somebody is there, and so long after the one before
    as the route's lead hours lie apart where that must last; with the minutes of the least batch.
    What is begun on a day before its load and is ready after a loading hour is loaded on the next
    day; where all is done on the day of the load, that waits for it.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and the first day.
    since_hours : float
        Hour of that day from which work can begin. [h]
    """
    staffed = Staffed(book)
    loads: dict[str, list[Steriliser]] = {}
    for each in book.sterilisers:
        for kind in each.cooks:
            loads.setdefault(kind.code, []).append(each)
    now = _midnight(today) + timedelta(hours=since_hours)
    found: dict[tuple[str, str], int] = {}
    for step in (step for route in book.routes for step in route.steps):
        if not step.cook or not loads.get(step.cook) or lead_of(step, COOK) is None:
            continue
        key = (step.cook, mix_words(step))
        days = [_first_load(step, staffed, now, each) for each in loads[step.cook]]
        found[key] = max(found.get(key, 0), min(days))
    return tuple(FirstCook(cook, day, mix) for (cook, mix), day in sorted(found.items()) if day > 0)


def hours_apart(first: Preparation, second: Preparation) -> float:
    """Return how long after the begin of one task another of the same vessels may begin. [h]."""
    return 0.0 if first.task in AT_ONCE else max(0.0, first.lead_hours - second.lead_hours)


def first_lasting(step: Step) -> str:
    """Return the first task before the cook that must last; empty: none must."""
    cook = lead_of(step, COOK) or 0.0
    lasting = [p for p in step.preparations if _must_last(p, cook, 0.0)]
    return max(lasting, key=lambda p: p.lead_hours).task if lasting else ""


def _must_last(task: Preparation, cook: float, load_hours: float) -> bool:
    """Say whether a task must last, and be begun before the day of a load at an hour of it. [h]."""
    return task.task not in LOADED_AT_ONCE | {COOK, COOL} and task.lead_hours - cook > load_hours


def next_load(book: FarmBook, step: Step, now: datetime, task: str, began: datetime) -> int | None:
    """Return the first day, from 0, on which vessels of which a task was begun can be loaded.

    Parameters
    ----------
    book : FarmBook
        The farm.
    step : Step
        They are for.
    now, began : datetime
        From when on somebody can go on with them, and when that task was begun, by the farm's
        clock.
    task : str
        The task; what comes after it is still to be done.

    Returns
    -------
    int or None
        None where the route does not know the task, or nothing cooks it.
    """
    preparation = next((p for p in step.preparations if p.task == task), None)
    loads = [s for s in book.sterilisers if any(kind.code == step.cook for kind in s.cooks)]
    if preparation is None or not loads:
        return None
    staffed = Staffed(book)
    return min(_first_load(step, staffed, now, each, (preparation, began)) for each in loads)


Begun = tuple[Preparation, datetime]
"""A task and when it was begun."""


def _to_do(step: Step, begun: Begun | None) -> list[Preparation]:
    """Return the tasks before the cook that are still to be done, the first of them first."""
    cook = lead_of(step, COOK) or 0.0
    before = begun[0].lead_hours if begun else LONGEST_LEAD_HOURS
    tasks = [p for p in step.preparations if p.task not in {COOK, COOL}]
    return sorted((p for p in tasks if cook < p.lead_hours < before), key=lambda p: -p.lead_hours)


def _ready(
    step: Step, staffed: Staffed, now: datetime, load_hours: float, before: Begun | None
) -> datetime | None:
    """Return when the least batch, begun now or before, may be loaded; None: nobody can do it."""
    cook = lead_of(step, COOK) or 0.0
    begun: list[Begun] = [before] if before else []
    end: datetime | None = now
    for each in _to_do(step, before):
        passed = [at + timedelta(hours=hours_apart(first, each)) for first, at in begun]
        minutes = each.minutes_fixed + each.minutes_per_unit * max(1, step.minimum_batch)
        begin = _begin(staffed, max([end or now, *passed]), timedelta(minutes=minutes))
        if begin is None:
            return None
        begun.append((each, begin))
        end = begin + timedelta(minutes=minutes)
    lasting = [
        at + timedelta(hours=each.lead_hours - cook)
        for each, at in begun[-1:]
        if _must_last(each, cook, load_hours)
    ]
    return max([end or now, *lasting])


def _begin(staffed: Staffed, soonest: datetime, takes: timedelta) -> datetime | None:
    """Return when work begins that ends before people leave; longer than a day, with the day."""
    for ahead in range(LONGEST_DAYS + 1):
        day = soonest.date() + timedelta(days=ahead)
        begins = staffed.begins(day)
        begin = max(soonest, begins)
        if staffed.works_on(day) and begin <= max(begins, staffed.ends(day) - takes):
            return begin
    return None


def _first_load(
    step: Step,
    staffed: Staffed,
    now: datetime,
    steriliser: Steriliser,
    before: Begun | None = None,
) -> int:
    """Return the first day, from 0, on which a steriliser can take a step."""
    for ahead in range(LONGEST_DAYS):
        day = now.date() + timedelta(days=ahead)
        own = loaded_on(staffed.book, steriliser, day)
        if own is None or not staffed.works_on(day):
            continue
        if reaches(step, staffed, now, own, day, before):
            return ahead
    return LONGEST_DAYS


def reaches(
    step: Step,
    staffed: Staffed,
    now: datetime,
    steriliser: Steriliser,
    day: date,
    before: Begun | None = None,
) -> bool:
    """Say whether the least batch, begun at a moment or before, makes the load of a day.

    ``steriliser`` is as it is loaded on that day, on which somebody works.
    """
    cook = lead_of(step, COOK) or 0.0
    load_hours = _hours(steriliser.load_at)
    ready = _ready(step, staffed, now, load_hours, before)
    if ready is None:
        return False
    tasks = [*([before[0]] if before else []), *_to_do(step, before)]
    loaded = _midnight(day) + timedelta(hours=load_hours)
    if not any(_must_last(p, cook, load_hours) for p in tasks):
        # it waits for them as long as somebody is here to load it
        latest = staffed.ends(day) - timedelta(minutes=loading_minutes(steriliser))
        loaded = max(loaded, latest)
    return ready <= loaded


def wet_tasks(step: Step) -> tuple[Preparation, ...]:
    """Return the tasks before the cook that leave something wet, the first first."""
    return tuple(each for each in _to_do(step, None) if each.task not in DRY)


def lead_of(step: Step, task: str) -> float | None:
    """Return how long before the inoculation a task is begun; None: the route has none. [h]."""
    return max((p.lead_hours for p in step.preparations if p.task == task), default=None)


def _hours(clock: str) -> float:
    hours, minutes = (int(part) for part in clock.split(":"))
    return hours + minutes / 60.0


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(0))
