"""What was read from a data logger's file: its layout, its times and its columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Generic, TypeVar

import numpy as np
from numpy import bool_, float64, int64
from numpy.typing import NDArray

from pinset.errors import Finding
from pinset.science.judging.findings import MOST_USUAL

Values = NDArray[float64]
Rows = NDArray[int64]
Given = TypeVar("Given")

STANDARD_AIR_KPA = 101.325
"""kPa absolute, exact: the standard atmosphere at sea level."""


class Sure(StrEnum):
    """How sure a guess about a file is."""

    GIVEN = "given"  # said by whoever had the file read; never guessed over
    NAMED = "named"  # stands in the file
    LIKELY = "likely"  # the only reading that makes sense
    UNSURE = "unsure"  # could well be otherwise


@dataclass(frozen=True, slots=True)
class Guess(Generic[Given]):
    """One thing held of a file, how sure it is, and why it is held."""

    value: Given
    sure: Sure = Sure.UNSURE
    why: str = ""


class Use(StrEnum):
    """What a column holds."""

    TIME = "time"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    NUMBER = "number"  # of another kind: humidity, volts, a battery
    NOTHING = "nothing"  # text, a running number, an empty column: left out


class ColumnRole(StrEnum):
    """Where the probe of a column stood."""

    CHAMBER = "chamber"
    CORE = "core"  # in the middle of a unit
    PRESSURE = "pressure"
    OTHER = "other"


class Basis(StrEnum):
    """What a pressure is counted from."""

    GAUGE = "gauge"  # the air outside
    ABSOLUTE = "absolute"  # vacuum


class TimeForm(StrEnum):
    """How the times of a file are written."""

    STAMP = "stamp"  # date and clock, in one column or two
    CLOCK = "clock"  # clock without a date
    ELAPSED = "elapsed"  # numbers since the start
    ELAPSED_CLOCK = "elapsed-clock"  # h:mm:ss or mm:ss since the start
    SERIAL = "serial"  # a spreadsheet's count of days
    EPOCH = "epoch"  # seconds since 1970, UTC
    EVEN = "even"  # no column of times: one reading every so many seconds


class DateOrder(StrEnum):
    """In which order a date is written."""

    YEAR_FIRST = "ymd"
    DAY_FIRST = "dmy"
    MONTH_FIRST = "mdy"


@dataclass(frozen=True, slots=True)
class ColumnLayout:
    """What is held of one column of a file."""

    index: int  # from 0
    name: str = ""  # as in the file
    use: Guess[Use] = Guess(Use.NOTHING)
    role: Guess[ColumnRole] = Guess(ColumnRole.OTHER)
    unit: Guess[str] = Guess("")  # of the values in the file
    basis: Guess[Basis | None] = Guess(None)  # of a pressure
    off: Guess[str] = Guess("")  # of a core: mm off the middle of its unit, 0 or 20/75
    fine: Guess[str] = Guess("")  # of a probe in doubt: why it was fine all the same


@dataclass(frozen=True, slots=True)
class LogLayout:
    """How a file is laid out. Change it with :func:`~pinset.files.logger.corrections.corrected`."""

    encoding: Guess[str] = Guess("")  # of a text file
    sheet: Guess[str] = Guess("")  # of a workbook
    separator: Guess[str] = Guess("")  # of a text file
    decimal: Guess[str] = Guess("")  # sign before the decimals
    header_row: Guess[int] = Guess(0)  # row with the names, from 1; 0: there is none
    first_row: Guess[int] = Guess(0)  # row of the first reading, from 1
    time_form: Guess[TimeForm] = Guess(TimeForm.STAMP)
    time_columns: Guess[tuple[int, ...]] = Guess(())  # from 0: one, or date and clock
    time_unit: Guess[str] = Guess("")  # s, min, h, d, ms; h:mm, mm:ss
    date_order: Guess[DateOrder | None] = Guess(None)
    zone: Guess[str] = Guess("")  # UTC, +01:00, Europe/Berlin; empty: not known
    step_s: Guess[float] = Guess(0.0)  # between readings, where no column holds times [s]
    run: Guess[str] = Guess("")  # which cook of the log counts: 1, 2 ..., all
    filled: Guess[str] = Guess(
        "room", Sure.LIKELY, "nobody said that the load was filled in warmer"
    )
    columns: tuple[ColumnLayout, ...] = ()


@dataclass(frozen=True, slots=True)
class LogLimits:
    """From where on something in a log is worth saying."""

    gap_s: float = 300.0  # between two readings [s]
    coarse_s: float = MOST_USUAL  # between all of them; beyond, nothing can be judged [s]
    most_bytes: int = 100_000_000
    most_rows: int = 1_000_000
    most_columns: int = 200
    most_days: float = 14.0  # no cook lasts longer


@dataclass(frozen=True, slots=True, eq=False)
class LogColumn:
    """The readings of one column.

    ``values`` has shape (n,), in degC for temperatures, in kPa for pressures (counted from
    ``basis``), as in the file for other numbers; NaN where a cell held no number or a probe was
    unplugged.
    """

    index: int  # in the file, from 0
    name: str  # as in the file
    use: Use
    role: ColumnRole
    unit: str  # of the file; values are converted
    basis: Basis | None  # of a pressure
    values: Values
    step_k: float = 0.0  # by which its readings go, as they were written; 0: finely
    doubts: tuple[str, ...] = ()  # ids of findings that speak against it

    def absolute_kpa(self, atmosphere_kpa: float) -> Values:
        """Return a pressure in kPa absolute, shape (n,), with the air outside in kPa absolute."""
        return self.values + (atmosphere_kpa if self.basis is Basis.GAUGE else 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class CookLog:
    """A data logger's file of a cook, as far as it is sound.

    ``seconds`` has shape (n,), starts at 0 and rises strictly; ``rows`` has the number each reading
    has in the file. ``start`` is the moment of the first reading: in UTC if the zone is known, a
    plain local time if not, None if the file has no date.
    """

    file: str
    layout: LogLayout
    seconds: Values
    rows: Rows
    start: datetime | None
    columns: tuple[LogColumn, ...]
    findings: tuple[Finding, ...] = field(default=())
    cooks: int = 1  # in the file, of which one may have been chosen

    def of_role(self, role: ColumnRole) -> tuple[LogColumn, ...]:
        """Return the columns of a role in the order of the file."""
        return tuple(column for column in self.columns if column.role is role)

    def known(self, columns: Sequence[LogColumn]) -> NDArray[bool_]:
        """Return which readings hold a number in each of the columns, shape (n,)."""
        known = np.ones(len(self.seconds), dtype=bool_)
        for column in columns:
            known &= ~np.isnan(column.values)
        return known
