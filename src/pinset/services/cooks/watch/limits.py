"""What a reading of a cook may be: other values are slips of a finger or an unplugged probe."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from pinset.errors import InputError
from pinset.services.cooks.watch.records import What
from pinset.units import Quantity, convert, parse, show

COLDEST_C, HOTTEST_C = -30.0, 160.0
LEAST_BAR, MOST_BAR = -1.0, 6.0
OLDEST = timedelta(days=2)
AHEAD = timedelta(minutes=5)


def checked(what: What, value: float, system: str = "metric") -> float:
    """Return a value that may be.

    Raises
    ------
    InputError
        If it is out of range; the range is said in the farm's units.
    """
    if what is What.GAUGE:
        low, high, quantity, factor = LEAST_BAR, MOST_BAR, Quantity.GAUGE_PRESSURE, 1e5
    else:
        low, high, quantity, factor = COLDEST_C, HOTTEST_C, Quantity.TEMPERATURE, 1.0
    if low <= value <= high:  # also refuses NaN
        return value
    least, most = (show(quantity, factor * each, system) for each in (low, high))
    given = show(quantity, factor * value, system) if abs(value) < 1e9 else str(value)  # noqa: PLR2004
    raise InputError(what.value, given, f"{least} to {most}")


def checked_moment(at: datetime, now: datetime) -> datetime:
    """Return a moment at which a reading may have been taken.

    Raises
    ------
    InputError
        If it lies ahead, or too far back for any cook.
    """
    if not now - OLDEST <= at <= now + AHEAD:
        raise InputError("at", at.isoformat(timespec="minutes"), "from two days ago until now")
    return at


def amount_of(what: What, text: str, unit: str, name: str) -> float:
    """Return a number with or without its unit as degC or bar.

    Raises
    ------
    InputError
        If it is no number of that kind.

    Examples
    --------
    >>> amount_of(What.CHAMBER, "98,5", "C", "chamber"), amount_of(What.GAUGE, "1", "bar", "gauge")
    (98.5, 1.0)
    """
    dotted = re.sub(r"(?<=\d),(?=\d)", ".", text.strip())
    if what is What.GAUGE:
        pascals = parse(Quantity.GAUGE_PRESSURE, dotted, unit, name)
        return convert(Quantity.GAUGE_PRESSURE, pascals, "bar")
    return parse(Quantity.TEMPERATURE, dotted, unit, name)
