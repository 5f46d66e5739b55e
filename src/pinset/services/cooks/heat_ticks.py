"""Times at which a drawn cook is marked: round by the clock if its log has one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

STEPS_MIN = (5, 10, 15, 30, 60, 120, 240, 360, 720, 1440, 2880, 4320, 5760, 10080)
HOUR, DAY = 60, 1440
HALF_A_MINUTE = timedelta(seconds=30)


@dataclass(frozen=True, slots=True)
class TimeTick:
    """A mark on the axis of time."""

    minute: float  # since the start
    moment: datetime | None  # to the minute; None: the log has no clock
    is_midnight: bool  # of a log that goes over days: the date says more than the hour


def clock(minute: float, started: str, zone: tzinfo) -> datetime | None:
    """Return the moment so many minutes after the start, to the minute; None: no start.

    Parameters
    ----------
    minute : float
        Since the start.
    started : str
        ISO 8601. A start without a zone is the logger's own clock and stays as it is.
    zone : tzinfo
        The farm's.

    Raises
    ------
    ValueError
        If the start is no ISO 8601 time.
    """
    if not started:
        return None
    moment = datetime.fromisoformat(started) + timedelta(minutes=minute) + HALF_A_MINUTE
    local = moment.astimezone(zone) if moment.tzinfo is not None else moment
    return local.replace(second=0, microsecond=0)


def time_ticks(end: float, started: str, zone: tzinfo, most: int = 5) -> tuple[TimeTick, ...]:
    """Return marks from the start to the end, about as many as ``most`` steps.

    Parameters
    ----------
    end : float
        Minutes the log lasts.
    started, zone : str, tzinfo
        As :func:`clock`.
    most : int
        Steps there is room for, 1 or more.

    Examples
    --------
    >>> from datetime import UTC
    >>> [tick.minute for tick in time_ticks(180.0, "", UTC)]
    [0.0, 60.0, 120.0, 180.0]
    >>> [f"{tick.moment:%H:%M}" for tick in time_ticks(180.0, "2026-03-02T10:37:00", UTC)]
    ['11:00', '12:00', '13:00']
    """
    step = next((each for each in STEPS_MIN if end / each <= most), STEPS_MIN[-1])
    first = 0.0
    if started:
        begin = datetime.fromisoformat(started)
        local = begin.astimezone(zone) if begin.tzinfo is not None else begin
        first = -(local.hour * HOUR + local.minute + local.second / 60.0) % min(step, DAY)
    ticks = []
    for number in range(max(0, int((end - first) // step) + 1)):
        minute = first + number * step
        moment = clock(minute, started, zone)
        is_midnight = moment is not None and end > DAY and moment.hour == moment.minute == 0
        ticks.append(TimeTick(minute, moment, is_midnight))
    return tuple(ticks)
