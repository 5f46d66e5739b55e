"""Times as loggers write them, cell by cell: dates, clocks, zones and counts of hours."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.dates import DateText, read_date

Values = NDArray[float64]

MINUTE, HOUR, DAY = 60, 3600, 86400
NOON = 12
FEW_HOURS = 24  # a clock of a day; more are hours since a start

_DATE = (
    r"\d{4}[-/. ]\d{1,2}[-/. ]\d{1,2}"
    r"|\d{1,2}(?:-\d{1,2}-|/\d{1,2}/|\.\s?\d{1,2}\.\s?)(?:\d{4}|\d{2})"
    r"|\d{1,2}[-/. ]{1,2}[^\W\d_]{3,10}[-/., ]{1,2}(?:\d{4}|\d{2})"
    r"|[^\W\d_]{3,10}\.?[ -]\d{1,2},?[ -]\d{4}"
    r"|\d{4}[-/. ][^\W\d_]{3,10}[-/. ]\d{1,2}"
    r"|\d{8}(?=[T _]\d)"
)
_CLOCK = r"\d{1,4}:\d{2}(?::\d{2}(?:[.,:]\d{1,9})?)?"
_LATER_CLOCK = r"|\d{1,2}\.\d{2}(?:\.\d{2})?|\d{6}(?:\.\d+)?|\d{1,2}(?=\s*[AaPp]\.?\s?[Mm])"
_STAMP = re.compile(
    rf"(?:(?:[^\W\d_]{{2,10}}\.?,?\s+)?(?P<date>{_DATE})(?:\s*[T,;_-]\s*|\s+|(?=$)))?"
    rf"(?:(?P<days>\d{{1,3}})(?:\.|\s?d(?:ays?)?,?\s?))?"
    rf"(?P<clock>{_CLOCK}|(?(date)(?:{_LATER_CLOCK[1:]})|\d{{1,2}}(?=\s*[AaPp]\.?\s?[Mm])))?"
    r"(?:\s*(?P<half>[AaPp])\.?\s?[Mm]\.?)?"
    r"(?:\s*(?P<zone>Z|[+-]\d{2}:?\d{2}|(?:UTC|GMT)(?:\s*[+-]\d{1,2}(?::?\d{2})?)?|[A-Z]{3,4}))?"
)
_COMPACT = re.compile(r"^((?:19|20)\d{6})(\d{6})$")  # 20261020201500
_OFFSET = re.compile(r"(?:UTC|GMT)?\s*([+-])(\d{1,2}):?(\d{2})?")
_ZONES = {
    "Z": 0, "UTC": 0, "GMT": 0, "WET": 0, "WEST": 1, "BST": 1, "CET": 1, "MEZ": 1, "CEST": 2,
    "MESZ": 2, "EET": 2, "EEST": 3, "EST": -5, "EDT": -4, "CST": -6, "CDT": -5, "MST": -7,
    "MDT": -6, "PST": -8, "PDT": -7, "AKST": -9, "AKDT": -8, "AEST": 10, "AEDT": 11,
    "NZST": 12, "NZDT": 13,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stamp:
    """One cell read as a time."""

    date: str = ""  # as written; empty: none
    clock_s: float | None = None  # since midnight, or since a start [s]; None: no clock
    parts: int = 0  # of the clock: 2 for h:mm, 3 for h:mm:ss
    is_halved: bool = False  # with AM or PM
    offset_s: int | None = None  # of its zone against UTC [s]; None: no zone


def read_stamp(cell: str) -> Stamp | None:
    """Return a cell as a time, or None if it is none."""
    found = _STAMP.fullmatch(_COMPACT.sub(r"\1 \2", cell.strip()))
    if not found or not (found["date"] or found["clock"]):
        return None
    offset = zone_offset(found["zone"]) if found["zone"] else None
    is_unknown_zone = bool(found["zone"]) and offset is None
    if is_unknown_zone or (found["date"] and read_date(found["date"]) is None):
        return None
    if not found["clock"]:
        return Stamp(found["date"], offset_s=offset) if not found["half"] else None
    clock, parts = _clock(found["clock"])
    if clock is not None and found["half"]:
        clock = _of_half(clock, is_after_noon=found["half"] in "pP")
    if clock is None or (found["date"] and clock >= DAY):
        return None
    clock += int(found["days"] or 0) * DAY
    return Stamp(found["date"] or "", clock, parts, bool(found["half"]), offset)


def zone_offset(text: str) -> int | None:
    """Return the seconds a zone such as ``+01:00``, ``UTC-5`` or ``CET`` is ahead of UTC."""
    text = text.strip().upper()
    if text in _ZONES:
        return _ZONES[text] * HOUR
    found = _OFFSET.fullmatch(text)
    if not found:
        return None
    size = int(found[2]) * HOUR + int(found[3] or 0) * MINUTE
    return (-size if found[1] == "-" else size) if size <= 15 * HOUR else None


def _clock(text: str) -> tuple[float | None, int]:
    """Return seconds and the number of parts of a clock; None for 61 minutes."""
    text = text.replace(",", ".")
    if ":" not in text and "." in text and len(text.partition(".")[0]) <= len("23"):
        text = text.replace(".", ":")
    pieces = text.split(":")
    if len(pieces) == 1:
        if len(text) <= len("12"):
            return float(text) * HOUR, 1
        pieces = [text[:2], text[2:4], text[4:]]
    if len(pieces) > len("hms"):
        pieces = [*pieces[:2], f"{pieces[2]}.{pieces[3]}"]
    hours, minutes = int(pieces[0]), int(pieces[1])
    seconds = float(pieces[2]) if len(pieces) > 2 else 0.0  # noqa: PLR2004  (h, m, s)
    if minutes >= MINUTE or seconds >= MINUTE:
        return None, 0
    return hours * HOUR + minutes * MINUTE + seconds, len(pieces)


def _of_half(clock: float, *, is_after_noon: bool) -> float | None:
    """Return a clock of 12 h as one of 24 h; None for 13 PM."""
    if not HOUR <= clock < (NOON + 1) * HOUR:
        return None
    clock -= NOON * HOUR if clock >= NOON * HOUR else 0
    return clock + NOON * HOUR if is_after_noon else clock


@dataclass(frozen=True, slots=True, eq=False)
class StampColumn:
    """A column of times: shape (n,) each, NaN where a cell was none."""

    clock_s: Values  # NaN: no clock
    date_of: NDArray[np.int64]  # which of ``dates``; -1: none
    dates: tuple[str, ...]  # the different dates as written
    read: tuple[DateText, ...]  # the same, read
    offset_s: Values  # NaN: no zone
    is_halved: bool  # some have AM or PM
    parts: int  # most parts of a clock

    @property
    def is_time(self) -> NDArray[np.bool_]:
        """Which cells are times at all, shape (n,)."""
        return ~np.isnan(self.clock_s) | (self.date_of >= 0)


_QUICK = re.compile(
    r"(?:(\S+)[ T])?(\d{1,2}):(\d\d)(?::(\d\d(?:\.\d+)?))?"
    r"(?: ?([AaPp])\.?[Mm]\.?)?(Z|[+-]\d\d:?\d\d)?"
)


class _Gathered:
    """What was read of a column so far."""

    def __init__(self, count: int) -> None:
        self.clocks = [float("nan")] * count
        self.date_of = [-1] * count
        self.offsets: dict[int, int] = {}
        self.known: dict[str | None, int] = {None: -1}
        self.zones: dict[str, int | None] = {}
        self.is_halved = False
        self.parts = 0

    def quickly(self, index: int, cell: str) -> bool:
        """Take the commonest forms with a date seen before; False sends a cell the slow way."""
        found = _QUICK.fullmatch(cell)
        if not found:
            return False
        day, hours, minutes, seconds, half, zone = found.groups()
        if day not in self.known or minutes >= "60" or (seconds is not None and seconds >= "60"):
            return False
        clock = _clock_s(hours, minutes, seconds, half)
        if clock is None or (day is not None and clock >= DAY):
            return False
        self.clocks[index] = clock
        self.date_of[index] = self.known[day]
        self.is_halved = self.is_halved or half is not None
        self.parts = max(self.parts, 2 if seconds is None else 3)
        if zone is not None:
            self._in_zone(index, zone)
        return True

    def _in_zone(self, index: int, zone: str) -> None:
        if zone not in self.zones:
            self.zones[zone] = zone_offset(zone)
        offset = self.zones[zone]
        if offset is not None:
            self.offsets[index] = offset

    def slowly(self, index: int, stamp: Stamp) -> None:
        """Take a cell that was read by itself."""
        if stamp.date:
            self.date_of[index] = self.known.setdefault(stamp.date, len(self.known) - 1)
        if stamp.clock_s is not None:
            self.clocks[index] = stamp.clock_s
        if stamp.offset_s is not None:
            self.offsets[index] = stamp.offset_s
        self.is_halved = self.is_halved or stamp.is_halved
        self.parts = max(self.parts, stamp.parts)

    def midnights(self) -> None:
        """Take a bare date among dates with clocks for its midnight, as spreadsheets write it."""
        clocks, is_dated = np.array(self.clocks), np.array(self.date_of, dtype=np.int64) >= 0
        bare = is_dated & np.isnan(clocks)
        if np.any(bare) and np.count_nonzero(is_dated & ~bare) > np.count_nonzero(bare):
            for at in np.flatnonzero(bare):
                self.clocks[at] = 0.0


def read_stamps(cells: Sequence[str]) -> StampColumn:
    """Return a column of n cells read as times."""
    gathered = _Gathered(len(cells))
    for index, cell in enumerate(cells):
        if not gathered.quickly(index, cell):
            stamp = read_stamp(cell)
            if stamp is not None:
                gathered.slowly(index, stamp)
    gathered.midnights()
    offset_s = np.full(len(cells), np.nan)
    if gathered.offsets:
        offset_s[list(gathered.offsets)] = list(gathered.offsets.values())
    dates = tuple(text for text in gathered.known if text is not None)
    return StampColumn(
        clock_s=np.array(gathered.clocks, dtype=float64),
        date_of=np.array(gathered.date_of, dtype=np.int64),
        dates=dates,
        read=tuple(read_date(text) or DateText() for text in dates),
        offset_s=offset_s,
        is_halved=gathered.is_halved,
        parts=gathered.parts,
    )


def _clock_s(hours: str, minutes: str, seconds: str | None, half: str | None) -> float | None:
    clock = int(hours) * HOUR + int(minutes) * MINUTE + float(seconds or 0)
    return clock if half is None else _of_half(clock, is_after_noon=half in "pP")
