"""Which load may serve a start, and in which order the loads of a day serve theirs in time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import permutations

from pinset.chain.register import CookKind, Steriliser
from pinset.planning.building.calendar import days_before
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.planning.model.cook_times import first_day_of
from pinset.planning.model.staffed import Staffed
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.preparing import clock_moment

MIDNIGHT = clock_moment("00:00")
MOST_ORDERED = 4
"""Loads of one day that are put into another order; more of them follow the plan's."""


@dataclass(slots=True)
class Load:
    """One cook of one day, with the batches whose vessels it treats."""

    day: date
    steriliser: Steriliser
    kind: CookKind
    number: int  # 0 for the first of its kind on that day
    of: int
    litres_left: float
    starts: list[Start] = field(default_factory=list)  # each with the units in this load
    at: datetime = MIDNIGHT  # clock time of loading, on a day that stands for any day
    waits: bool = False  # until its vessels are filled
    filled: dict[str, float] = field(default_factory=dict)
    """Litres left of each kind of vessel that is counted, for all loads of a planned cook."""


def serves(load: Load, start: Start, reader: Reader, after_hours: float = 0.0) -> bool:
    """Say whether vessels of a load are there for a start: cooked, open, cool and not too old.

    Parameters
    ----------
    load, start : Load, Start
        The cook and the batch.
    reader : Reader
        The farm's book.
    after_hours : float
        How long the load waits for other loads of its day. [h]
    """
    if not _is_of_its_kind(load, start, reader):
        return False
    step = reader.step(start.variety, start.step)
    lead = max((days_before(p) for p in step.preparations if p.task == "cook"), default=1)
    first = first_day_of(reader.book, load.steriliser, load.kind, load.day, after_hours)
    return first is not None and max(first, load.day + timedelta(days=lead)) <= start.day


def fitting(loads: Sequence[Load], start: Start, reader: Reader) -> list[Load]:
    """Return the loads that may serve a start, soonest first.

    If none is there in time, those of its kind are returned all the same: late vessels are better
    than none, and the opening says when they are cool.
    """
    found = [load for load in loads if serves(load, start, reader)]
    return found or [load for load in loads if _is_of_its_kind(load, start, reader)]


def never_used(loads: Sequence[Load], reader: Reader) -> frozenset[str]:
    """Return the sterilisers with a load of today that is open and cool on no day it keeps."""
    return frozenset(
        load.steriliser.code
        for load in loads
        if load.day == reader.today
        and first_day_of(reader.book, load.steriliser, load.kind, load.day, _waited(load)) is None
    )


def _waited(load: Load) -> float:
    """Return how much later than at its steriliser's hour it is loaded. [h]."""
    usual = clock_moment(load.steriliser.load_at)
    return max(0.0, (load.at - usual).total_seconds() / 3600.0)


def _is_of_its_kind(load: Load, start: Start, reader: Reader) -> bool:
    step = reader.step(start.variety, start.step)
    if load.kind.code != step.cook or load.day > start.day:
        return False
    return (start.day - load.day).days <= prepared_days(reader.book, step.cook)


def in_time(loads: Sequence[Load], reader: Reader) -> tuple[Load, ...]:
    """Return the loads with those of one day and steriliser in an order that serves all in time.

    Loads go in while somebody is there, if there is such an order. That of the plan if it does, or
    if none does.
    """
    days: dict[tuple[date, str], list[Load]] = {}
    for load in loads:
        days.setdefault((load.day, load.steriliser.code), []).append(load)
    ordered = {key: _ordered(mine, reader) for key, mine in days.items()}
    turns = {key: iter(mine) for key, mine in ordered.items()}
    return tuple(next(turns[load.day, load.steriliser.code]) for load in loads)


def _ordered(loads: list[Load], reader: Reader) -> Sequence[Load]:
    if not 1 < len(loads) <= MOST_ORDERED:
        return loads
    orders = [order for order in permutations(loads) if _is_numbered(order)]
    by_somebody = [order for order in orders if _is_loaded_by_somebody(order, reader)]
    for order in (*by_somebody, *orders):
        if _is_in_time(order, reader):
            return order
    return by_somebody[0] if by_somebody else loads


def _is_loaded_by_somebody(order: Sequence[Load], reader: Reader) -> bool:
    """Say whether each load goes in while somebody is there to do it."""
    day, steriliser = order[0].day, order[0].steriliser
    until = Staffed(reader.book).loads_until(steriliser, day)
    usual = datetime.combine(day, clock_moment(steriliser.load_at).time())
    waited = sum(load.kind.hours for load in order[:-1])
    return usual + timedelta(hours=waited) <= until


def _is_numbered(order: Sequence[Load]) -> bool:
    """Say whether loads of one kind keep their order."""
    kinds: dict[str, int] = {}
    for load in order:
        if load.number < kinds.get(load.kind.code, 0):
            return False
        kinds[load.kind.code] = load.number
    return True


def _is_in_time(order: Sequence[Load], reader: Reader) -> bool:
    waited = 0.0
    for load in order:
        if not all(serves(load, start, reader, waited) for start in load.starts):
            return False
        waited += load.kind.hours
    return True
