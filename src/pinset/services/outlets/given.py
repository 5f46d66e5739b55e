"""What outlets were given: handed over, or put into the drier."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pinset.farm.queries.dried import DriedSale, dried_sales
from pinset.farm.queries.sales import ToOutlet, given_to_outlets


def given_on(first: date, last: date, time_zone: str) -> tuple[ToOutlet, ...]:
    """Return what outlets were given from a day to a day, both included."""
    zone = ZoneInfo(time_zone)
    begin = datetime.combine(first, time(0), zone)
    return given_to_outlets(begin, datetime.combine(last + timedelta(days=1), time(0), zone))


def sales_on(first: date, last: date, time_zone: str) -> tuple[DriedSale, ...]:
    """Return what was sold dried from a day to a day, both included."""
    zone = ZoneInfo(time_zone)
    begin = datetime.combine(first, time(0), zone)
    return dried_sales(begin, datetime.combine(last + timedelta(days=1), time(0), zone))


def given_by_day(first: date, last: date, time_zone: str) -> Mapping[tuple[str, date], float]:
    """Return the grams each outlet was given on each day, all varieties together."""
    found: dict[tuple[str, date], float] = {}
    for each in given_on(first, last, time_zone):
        key = (each.outlet, each.happened_at.astimezone(ZoneInfo(time_zone)).date())
        found[key] = found.get(key, 0.0) + each.grams
    return found
