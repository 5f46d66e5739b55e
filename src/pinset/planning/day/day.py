"""Fit one day's work round the hours that do not move, cleanest rooms first.

Fixed work is set first. Then the laboratory, then what has a latest end, then the rest in the order
of cleanliness; work that follows other work begins when that has ended. Each piece goes to whoever
can begin it first without going from dirtier to cleaner rooms; dirty work is kept with as few
people as the clock allows. Where something would so end too late, what it waits for is as urgent as
it is, if that mends it. Nobody goes from a grow room back to the laboratory if it can be helped;
where order, clock and hours cannot all be kept, that is said. On a day too short for all of it,
what is due today comes before what can wait.
"""

from __future__ import annotations

import operator
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import time

from pinset.chain.day_hours import Span
from pinset.planning.day.due_first import due_first
from pinset.planning.day.misfits import does_not_fit, ends_late, passes_on
from pinset.planning.day.tasks import CLEANEST, DIRTIEST, Task, in_turn, minute_of

__all__ = ["FittedDay", "Hands", "Slot", "Task", "fit_day"]


@dataclass(frozen=True, slots=True)
class Hands:
    """A person who may be here today."""

    code: str
    name: str
    spans: tuple[Span, ...]  # from when until when they are here today; none: not at all
    laboratory: bool = True

    @property
    def minutes(self) -> int:
        """Working time today. [min]."""
        return sum(each.minutes for each in self.spans)


@dataclass(frozen=True, slots=True)
class Slot:
    """When a task is done, and by whom it could be."""

    key: str
    start: time
    person: str


@dataclass(frozen=True, slots=True)
class FittedDay:
    """Clock times, and what could not be kept."""

    slots: tuple[Slot, ...]
    unplaced: tuple[str, ...]  # keys of tasks for which no hours are left
    warnings: tuple[str, ...]


@dataclass(slots=True)
class _Busy:
    start: int
    end: int
    rank: int
    is_fixed: bool


def _never_back(first: int, second: int) -> bool:
    """Say whether work must come before other work whatever the clock says."""
    return first == CLEANEST and second == DIRTIEST


@dataclass(slots=True)
class _Person:
    hands: Hands
    spans: tuple[Span, ...]  # what is left of them, earliest first
    busy: list[_Busy] = field(default_factory=list)

    @property
    def ends(self) -> int:
        """When they go home."""
        return max(each.ends for each in self.hands.spans)

    def gap(self, task: Task, since: int, until: int, *, strictly: bool) -> int | None:
        """Return the first minute at which the work fits, in the order of cleanliness.

        ``strictly``: after all cleaner work and before all dirtier work that is not at a fixed
        hour; otherwise only never from a grow room to the laboratory.
        """
        begin, limit = since, until
        for each in self.busy:
            precedes = operator.lt if strictly and not each.is_fixed else _never_back
            if precedes(each.rank, task.rank):
                begin = max(begin, each.end)
            if precedes(task.rank, each.rank):
                limit = min(limit, each.start)
        return self._first(begin, limit, task.minutes)

    def any_gap(self, task: Task, since: int) -> int | None:
        """Return the first minute at which the hours alone suffice."""
        return self._first(since, self.ends, task.minutes)

    def _first(self, since: int, until: int, minutes: int) -> int | None:
        taken = sorted(self.busy, key=lambda busy: busy.start)
        for span in self.spans:
            begin, limit = max(since, span.begins), min(until, span.ends)
            for each in taken:
                if begin + minutes <= min(each.start, limit):
                    return begin
                begin = max(begin, each.end)
            if begin + minutes <= limit:
                return begin
        return None

    def is_here(self, start: int, end: int) -> bool:
        """Say whether the person works all through that time."""
        return any(span.holds(start, end - start) for span in self.spans)

    def clashes(self, start: int, end: int) -> bool:
        """Say whether the person has other work then."""
        return any(each.start < end and start < each.end for each in self.busy)

    def does(self, rank: int) -> bool:
        """Say whether the person has work of that rank today."""
        return any(each.rank == rank for each in self.busy)


