"""Fit one day's work round the hours that do not move, cleanest rooms first.

Fixed work is set first. Then the laboratory, then what has a latest end, then the rest in the order
of cleanliness; each piece goes to whoever can begin it first without breaking the order. Nobody
goes from a grow room back to the laboratory if it can be helped; where it cannot, or where the
clock or the hours do not suffice, that is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import time

from pinset.chain.register import CLEANLINESS, RoomKind

CLEANEST = CLEANLINESS[RoomKind.LABORATORY]
DIRTIEST = CLEANLINESS[RoomKind.GROWING]


@dataclass(frozen=True, slots=True)
class Task:
    """A piece of work of one day."""

    key: str
    words: str
    minutes: int
    rank: int  # cleanliness of its room, 1 the cleanest
    fixed_at: time | None = None
    latest_end: time | None = None
    earliest: time | None = None
    needs_laboratory: bool = False  # only by somebody who may work there, whatever the room
    prefers: str = ""  # code of the person it should go to if they can begin it in order


@dataclass(frozen=True, slots=True)
class Hands:
    """A person who is here today."""

    code: str
    name: str
    minutes: int  # working time today
    laboratory: bool = True


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
    words: str


@dataclass(slots=True)
class _Person:
    hands: Hands
    begins: int
    ends: int
    busy: list[_Busy] = field(default_factory=list)

    def first_gap(self, minutes: int, rank: int, until: int, since: int = 0) -> int | None:
        """Return the first minute at which the work fits without breaking the order."""
        begin = max(self.begins, since)
        if rank == DIRTIEST:
            last_clean = [each.end for each in self.busy if each.rank == CLEANEST]
            begin = max([begin, *last_clean])
        limit = min(self.ends, until)
        if rank == CLEANEST:
            limit = min([limit, *(each.start for each in self.busy if each.rank == DIRTIEST)])
        for each in sorted(self.busy, key=lambda busy: busy.start):
            if begin + minutes <= min(each.start, limit):
                return begin
            begin = max(begin, each.end)
        return begin if begin + minutes <= limit else None

    def take(self, start: int, task: Task) -> None:
        """Set a task into the person's day."""
        self.busy.append(_Busy(start, start + task.minutes, task.rank, task.words))


def _minute(moment: time) -> int:
    return moment.hour * 60 + moment.minute


