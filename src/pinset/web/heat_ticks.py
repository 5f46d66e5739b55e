"""Marks on the axes of a drawn cook: clock times or hours, degrees in the farm's units."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.utils import timezone

from pinset.web.formats import MONTHS, NO_BREAK, system, temperature

STEPS_MIN = (5, 10, 15, 30, 60, 120, 240, 360, 720, 1440, 2880, 4320, 5760, 10080)
MOST_TICKS = 5
HOUR, DAY = 60, 1440
METRIC_C = (20.0, 40.0, 60.0, 80.0, 100.0, 121.0)
US_F = (50, 100, 150, 200, 250)


def clock(minute: float, started: str) -> datetime | None:
    """Return the moment so many minutes after the start, by the farm's clock; None: no start.

    A start without a zone is the logger's own clock and stays as it is.
    """
    if not started:
        return None
    moment = datetime.fromisoformat(started) + timedelta(minutes=minute)
    return timezone.localtime(moment) if moment.tzinfo is not None else moment


def time_in_words(minute: float, started: str, *, with_day: bool = False) -> str:
    """Return ``13:15``, or ``2 Mar 13:15``, if the log has a clock, else ``165 min``."""
    moment = clock(minute, started)
    if moment is None:
        return f"{minute:.0f}{NO_BREAK}min"
    return f"{_day(moment)} {moment:%H:%M}" if with_day else f"{moment:%H:%M}"


def times(end: float, started: str) -> Iterator[tuple[float, str]]:
    """Yield minutes since the start, each with its label, a handful in all.

    With a clock they stand at round times; a midnight shows its date.
    """
    step = next((each for each in STEPS_MIN if end / each <= MOST_TICKS), STEPS_MIN[-1])
    begin = clock(0.0, started)
    if begin is None:
        for number in range(int(end / step) + 1):
            minute = float(number * step)
            yield minute, (f"{minute:.0f} min" if step < HOUR else f"{minute / HOUR:g} h")
        return
    since_midnight = begin.hour * HOUR + begin.minute + begin.second / 60.0
    first = -since_midnight % min(step, DAY)
    for number in range(int((end - first) // step) + 1):
        minute = first + number * step
        moment = clock(minute, started) or begin
        yield minute, _label(moment, with_day=end > DAY)


def _label(moment: datetime, *, with_day: bool) -> str:
    nearest = moment + timedelta(seconds=30)
    if with_day and (nearest.hour, nearest.minute) == (0, 0):
        return _day(nearest)
    return f"{nearest:%H:%M}"


def _day(moment: datetime) -> str:
    return f"{moment.day}{NO_BREAK}{str(MONTHS[moment.month - 1])[:3]}"


def degrees(top_c: float) -> Iterator[tuple[float, str]]:
    """Yield degC below a limit, each with its label."""
    marks = METRIC_C if system() != "us" else tuple((each - 32) / 1.8 for each in US_F)
    for celsius in marks:
        if celsius < top_c:
            yield celsius, temperature(celsius)
