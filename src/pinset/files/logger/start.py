"""The moment a log began: from its stamps, else from a line above the readings that says it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pinset.errors import InputError
from pinset.files.logger.dates import HABIT_OF_DOTS, decide_order, in_order, read_date
from pinset.files.logger.records import Guess, Sure
from pinset.files.logger.stamps import Stamp, read_stamp, zone_offset
from pinset.files.logger.times import RawTimes

LATEST_S = 4.1e9  # 2099; no logger is of a later time
MILLISECONDS = 3  # digits kept

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_FIRST_DAY = date(1970, 1, 1).toordinal()
_START = re.compile(
    r"^\W*(?:log(?:ging)?\s+|test\s+|mess\w*\s*)?(?:start|begin|beginn|début|debut|inicio|inizio|"
    r"gestartet|started|date|datum|fecha|data)\w*(?:\s*(?:time|zeit|date|datum|at|am|of log))*"
    r"\W*[:=;,\t ]\s*(.*?)\W*$",
    re.IGNORECASE,
)


def start_of(
    first_s: float, raw: RawTimes, zone: Guess[str], above: Iterable[str]
) -> datetime | None:
    """Return the moment of the first reading: in UTC if the zone is known.

    Parameters
    ----------
    first_s : float
        Time of the first reading in the count of the file. [s]
    raw : RawTimes
        What the file's times count from.
    zone : Guess of str
        Zone of the file, empty if not known.
    above : iterable of str
        Lines above the readings, one of which may say when the log began.

    Raises
    ------
    InputError
        If there is no such zone.
    """
    if raw.is_dated:
        return _in_zone(first_s, zone.value, is_utc=raw.is_utc)
    for line in above:
        stamp = _said(line)
        day = _day(stamp.date) if stamp else None
        if stamp is None or day is None:
            continue
        midnight = float((day.toordinal() - _FIRST_DAY) * 86400)
        if raw.is_clock:
            return _in_zone(midnight + first_s, zone.value, is_utc=False)
        if stamp.clock_s is not None:
            offset = stamp.offset_s or 0
            moment = midnight + stamp.clock_s - offset + first_s
            return _in_zone(moment, zone.value, is_utc=stamp.offset_s is not None)
    return None


def _said(line: str) -> Stamp | None:
    found = _START.match(line)
    return read_stamp(found[1].strip('"; ,')) if found else None


def _day(text: str) -> date | None:
    """Return a day that can be read in one way only, or that is written with dots."""
    read = read_date(text)
    if read is None:
        return None
    order = decide_order([read], [text], "", is_american=None)
    is_sure = order.sure is not Sure.UNSURE or order.why == HABIT_OF_DOTS
    return in_order(read, order.value) if is_sure and order.value else read.day


def _in_zone(seconds: float, zone: str, *, is_utc: bool) -> datetime | None:
    if not abs(seconds) < LATEST_S:
        return None
    moment = _EPOCH + timedelta(seconds=round(seconds, MILLISECONDS))
    if is_utc:
        return moment
    local = moment.replace(tzinfo=None)
    if not zone:
        return local
    offset = zone_offset(zone)
    if offset is not None:
        return local.replace(tzinfo=timezone(timedelta(seconds=offset))).astimezone(UTC)
    try:
        return local.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    except (ZoneInfoNotFoundError, ValueError):
        raise InputError("zone", zone, "UTC, +01:00 or a name such as Europe/Berlin") from None
