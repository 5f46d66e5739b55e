"""When what a cook made ready may be inoculated: its door is opened by somebody, and it is cool."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta

from pinset.chain.in_use import hours_on, loaded_on, loading_minutes, unloading_minutes
from pinset.chain.register import CookKind, FarmBook, Step, StepKind, Steriliser
from pinset.planning.building.calendar import WorkDays
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.resources import CookReady

COOK = "cook"
"""Name of the preparation that is the cook itself."""

COOL = "cool"
"""Name of the preparation between the cook and the inoculation."""

LAST_TRANSFER_HOURS = 1.0
"""A transfer begins at least so long before work ends; common practice, no source."""

LONGEST_TRANSFER_HOURS = 4.0
"""More than this is not waited for: a larger load is used over several days; common practice, no
source."""

LONGEST_PAUSE_DAYS = 31
DAY_HOURS = 24.0
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


def _cooling_of(step: Step, cook_hours: float) -> float:
    described = [p.lead_hours for p in step.preparations if p.task == COOL]
    if described:
        return max(described)
    lead = max((p.lead_hours for p in step.preparations if p.task == COOK), default=0.0)
    if any(p.lead_hours < lead for p in step.preparations):
        return 0.0
    return min(max(0.0, lead - cook_hours), LONGEST_COOLING_HOURS)


@dataclass(frozen=True, slots=True)
class Staffed:
    """The hours at which somebody is on the farm."""

    book: FarmBook
    open_on: frozenset[int] = field(init=False)

    def __post_init__(self) -> None:
        days = frozenset(each.number for each in self.book.farm.working_days)
        object.__setattr__(self, "open_on", days)

    def begins(self, day: date) -> datetime:
        """Return when work begins on a day."""
        return _at(day, _hours(self.book.farm.day_starts))

    def ends(self, day: date) -> datetime:
        """Return when the last person leaves; midnight where no person's hours are listed."""
        workers = self.book.workers
        if not workers:
            return _at(day, DAY_HOURS)
        here = max(hours_on(self.book, worker, day) for worker in workers)
        return self.begins(day) + timedelta(hours=here)

    def works_on(self, day: date) -> bool:
        """Say whether anybody works on a day."""
        farm = self.book.farm
        is_open = day.weekday() in self.open_on and day not in farm.days_off
        return is_open and self.ends(day) > self.begins(day)

    def first_from(self, moment: datetime, minutes: float = 0.0) -> datetime | None:
        """Return the first moment from this one on at which somebody is here; None in a month.

        Work of so many minutes is done before they leave; longer than a day, it begins with one.
        """
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = moment.date() + timedelta(days=ahead)
            begins, ends = self.begins(day), self.ends(day)
            found = max(moment, begins)
            latest = max(begins, ends - timedelta(minutes=minutes))
            if self.works_on(day) and found < ends and found <= latest:
                return found
        return None

    def opened(self, steriliser: Steriliser, ended: datetime) -> datetime | None:
        """Return when a steriliser is opened whose cook has ended; None: within a month never.

        Whoever opens it also unloads it before they leave.

        Parameters
        ----------
        steriliser : Steriliser
            Somebody who worked on a day comes to it after work until its ``opened_until``; where
            that is not described, it is opened only while somebody works.
        ended : datetime
            The end of the cook.
        """
        day = ended.date()
        if steriliser.opened_until and self.works_on(day):
            until = _at(day, _hours(steriliser.opened_until))
            if self.begins(day) <= ended <= until:
                return ended
        return self.first_from(ended, unloading_minutes(steriliser))

    def loads_until(self, steriliser: Steriliser, day: date) -> datetime:
        """Return until when a load may go in that follows another of a day.

        Whoever is here has loaded it before they leave; whoever comes after work to open the one
        before puts it in then.
        """
        latest = self.ends(day)
        if self.book.workers:
            latest -= timedelta(minutes=loading_minutes(steriliser))
        if not steriliser.opened_until:
            return latest
        return max(latest, _at(day, _hours(steriliser.opened_until)))

    def usable_on(
        self, opened: datetime | None, cooling: float, transfer: float = LAST_TRANSFER_HOURS
    ) -> date | None:
        """Return the first day on which what was opened is cool with time left for a transfer.

        Cooling and the transfer take so many hours; where a transfer takes longer than a day has,
        it begins with the day.
        """
        if opened is None:
            return None
        cool = opened + timedelta(hours=cooling)
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = cool.date() + timedelta(days=ahead)
            latest = self.ends(day) - timedelta(hours=transfer)
            if self.works_on(day) and cool <= max(latest, self.begins(day)):
                return day
        return None


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
    ends = _hours(own.load_at) + after_hours + kind.hours
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
        if load_at > _hours(steriliser.load_at) and each.first:
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
    opened = staffed.opened(steriliser, _at(loaded, ends))
    day = staffed.usable_on(opened, _cooling(book, kind), transfer_hours(book, kind))
    if day is None or (day - loaded).days > prepared_days(kind.code):
        return None
    return day


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
        load_at = _hours(own.load_at)
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
        is_clean = step.bench_minutes > 0.0 or step.bench_setup_minutes > 0.0
        people = sum(max(w.hours) > 0.0 and (w.laboratory or not is_clean) for w in book.workers)
        litres = litres_of(book, step)
        units = kind.litres / litres if litres > 0.0 else 0.0
        each = step.bench_minutes if is_clean else step.hands_minutes
        minutes = step.bench_setup_minutes + each * units / max(1, people)
        longest = max(longest, minutes / MINUTES)
    return min(max(LAST_TRANSFER_HOURS, longest), LONGEST_TRANSFER_HOURS)


def _cooling(book: FarmBook, kind: CookKind) -> float:
    return cooling_hours(_steps_of(book, kind), kind.hours)


def _steps_of(book: FarmBook, kind: CookKind) -> tuple[Step, ...]:
    return tuple(
        step
        for route in book.routes
        for step in route.steps
        if step.kind is not StepKind.BUY and step.cook == kind.code
    )


def _hours(clock: str) -> float:
    hour, minute = (int(part) for part in clock.split(":"))
    return hour + minute / 60.0


def _at(day: date, hours: float) -> datetime:
    return datetime.combine(day, time(0)) + timedelta(hours=hours)