@dataclass(slots=True)
class _Day:
    """One call of :func:`fit_day` while it goes on."""

    here: list[_Person]
    is_listed: bool = True  # whose hours are known, also if nobody is here today
    laid_at: int = 0  # minute of the day: what was fixed before it has passed
    slots: list[Slot] = field(default_factory=list)
    begins: dict[str, int] = field(default_factory=dict)
    ends: dict[str, int] = field(default_factory=dict)
    warnings: list[str] = field(default_factory=list)
    late: dict[time, list[tuple[str, int]]] = field(default_factory=dict)  # by latest end
    unplaced: list[Task] = field(default_factory=list)

    @property
    def too_late(self) -> int:
        """Return how many tasks end later than they should."""
        return sum(map(len, self.late.values()))

    def take(self, task: Task, start: int, person: _Person | None) -> None:
        """Set a task into the day."""
        end = start + task.minutes
        if person is not None:
            keeps_hour = task.fixed_at is not None or task.comes_first
            person.busy.append(_Busy(start, end, task.rank, keeps_hour))
        self.begins[task.key], self.ends[task.key] = start, end
        code = person.hands.code if person else ""
        self.slots.append(Slot(task.key, _clock(start), code))

    def since(self, task: Task) -> int:
        """Return when a task may begin: its own earliest hour, and after what comes before it."""
        own = minute_of(task.earliest) if task.earliest else 0
        passed = (self.begins[key] + rest for key, rest in task.rests if key in self.begins)
        return max([own, *(self.ends.get(key, 0) for key in task.after), *passed])


