"""When what a cook made ready may be inoculated: its door is opened by somebody, and it is cool."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta

from pinset.chain.day_hours import hours_count
from pinset.chain.in_use import loaded_on
from pinset.chain.register import CookKind, FarmBook, RoomKind, Step, StepKind, Steriliser
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.model.staffed import (
    LAST_TRANSFER_HOURS,
    Staffed,
    clock_hours,
    moment_at,
)
from pinset.planning.resources import CookReady

COOK = "cook"
"""Name of the preparation that is the cook itself."""

COOL = "cool"
"""Name of the preparation between the cook and the inoculation."""

LONGEST_TRANSFER_HOURS = 4.0
"""More than this is not waited for: a larger load is used over several days; common practice, no
source."""

DAYS_OF_WEEK = 7
MINUTES = 60.0


LONGEST_COOLING_HOURS = 24.0
"""A lead that leaves more time than this after the cook says nothing of cooling any more; common
practice, no source."""


def cooling_hours(steps: Iterable[Step], cook_hours: float) -> float:
    """Return how long vessels of these steps cool after their cook; of those that take longest.

    A route says how long before the inoculation cooling begins at the latest: so long it takes.
    Where it names no cooling, that is what the lead of the cook leaves after the cook; where
    something else is done to the vessels after it (agar is poured), none.

    Parameters
    ----------
    steps : iterable of Step
        That go into one cook.
    cook_hours : float
        From loading to the opening. [h]
    """
    return max((_cooling_of(step, cook_hours) for step in steps), default=0.0)


def _cook_lead(step: Step) -> float:
    return max((p.lead_hours for p in step.preparations if p.task == COOK), default=0.0)


def _cooling_of(step: Step, cook_hours: float) -> float:
    described = [p.lead_hours for p in step.preparations if p.task == COOL]
    if described:
        return max(described)
    lead = _cook_lead(step)
    if any(p.lead_hours < lead for p in step.preparations):
        return 0.0
    return min(max(0.0, lead - cook_hours), LONGEST_COOLING_HOURS)


def cooks_ready(book: FarmBook, work: WorkDays) -> tuple[CookReady, ...]:
    """Return for each kind of cook from which day on each day's loads may be inoculated."""
    staffed = Staffed(book)
    return tuple(
        CookReady(
            each.code,
            kind.code,
            _ready(staffed, each, kind, work, is_last=False),
            _ready(staffed, each, kind, work, is_last=True),
        )
        for each in book.sterilisers
        for kind in each.cooks
    )


def days_waited(ready: Iterable[CookReady]) -> dict[str, int]:
    """Return how many days after its load a kind of cook can serve at the soonest, on any day."""
    found: dict[str, int] = {}
    for each in ready:
        waits = [first - day for day, first in enumerate(each.first) if first is not None]
        if waits:
            found[each.kind] = min(found.get(each.kind, min(waits)), *waits)
    return found


def first_day_of(
    book: FarmBook, steriliser: Steriliser, kind: CookKind, loaded: date, after_hours: float = 0.0
) -> date | None:
    """Return the first day on which a load of a day may be inoculated; None: within a month never.

    ``after_hours`` is how long it waits for other loads of that day. [h]
    """
    own = loaded_on(book, steriliser, loaded)
    if own is None:
        return None
    ends = clock_hours(own.load_at) + after_hours + kind.hours
    return _usable(Staffed(book), own, kind, loaded, ends)


def with_later_loads(
    ready: Iterable[CookReady], book: FarmBook, today: date, free_from: Mapping[str, float]
) -> tuple[CookReady, ...]:
    """Return the same with the cooks of today as they are when loaded later than usual.

    Parameters
    ----------
    ready : iterable of CookReady
        From today on, as :func:`cooks_ready` gives it.
    book, today : FarmBook, date
        The farm and its day.
    free_from : mapping of str to float
        Hour of today before which nothing can be loaded, by steriliser. [h]
    """
    staffed = Staffed(book)
    sterilisers = {each.code: each for each in book.sterilisers}
    found = []
    for each in ready:
        steriliser = sterilisers[each.steriliser]
        steriliser = loaded_on(book, steriliser, today) or steriliser
        kind = next(kind for kind in steriliser.cooks if kind.code == each.kind)
        load_at = free_from.get(each.steriliser, 0.0)
        if load_at > clock_hours(steriliser.load_at) and each.first:
            day = _usable(staffed, steriliser, kind, today, load_at + kind.hours)
            first = (day - today).days if day is not None else None
            last = each.last[0]
            if first is None or (last is not None and last < first):
                last = first
            found.append(replace(each, first=(first, *each.first[1:]), last=(last, *each.last[1:])))
        else:
            found.append(each)
    return tuple(found)


def is_never_ready(ready: Iterable[CookReady], kind: str) -> bool:
    """Say whether vessels of a kind of cook are in time on no day, whichever steriliser it is."""
    rows = [each.first for each in ready if each.kind == kind]
    return bool(rows) and all(first is None for row in rows for first in row)


