"""Which days work can be done on: the farm's working days, days off, and fixed weekdays.

Day numbers count from the first day of the plan.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from pinset.chain.register import Farm, Preparation, Weekday

WEEK = 7
INOCULATION_HOUR = 9  # clock hour that preparation lead hours are counted back from


@dataclass(frozen=True, slots=True)
class WorkDays:
    """The working days of one planning horizon."""

    start: date
    days: int
    working: tuple[bool, ...]
    open_on: frozenset[int] = frozenset()  # weekdays worked, Monday 0

    @classmethod
    def of(cls, farm: Farm, start: date, days: int) -> WorkDays:
        """Return the farm's working days from ``start`` on."""
        off = set(farm.days_off)
        open_on = frozenset(weekday.number for weekday in farm.working_days)
        dates = [start + timedelta(days=day) for day in range(days)]
        working = tuple(d.weekday() in open_on and d not in off for d in dates)
        return cls(start, days, working, open_on)

    def date_of(self, day: int) -> date:
        """Return the date of a day number."""
        return self.start + timedelta(days=day)

    def weekday(self, day: int) -> int:
        """Return the weekday of a day number, Monday 0."""
        return (self.start.weekday() + day) % 7

    def is_day_off(self, day: int) -> bool:
        """Say whether a weekday that is worked otherwise is free: nobody is there for a delivery.

        A weekday that is never worked is not: a supplier may have been asked to come on it.
        """
        return self.weekday(day) in self.open_on and not self.working[day]

    def on_or_before(self, day: int) -> int | None:
        """Return the last working day not after a day, or None if there is none from day 0 on."""
        return next((d for d in range(min(day, self.days - 1), -1, -1) if self.working[d]), None)

    def on_or_after(self, day: int) -> int | None:
        """Return the first working day not before a day, or None within the horizon."""
        return next((d for d in range(max(day, 0), self.days) if self.working[d]), None)

    def on_weekdays(self, weekdays: Collection[int], until: int) -> tuple[int, ...]:
        """Return the working days before ``until`` that fall on the weekdays.

        A fixed day that is a day off moves to the working day before it.
        """
        found = set()
        for day in range(min(until, self.days)):
            if self.weekday(day) in weekdays:
                moved = self.on_or_before(day)
                if moved is not None and day - moved < WEEK:
                    found.add(moved)
        return tuple(sorted(found))

    def every(self, until: int) -> tuple[int, ...]:
        """Return all working days before ``until``."""
        return tuple(day for day in range(min(until, self.days)) if self.working[day])


def rhythm(given: Iterable[Weekday], farm: Farm, turn: int, *, times: int = 2) -> frozenset[int]:
    """Return the weekdays a step keeps: the farm's own, or ``times`` days spread over its week.

    ``turn`` staggers recipes and steps so that they do not all fall on the same day.
    """
    own = frozenset(weekday.number for weekday in given)
    if own:
        return own
    open_on = sorted(weekday.number for weekday in farm.working_days)
    if len(open_on) <= times:
        return frozenset(open_on)
    stride = len(open_on) / times
    return frozenset(open_on[(turn + round(stride * each)) % len(open_on)] for each in range(times))


def days_before(preparation: Preparation) -> int:
    """Return on which day before the inoculation a preparation falls, from its lead hours."""
    return max(0, ceil((preparation.lead_hours - INOCULATION_HOUR) / 24.0))
