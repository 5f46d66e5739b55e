"""The days on which a promise falls due."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import Promise


def due_days(promise: Promise, first: date, last: date) -> tuple[date, ...]:
    """Return every day from ``first`` to ``last``, both included, on which the promise is due.

    Parameters
    ----------
    promise : Promise
        Weekly (``weekday``, within ``from_date`` and ``until`` where given) or once (``on_date``).
    first, last : date
        The window asked about.

    Examples
    --------
    >>> from pinset.chain.register import Weekday
    >>> friday = Promise("p1", "market", "grey-oyster", 35_000, weekday=Weekday.FRI)
    >>> [day.isoformat() for day in due_days(friday, date(2026, 3, 1), date(2026, 3, 14))]
    ['2026-03-06', '2026-03-13']
    """
    if promise.on_date is not None:
        return (promise.on_date,) if first <= promise.on_date <= last else ()
    if promise.weekday is None:
        return ()
    begin = max(first, promise.from_date or first)
    end = min(last, promise.until or last)
    day = begin + timedelta(days=(promise.weekday.number - begin.weekday()) % 7)
    days = []
    while day <= end:
        days.append(day)
        day += timedelta(days=7)
    return tuple(days)