def _clock(minute: int) -> time:
    return time(min(23, minute // 60), minute % 60)


def fit_day(tasks: Sequence[Task], people: Sequence[Hands], day_starts: time) -> FittedDay:
    """Return clock times for the day's tasks, and what could not be kept.

    Parameters
    ----------
    tasks : sequence of Task
        What is to be done; minutes of work each. [min]
    people : sequence of Hands
        Who is here, with their working time. [min]
    day_starts : time
        When work begins.

    Returns
    -------
    FittedDay
        Every fixed task keeps its time, even where nobody is free for it; then it is said so.
    """
    begins = _minute(day_starts)
    here = [_Person(hands, begins, begins + hands.minutes) for hands in people if hands.minutes > 0]
    unplaced: list[str] = []
    warnings: list[str] = []
    fixed = sorted((task for task in tasks if task.fixed_at is not None), key=_fixed_order)
    slots = [_set_fixed(task, here, warnings) for task in fixed]
    for task in sorted((t for t in tasks if t.fixed_at is None), key=_free_order):
        slot = _set_free(task, here, warnings)
        if slot is None:
            unplaced.append(task.key)
        else:
            slots.append(slot)
    if unplaced:
        minutes = sum(task.minutes for task in tasks if task.key in set(unplaced))
        hours, rest = divmod(minutes, 60)
        first = next(task.words for task in tasks if task.key == unplaced[0])
        more = f" and {len(unplaced) - 1} more" if len(unplaced) > 1 else ""
        warnings.append(
            f"About {hours} h {rest:02} min do not fit into today's hours: {first}{more}."
        )
    slots.sort(key=lambda slot: (slot.start, slot.key))
    return FittedDay(tuple(slots), tuple(unplaced), tuple(warnings))


def _fixed_order(task: Task) -> tuple[int, str]:
    return (_minute(task.fixed_at or time(0)), task.key)


def _free_order(task: Task) -> tuple[int, int, int, str]:
    """Laboratory first, then by latest end, then by cleanliness; longer work before short."""
    is_clean = 0 if task.rank == CLEANEST else 1
    latest = _minute(task.latest_end) if task.latest_end else 24 * 60
    return (is_clean, latest if is_clean else 0, task.rank, f"{10_000 - task.minutes:05}{task.key}")


def _set_fixed(task: Task, here: Sequence[_Person], warnings: list[str]) -> Slot:
    start = _minute(task.fixed_at or time(0))
    able = [p for p in here if p.hands.laboratory or not task.needs_laboratory]
    free = [p for p in able if not _clashes(p, start, start + task.minutes)]
    # Whoever is not for the laboratory first, so that its people stay clean.
    free.sort(
        key=lambda p: (
            bool(task.prefers) and p.hands.code != task.prefers,
            p.hands.laboratory,
            len(p.busy),
            p.hands.code,
        )
    )
    if not free:
        if here:
            warnings.append(f"Nobody is free at {_clock(start):%H:%M} for {task.words}.")
        return Slot(task.key, _clock(start), "")
    free[0].take(start, task)
    return Slot(task.key, _clock(start), free[0].hands.code)


def _clashes(person: _Person, start: int, end: int) -> bool:
    return any(each.start < end and start < each.end for each in person.busy)


def _set_free(task: Task, here: Sequence[_Person], warnings: list[str]) -> Slot | None:
    is_clean_work = task.needs_laboratory or task.rank == CLEANEST
    allowed = [p for p in here if p.hands.laboratory or not is_clean_work]
    until = _minute(task.latest_end) if task.latest_end else 24 * 60
    choice = _earliest(task, allowed, until)
    if choice is None and task.latest_end is not None:
        choice = _earliest(task, allowed, 24 * 60)
        if choice is not None:
            end = _clock(choice[0] + task.minutes)
            warnings.append(
                f"{task.words} ends about {end:%H:%M}, later than {task.latest_end:%H:%M}."
            )
    if choice is None:
        choice = _out_of_order(task, allowed)
        if choice is None:
            return None
        start, person = choice
        warnings.append(
            f"Clean before dirty and the clock cannot both be kept: {task.words} "
            f"({_clock(start):%H:%M}) and work in the grow rooms fall to {person.hands.name}. "
            "Wash and change between them."
        )
    start, person = choice
    person.take(start, task)
    return Slot(task.key, _clock(start), person.hands.code)


def _earliest(task: Task, allowed: Sequence[_Person], until: int) -> tuple[int, _Person] | None:
    found = []
    for person in allowed:
        start = person.first_gap(task.minutes, task.rank, until, _since(task))
        if start is not None:
            is_other = bool(task.prefers) and person.hands.code != task.prefers
            found.append((is_other, start, _dislike(person, task), person.hands.code, person))
    if not found:
        return None
    _, start, _, _, person = min(found, key=lambda each: each[:4])
    return start, person


def _since(task: Task) -> int:
    return _minute(task.earliest) if task.earliest else 0


def _dislike(person: _Person, task: Task) -> int:
    """Return how little this person suits: who is in the laboratory today stays there."""
    is_clean = any(each.rank == CLEANEST for each in person.busy)
    if task.rank == CLEANEST:
        return 0 if is_clean else 1
    return 1 if is_clean else 0


def _out_of_order(task: Task, allowed: Sequence[_Person]) -> tuple[int, _Person] | None:
    """Return a gap without regard to cleanliness, if the hours alone would suffice."""
    found = []
    for person in allowed:
        begin = max(person.begins, _since(task))
        for each in sorted(person.busy, key=lambda busy: busy.start):
            if begin + task.minutes <= each.start:
                break
            begin = max(begin, each.end)
        if begin + task.minutes <= person.ends:
            found.append((begin, person.hands.code, person))
    if not found:
        return None
    start, _, person = min(found, key=lambda each: each[:2])
    return start, person