def _usable(
    staffed: Staffed, steriliser: Steriliser, kind: CookKind, loaded: date, ends: float
) -> date | None:
    """Return the first day on which a load may be inoculated; None if it keeps not so long.

    ``ends`` are the hours from midnight of its day to the end of the cook. [h]
    """
    book = staffed.book
    opened = staffed.opened(steriliser, moment_at(loaded, ends))
    pouring = pouring_minutes(book, kind)
    if opened is not None and pouring:
        poured = staffed.first_from(opened, pouring, in_laboratory=True)
        if (poured is None or poured.date() != opened.date()) and _is_poured_on_some_day(
            staffed, steriliser, kind, loaded, pouring
        ):
            return None  # it would have set
        opened = poured
    day = staffed.usable_on(
        opened,
        _cooling(book, kind),
        transfer_hours(book, kind),
        in_laboratory=is_for_laboratory(book, kind.code),
    )
    if day is None or (day - loaded).days > prepared_days(book, kind.code):
        return None
    return day


def pouring_minutes(book: FarmBook, kind: CookKind) -> float:
    """Return how long laboratory work takes that goes with a cook, such as pouring its agar. [min].

    That is what a route asks for nearer to the cook than to the inoculation, of the least batch.
    """
    return max(
        (
            each.minutes_fixed + each.minutes_per_unit * max(1, step.minimum_batch)
            for step in _steps_of(book, kind)
            for lead in [_cook_lead(step)]
            for each in step.preparations
            if each.task not in {COOK, COOL}
            and each.room is RoomKind.LABORATORY
            and lead - each.lead_hours <= each.lead_hours < lead
        ),
        default=0.0,
    )


def _is_poured_on_some_day(
    staffed: Staffed, steriliser: Steriliser, kind: CookKind, first: date, minutes: float
) -> bool:
    """Say whether a load of some day of a week is opened while somebody is there who pours it."""
    for ahead in range(DAYS_OF_WEEK):
        day = first + timedelta(days=ahead)
        own = loaded_on(staffed.book, steriliser, day)
        if own is None or not staffed.works_on(day):
            continue
        opened = staffed.opened(own, moment_at(day, clock_hours(own.load_at) + kind.hours))
        poured = opened and staffed.first_from(opened, minutes, in_laboratory=True)
        if opened and poured and poured.date() == opened.date():
            return True
    return False


def _ready(
    staffed: Staffed, steriliser: Steriliser, kind: CookKind, work: WorkDays, *, is_last: bool
) -> tuple[int | None, ...]:
    found: list[int | None] = []
    for number in range(work.days):
        loaded = work.start + timedelta(days=number)
        own = loaded_on(staffed.book, steriliser, loaded)
        if own is None:
            found.append(None)
            continue
        load_at = clock_hours(own.load_at)
        ends = load_at + kind.hours
        if is_last and own.cooks_per_day > 1:
            ends = max(ends, load_at + own.hours_per_day)
        day = _usable(staffed, own, kind, loaded, ends)
        found.append((day - work.start).days if day is not None else None)
    return tuple(found)


def transfer_hours(book: FarmBook, kind: CookKind) -> float:
    """Return how long the vessels of a full cook are worked on when they are cool.

    Parameters
    ----------
    book : FarmBook
        The farm; whoever may do the work shares it.
    kind : CookKind
        Of the cook.

    Returns
    -------
    float
        Of the step that takes longest, from ``LAST_TRANSFER_HOURS`` to ``LONGEST_TRANSFER_HOURS``.
        [h]
    """
    longest = 0.0
    for step in _steps_of(book, kind):
        is_clean = _is_clean(step)
        people = sum(
            any(map(hours_count, w.hours)) and (w.laboratory or not is_clean) for w in book.workers
        )
        litres = litres_of(book, step)
        units = kind.litres / litres if litres > 0.0 else 0.0
        each = step.bench_minutes if is_clean else step.hands_minutes
        minutes = step.bench_setup_minutes + each * units / max(1, people)
        longest = max(longest, minutes / MINUTES)
    return min(max(LAST_TRANSFER_HOURS, longest), LONGEST_TRANSFER_HOURS)


def is_for_laboratory(book: FarmBook, cook: str) -> bool:
    """Say whether all that a kind of cook makes ready is inoculated by people of the laboratory.

    Where nobody may work there, it is by whoever is here.
    """
    steps = [
        step
        for route in book.routes
        for step in route.steps
        if step.kind is not StepKind.BUY and step.cook == cook
    ]
    is_staffed = any(w.laboratory and any(map(hours_count, w.hours)) for w in book.workers)
    return is_staffed and bool(steps) and all(map(_is_clean, steps))


def _is_clean(step: Step) -> bool:
    return step.bench_minutes > 0.0 or step.bench_setup_minutes > 0.0


def _cooling(book: FarmBook, kind: CookKind) -> float:
    return cooling_hours(_steps_of(book, kind), kind.hours)


def _steps_of(book: FarmBook, kind: CookKind) -> tuple[Step, ...]:
    return tuple(
        step
        for route in book.routes
        for step in route.steps
        if step.kind is not StepKind.BUY and step.cook == kind.code
    )
