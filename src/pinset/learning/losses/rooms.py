"""Grow rooms: flies on traps and signs on what fruits, held against the farm's own usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from pinset.learning.charts.laws import FLIES, UNITS, Believed, Floats, Law
from pinset.learning.charts.own_usual import FEWEST, Followed, Level, Rise, followed
from pinset.learning.charts.trends import Trend, trend
from pinset.learning.losses.alarms import LOOKED_BACK_DAYS

ON_TRAPS = ""
"""Stands for the flies on sticky traps where else the key of a sign stands."""

FALSE_A_YEAR = 2.0
"""False alarms that a quiet farm has at most a year from the traps of all its rooms, and as many
from all signs in all rooms; our own choice."""

TREND_DAYS = 56
"""The trend is that of so many days before the last count."""

_FLIES_BELIEVED = Believed(1.0, 2.0)
"""Flies per trap and day of a farm that has counted none yet: anything from a fiftieth to fifty;
assumed, no source."""

_SHARE_BELIEVED = Believed(0.01, 1.5)
"""Share of units that show a sign on a farm that has not looked yet; assumed, no source."""

_OTHER_ROOMS_SD = 1.0  # of the logarithm: how rooms of one farm differ; assumed, no source
_FEWEST_BETWEEN = 20.0
_YEAR_DAYS, _DAY_S = 365.0, 86_400.0
_SHORT_DAYS = 28.0
_A_YEAR = 52.0  # counts of a room that has not counted for four weeks yet
_MOST_POINTS = 60


@dataclass(frozen=True, slots=True)
class RoomCount:
    """One count of one room."""

    at: datetime
    found: int
    of: float  # traps times days, or units that were looked at


@dataclass(frozen=True, slots=True)
class RoomCounts:
    """Counts of one thing in one room, the oldest first."""

    room: str
    sign: str  # key of the table of signs, or `ON_TRAPS`
    counts: tuple[RoomCount, ...]
    left_out: int = 0  # of which it is not known on how much they were counted


@dataclass(frozen=True, slots=True)
class Usual:
    """What is usual of a room, with the range in which it lies with 95 % certainty."""

    value: float  # flies per trap and day, or share of units
    low: float
    high: float
    counts: int  # it rests on


@dataclass(frozen=True, slots=True)
class RoomPoint:
    """One count as it is drawn, per trap and day or as a share."""

    at: datetime
    found: int
    of: float
    value: float
    limit: float | None  # from which on it raised an alarm; None: no single count does yet
    is_raised: bool  # it belongs to a rise that raised an alarm


@dataclass(frozen=True, slots=True)
class RoomAlarm:
    """A rise that raised an alarm."""

    since: datetime  # its first count
    at: datetime  # the count that raised the alarm
    until: datetime  # its last count
    counts: int
    found: int
    of: float
    usual: float  # value before it
    goes_on: bool


@dataclass(frozen=True, slots=True)
class RoomChart:
    """One thing that is counted in one room."""

    room: str
    sign: str
    counts: int
    found: int
    of: float
    first_at: datetime
    last_at: datetime
    usual: Usual | None  # None: too few counts yet
    trend: Trend | None
    trend_found: int  # in the counts of the trend
    alarm: RoomAlarm | None  # the last one of half a year
    between: float  # counts between false alarms on a quiet farm, at least
    a_year: float  # counts a year
    left_out: int
    points: tuple[RoomPoint, ...]  # of half a year, the oldest first


def room_charts(rooms: Sequence[RoomCounts], now: datetime, signs: int) -> tuple[RoomChart, ...]:
    """Return a chart of everything that was counted in rooms.

    Parameters
    ----------
    rooms : sequence of RoomCounts
        Those without a count are left out.
    now : datetime
        From which half a year is counted back.
    signs : int
        How many signs are followed in every room, those never seen included: all of them share the
        false alarms.

    Notes
    -----
    A room begins with what the other rooms of the farm had shown before its own first count, worth
    little, or with next to nothing.
    """
    counted = [each for each in rooms if each.counts]
    return tuple(_chart(each, counted, now, signs) for each in counted)


def _chart(
    own: RoomCounts, everything: Sequence[RoomCounts], now: datetime, signs: int
) -> RoomChart:
    law = FLIES if own.sign == ON_TRAPS else UNITS
    found = np.array([each.found for each in own.counts], dtype=float)
    of = np.array([each.of for each in own.counts])
    days = _days(own.counts)
    believed = _believed(own, everything)
    a_year = _a_year(days)
    kind = [each for each in everything if (each.sign == ON_TRAPS) == (own.sign == ON_TRAPS)]
    charts = len({each.room for each in kind}) * (1 if own.sign == ON_TRAPS else signs)
    between = max(a_year * charts / FALSE_A_YEAR, _FEWEST_BETWEEN)
    since = now - timedelta(days=LOOKED_BACK_DAYS)
    shown = [at for at, each in enumerate(own.counts) if since <= each.at <= now][-_MOST_POINTS:]
    first = shown[0] if shown else len(own.counts)
    told = followed(law, found, of, days, believed=believed, between=between, limits_from=first)
    late = days > days[-1] - TREND_DAYS
    return RoomChart(
        room=own.room,
        sign=own.sign,
        counts=len(own.counts),
        found=int(found.sum()),
        of=float(of.sum()),
        first_at=own.counts[0].at,
        last_at=own.counts[-1].at,
        usual=_usual(law, told.usual, told.learnt) if told.learnt > FEWEST else None,
        trend=trend(law, found[late], of[late], days[late], believed),
        trend_found=int(found[late].sum()),
        alarm=_alarm(law, own.counts, told.rises, since),
        between=between,
        a_year=a_year,
        left_out=own.left_out,
        points=tuple(_point(own.counts[at], at, told) for at in shown),
    )


def _days(counts: Sequence[RoomCount]) -> Floats:
    return np.array([(each.at - counts[0].at).total_seconds() / _DAY_S for each in counts])


def _a_year(days: Floats) -> float:
    if days[-1] < _SHORT_DAYS:
        return _A_YEAR
    return float((days.size - 1) / days[-1] * _YEAR_DAYS)


def _believed(own: RoomCounts, everything: Sequence[RoomCounts]) -> Believed:
    """Return what the other rooms had shown of it before this one began."""
    before = [
        count
        for each in everything
        if each.sign == own.sign and each.room != own.room
        for count in each.counts
        if count.at < own.counts[0].at
    ]
    if len(before) < FEWEST:
        return _FLIES_BELIEVED if own.sign == ON_TRAPS else _SHARE_BELIEVED
    rate = (sum(each.found for each in before) + 0.5) / sum(each.of for each in before)
    return Believed(rate, _OTHER_ROOMS_SD)


def _value(law: Law, rate: float) -> float:
    """Return what a rate is shown as."""
    return float(-np.expm1(-rate)) if law.is_share else rate


def _usual(law: Law, level: Level, counts: int) -> Usual:
    low, high = _value(law, level.low), _value(law, level.high)
    return Usual(_value(law, level.rate), low, high, counts)


def _point(count: RoomCount, at: int, told: Followed) -> RoomPoint:
    limit = told.limits[at]
    return RoomPoint(
        at=count.at,
        found=count.found,
        of=count.of,
        value=count.found / count.of,
        limit=None if limit is None else limit / count.of,
        is_raised=any(rise.first <= at <= rise.last for rise in told.rises),
    )


def _alarm(
    law: Law, counts: Sequence[RoomCount], rises: Sequence[Rise], since: datetime
) -> RoomAlarm | None:
    late = [rise for rise in rises if rise.goes_on or counts[rise.alarm].at >= since]
    if not late:
        return None
    rise = late[-1]
    its = counts[rise.first : rise.last + 1]
    return RoomAlarm(
        since=its[0].at,
        at=counts[rise.alarm].at,
        until=its[-1].at,
        counts=len(its),
        found=sum(each.found for each in its),
        of=sum(each.of for each in its),
        usual=_value(law, rise.usual),
        goes_on=rise.goes_on,
    )