def _clock(minute: int) -> time:
    return time(min(23, minute // 60), minute % 60)


def fit_day(tasks: Sequence[Task], people: Sequence[Hands], since: time | None = None) -> FittedDay:
    """Return clock times for the day's tasks, and what could not be kept.

    Parameters
    ----------
    tasks : sequence of Task
        What is to be done; minutes of work each. [min]
    people : sequence of Hands
        Who is here, and when.
    since : time, optional
        When the day is laid out, if that is later: nothing begins before it, and people go home no
        later for it.

    Returns
    -------
    FittedDay
        Every fixed task keeps its time, even where nobody is free for it; then it is said so.
    """
    begins = min((span.begins for each in people for span in each.spans), default=0)
    laid_at = minute_of(since) if since else 0

    def lay(some: Sequence[Task]) -> _Day:
        day = _laid(some, people, laid_at, is_urgent=laid_at > begins)
        if laid_at <= begins and day.too_late:
            urgent = _laid(some, people, laid_at, is_urgent=True)
            day = min(day, urgent, key=lambda each: (len(each.unplaced), each.too_late))
        return day

    day = due_first(tasks, lay, lay(tasks))
    unplaced = day.unplaced
    day.warnings += [said for task in unplaced if (said := _waits_for(task, tasks, day))]
    day.warnings += [ends_late(latest, tasks) for latest, tasks in day.late.items()]
    if unplaced and people and laid_at > begins:
        ends = max((person.ends for person in day.here), default=0)
        day.warnings.append(passes_on(unplaced, ends, laid_at))
    elif unplaced:
        day.warnings.append(does_not_fit(unplaced))
    slots = sorted(day.slots, key=lambda slot: (slot.start, slot.key))
    return FittedDay(tuple(slots), tuple(task.key for task in unplaced), tuple(day.warnings))


def _laid(tasks: Sequence[Task], people: Sequence[Hands], laid_at: int, *, is_urgent: bool) -> _Day:
    """Return the day laid out: fixed work first, then the rest in its turn."""
    here = [_Person(each, _left(each.spans, laid_at)) for each in people if each.spans]
    day = _Day(here, bool(people), laid_at)
    for task in sorted((t for t in tasks if t.fixed_at is not None), key=_fixed_order):
        _set_fixed(task, day)
    free = in_turn([task for task in tasks if task.fixed_at is None], is_urgent=is_urgent)
    day.unplaced = [task for task in free if not _set_free(task, day)]
    return day


def _left(spans: Sequence[Span], laid_at: int) -> tuple[Span, ...]:
    """Return what is left of a person's times from a minute on."""
    return tuple(
        Span(max(each.begins, laid_at), each.ends) for each in sorted(spans) if each.ends > laid_at
    )


def _waits_for(task: Task, tasks: Sequence[Task], day: _Day) -> str:
    """Return that a task must wait so long for another that today does not hold it, if it must."""
    words = {each.key: each.words for each in tasks}
    rest, key = max(((m, k) for k, m in task.rests if k in day.begins), default=(0, ""))
    last = max((person.ends for person in day.here), default=0)
    if not rest or day.begins[key] + rest + task.minutes <= last:
        return ""
    hours, minutes = divmod(rest, 60)
    return (
        f"Not today: {task.words}: {hours} h {minutes:02} min must pass after the begin of "
        f"{words[key]} at {_clock(day.begins[key]):%H:%M}."
    )


def _fixed_order(task: Task) -> tuple[int, str]:
    return (minute_of(task.fixed_at or time(0)), task.key)


def _set_fixed(task: Task, day: _Day) -> None:
    start = minute_of(task.fixed_at or time(0))
    end = start + task.minutes
    able = [p for p in day.here if p.hands.laboratory or not task.needs_laboratory]
    free = [p for p in able if p.is_here(start, end) and not p.clashes(start, end)]
    # Whoever is not for the laboratory first, so that its people stay clean.
    free.sort(
        key=lambda p: (
            bool(task.prefers) and p.hands.code != task.prefers,
            p.hands.laboratory,
            len(p.busy),
            p.hands.code,
        )
    )
    if not free and day.is_listed and start >= day.laid_at and not _is_after_work(task, day):
        word = "free" if any(p.is_here(start, end) for p in able) else "here"
        day.warnings.append(f"Nobody is {word} at {_clock(start):%H:%M} for {task.words}.")
    day.take(task, start, free[0] if free else None)


def _is_after_work(task: Task, day: _Day) -> bool:
    """Say whether somebody comes for fixed work when all have gone home."""
    start = minute_of(task.fixed_at or time(0))
    until = minute_of(task.comes_until) if task.comes_until else -1
    return bool(day.here) and max(person.ends for person in day.here) <= start <= until


def _set_free(task: Task, day: _Day) -> bool:
    is_clean_work = task.needs_laboratory or task.rank == CLEANEST
    allowed = [p for p in day.here if p.hands.laboratory or not is_clean_work]
    until = minute_of(task.latest_end) if task.latest_end else 24 * 60
    since = day.since(task)
    choice = _best(task, allowed, since, until, strictly=True)
    if choice is None:
        choice = _best(task, allowed, since, until, strictly=False)
    if choice is None and task.latest_end is not None:
        choice = _best(task, allowed, since, 24 * 60, strictly=False)
        if choice is not None:
            late = day.late.setdefault(task.latest_end, [])
            late.append((task.words, choice[0] + task.minutes))
    if choice is None:
        choice = _out_of_order(task, allowed, since)
        if choice is None:
            return False
        start, person = choice
        day.warnings.append(
            f"Clean before dirty and the clock cannot both be kept: {task.words} "
            f"({_clock(start):%H:%M}) and work in the grow rooms fall to {person.hands.name}. "
            "Wash and change between them."
        )
    day.take(task, *choice)
    return True


def _best(
    task: Task, allowed: Sequence[_Person], since: int, until: int, *, strictly: bool
) -> tuple[int, _Person] | None:
    found = []
    for person in allowed:
        start = person.gap(task, since, until, strictly=strictly)
        if start is not None:
            is_other = bool(task.prefers) and person.hands.code != task.prefers
            dislike = _dislike(person, task)
            # Dirty work goes to whoever is dirty already, other work to whoever is free first.
            first, second = (dislike, start) if task.rank == DIRTIEST else (start, dislike)
            found.append((is_other, first, second, person.hands.code, start, person))
    if not found:
        return None
    *_, start, person = min(found, key=lambda each: each[:4])
    return start, person


def _dislike(person: _Person, task: Task) -> int:
    """Return how little this person suits: the clean stay clean, the dirty do the dirty work."""
    is_clean = person.does(CLEANEST)
    if task.comes_first:
        return int(person.hands.laboratory)
    if task.rank == CLEANEST:
        return 0 if is_clean else 1
    if task.rank == DIRTIEST:
        is_dirty = person.does(DIRTIEST)
        return 0 if is_dirty else 1 + person.hands.laboratory + 2 * is_clean
    return 1 if is_clean else 0


def _out_of_order(task: Task, allowed: Sequence[_Person], since: int) -> tuple[int, _Person] | None:
    """Return a gap without regard to cleanliness, if the hours alone would suffice."""
    found = [
        (start, person.hands.code, person)
        for person in allowed
        if (start := person.any_gap(task, since)) is not None
    ]
    if not found:
        return None
    start, _, person = min(found, key=lambda each: each[:2])
    return start, person
