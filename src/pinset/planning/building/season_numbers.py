"""What a variety's steps take on each day of the plan, where their days follow the months."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from pinset.chain.readiness import lead_days
from pinset.chain.register import FarmBook, Step, Variety
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, curve_of, stays_of
from pinset.planning.recipes import Months


def lead_from(steps: Sequence[Step], begins_on: date) -> int:
    """Return the days of consecutive steps, the first of which begins on a day."""
    day = 0
    for step in steps:
        day += lead_days(step, since=begins_on + timedelta(days=day))
    return day


def months_of(book: FarmBook, steps: Sequence[Step], start: date, days: int) -> tuple[Months, ...]:
    """Return how long units take that are started on each day; nothing where it is always alike.

    Parameters
    ----------
    book : FarmBook
        The farm.
    steps : sequence of Step
        One that makes units, and the standing that follows it.
    start, days : date, int
        Day 0 of the plan, and how far it looks.
    """
    if not any(step.days_by_month for step in steps):
        return ()
    found = []
    for day in range(days):
        begins_on = start + timedelta(days=day)
        stays = stays_of(book, steps, begins_on=begins_on)
        found.append(Months(lead_from(steps, begins_on), stays))
    return tuple(found)


def pick_days_of(
    step: Step, variety: Variety, start: date, days: int
) -> tuple[tuple[int, ...], ...]:
    """Return the days of the picking curve by day of entry; nothing where it is always alike."""
    if not step.days_by_month:
        return ()
    return tuple(
        tuple(
            each.day
            for each in curve_of(step, variety, DEFAULT_SAFETY, entered=start + timedelta(days=day))
        )
        for day in range(days)
    )
