"""How long a step takes in the months it falls into, where no climate control evens them out.

A step may say for each month how long its days are, as a share of the route's own days. In a month
of share 1.25 a calendar day counts for 0.8 of a usual one; a step is over when its usual days have
been counted. So a step that reaches into the next month takes from both, and what began later is
never ready sooner.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from pinset.chain.register import Spread, Step

MONTHS = 12
LEAST_SHARE = 0.2
MOST_SHARE = 5.0
"""A month in which a step takes less than a fifth or over five times its usual days is a slip of
the pen rather than a season; common practice, no source."""


def lasting_days(shares: Sequence[float], since: date, usual_days: float) -> float:
    """Return the calendar days in which so many usual days pass.

    Parameters
    ----------
    shares : sequence of float
        Of the usual days, January first; empty: every month is usual. [-]
    since : date
        The day it begins.
    usual_days : float
        Days by the route. [d]

    Returns
    -------
    float
        Calendar days from ``since``; 0 or less as given. [d]

    Examples
    --------
    >>> lasting_days((2.0,) * 12, date(2026, 1, 1), 10.0)
    20.0
    >>> lasting_days((), date(2026, 1, 1), 10.0)
    10.0
    """
    if not shares or usual_days <= 0.0:
        return usual_days
    passed, left, day = 0.0, usual_days, since
    while True:
        share = shares[day.month - 1]
        here = float((_next_month(day) - day).days)
        if left * share <= here:
            return passed + left * share
        passed, left, day = passed + here, left - here / share, _next_month(day)


def usual_days(shares: Sequence[float], since: date, until: date) -> float:
    """Return the usual days for which the calendar days between two dates count.

    Parameters
    ----------
    shares : sequence of float
        Of the usual days, January first; empty: every month is usual. [-]
    since, until : date
        From the first to before the second; 0 days if that is not later.

    Examples
    --------
    >>> usual_days((2.0,) * 12, date(2026, 1, 1), date(2026, 1, 21))
    10.0
    """
    if not shares:
        return float(max(0, (until - since).days))
    counted, day = 0.0, since
    while day < until:
        ends = min(until, _next_month(day))
        counted += (ends - day).days / shares[day.month - 1]
        day = ends
    return counted


def lasting_spread(shares: Sequence[float], since: date, spread: Spread) -> Spread:
    """Return the spread of days of something that begins on a day, in calendar days.

    Parameters
    ----------
    shares : sequence of float
        Of the usual days, January first; empty: every month is usual. [-]
    since : date
        The day it begins.
    spread : Spread
        Least, most likely and most days by the route. [d]
    """
    if not shares:
        return spread
    low, mode, high = (
        lasting_days(shares, since, each) for each in (spread.low, spread.mode, spread.high)
    )
    return Spread(low, mode, high)


def days_from(step: Step, since: date) -> Spread:
    """Return the days of a step that begins on a day, until its units are ready.

    Parameters
    ----------
    step : Step
        With the months' shares, if it has any.
    since : date
        The day it begins.
    """
    return lasting_spread(step.days_by_month, since, step.days)


def _next_month(day: date) -> date:
    first = day.replace(day=1)
    return (first + timedelta(days=31)).replace(day=1)
