"""The one place that reads the clock, and the farm's own day.

Times in records are aware and in UTC; a day is the farm's day, in its own time zone.
"""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from pinset.errors import InputError

PRETENDED = "PINSET_TODAY"
"""Environment variable: the date to take for today, as a demo farm of another day needs it.

With an hour (``2026-03-12T12:20+01:00``) the clock stands still at that moment.
"""


PRETENDED_IN = "PINSET_TODAY_IN"
"""Environment variable: the zone in which a pretended date counts; set when a farm is opened."""


def now_utc() -> datetime:
    """Return the present moment, on the pretended day or at the pretended moment if there is one.

    Raises
    ------
    InputError
        If what is pretended is neither a date nor a moment with its offset from UTC.
    """
    now = datetime.now(UTC)
    pretended = os.environ.get(PRETENDED)
    if not pretended:
        return now
    try:
        if not hour_is_known():
            zone = ZoneInfo(os.environ.get(PRETENDED_IN) or "UTC")
            clock = now.astimezone(zone).time()
            return datetime.combine(date.fromisoformat(pretended), clock, zone).astimezone(UTC)
        moment = datetime.fromisoformat(pretended)
    except ValueError:
        moment = datetime.min  # noqa: DTZ901  (refused below, as every moment without an offset)
    if moment.tzinfo is None:
        allowed = "a date such as 2026-03-12, or a moment such as 2026-03-12T12:20+01:00"
        raise InputError(PRETENDED, pretended, allowed)
    return moment.astimezone(UTC)


def machine_now() -> datetime:
    """Return the moment by this machine's own clock, whatever day is pretended."""
    return datetime.now(UTC)


def as_shown(moment: datetime) -> datetime:
    """Return a moment of this machine, such as a file's, as the clock of :func:`now_utc` shows it.

    Nothing changes where no other day is pretended.
    """
    return moment if not os.environ.get(PRETENDED) else moment + (now_utc() - datetime.now(UTC))


def hour_is_known() -> bool:
    """Say whether the clock shows an hour of the farm's day.

    Where only a date is pretended it does not: such a day is looked at as it begins.
    """
    pretended = os.environ.get(PRETENDED, "")
    return not pretended or ":" in pretended


def wall_day(time_zone: str = "") -> date:
    """Return the present date on the wall of a place, before there is a farm that is open.

    Parameters
    ----------
    time_zone : str
        Of the place; of this machine if empty. A date that is pretended is that date everywhere, a
        moment that is pretended falls on the date that it names where no place is given.

    Raises
    ------
    InputError
        As :func:`now_utc`.
    """
    moment, pretended = now_utc(), os.environ.get(PRETENDED, "")
    if pretended and not (time_zone and hour_is_known()):
        return datetime.fromisoformat(pretended).date()
    return farm_day(moment, time_zone) if time_zone else moment.astimezone().date()


def farm_day(moment: datetime, time_zone: str) -> date:
    """Return the date on the farm's wall at that moment."""
    return moment.astimezone(ZoneInfo(time_zone)).date()


def farm_time(moment: datetime, time_zone: str) -> datetime:
    """Return the moment as the farm's clock shows it."""
    return moment.astimezone(ZoneInfo(time_zone))


def at_clock(day: date, clock: str, time_zone: str) -> datetime:
    """Return the moment a clock time such as ``10:30`` falls on that farm day, in UTC.

    A time that a change of the clocks skips is taken as the first one after it.
    """
    hours, minutes = (int(part) for part in clock.split(":"))
    local = datetime.combine(day, time(hours, minutes), ZoneInfo(time_zone))
    return local.astimezone(UTC)


def hours_before(day: date, clock: str, hours: float) -> datetime:
    """Return the wall-clock moment that many hours before a clock time, without a zone."""
    start_hours, start_minutes = (int(part) for part in clock.split(":"))
    moment = datetime.combine(day, time(start_hours, start_minutes))
    return moment - timedelta(hours=hours)
