"""Labels on the axes of a drawn cook: clock times or hours, degrees in the farm's units."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.utils import timezone

from pinset.services.cooks.heat_ticks import DAY, HOUR, clock, time_ticks
from pinset.web.formats import MONTHS, NO_BREAK, system, temperature

MOST_TICKS = 5
METRIC_C = (20.0, 40.0, 60.0, 80.0, 100.0, 121.0)
US_F = (50, 100, 150, 200, 250)


def time_in_words(minute: float, started: str, *, with_day: bool = False) -> str:
    """Return ``13:15``, or ``2 Mar 13:15``, if the log has a clock, else ``165 min``."""
    moment = clock(minute, started, timezone.get_current_timezone())
    if moment is None:
        return f"{minute:.0f}{NO_BREAK}min"
    return f"{_day(moment)} {moment:%H:%M}" if with_day else f"{moment:%H:%M}"


def times(end: float, started: str) -> Iterator[tuple[float, str]]:
    """Yield minutes since the start, each with its label, a handful in all."""
    for tick in time_ticks(end, started, timezone.get_current_timezone(), MOST_TICKS):
        if tick.is_midnight and tick.moment is not None:
            yield tick.minute, _day(tick.moment)
        elif tick.moment is not None:
            yield tick.minute, f"{tick.moment:%H:%M}"
        elif end < MOST_TICKS * HOUR / 2:
            yield tick.minute, f"{tick.minute:.0f} min"
        else:
            yield tick.minute, f"{tick.minute / HOUR:g} h"


def _day(moment: datetime) -> str:
    return f"{moment.day}{NO_BREAK}{str(MONTHS[moment.month - 1])[:3]}"


def degrees(top_c: float) -> Iterator[tuple[float, str]]:
    """Yield degC below a limit, each with its label."""
    marks = METRIC_C if system() != "us" else tuple((each - 32) / 1.8 for each in US_F)
    for celsius in marks:
        if celsius < top_c:
            yield celsius, temperature(celsius)


__all__ = ["DAY", "MOST_TICKS", "degrees", "time_in_words", "times"]
