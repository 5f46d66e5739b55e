"""A logger's file that still grows: read while the logger goes on writing into it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import Finding, InputError
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn, Use
from pinset.files.logger.xlsx import is_workbook

Values = NDArray[float64]

MOST_BYTES = 50_000_000
SUFFIXES = frozenset({".csv", ".txt", ".tsv", ".log", ".dat", ".xlsx"})
UNKEPT = (".", "~")  # that names of files begin with which programs write beside the one they keep
EVERY_S = 15.0
"""Readings closer together than this are thinned: a cook does not change faster. [s]"""

KPA_PER_BAR = 100.0
_MARKS = {b"\xff\xfe": b"\n\0", b"\xfe\xff": b"\0\n"}  # of UTF-16, and its line's end


@dataclass(frozen=True, slots=True)
class GrownRow:
    """What a logger wrote for one moment; what it did not read is None."""

    at: datetime
    chamber_c: float | None  # of the coldest probe there
    gauge_bar: float | None
    core_c: float | None  # of the coldest probe in a unit


@dataclass(frozen=True, slots=True)
class Grown:
    """A file as far as it has grown."""

    file: str
    rows: tuple[GrownRow, ...]
    findings: tuple[Finding, ...]


def newest_file(folder: Path) -> Path | None:
    """Return the text or workbook of a folder that was written last, or None if there is none."""
    if not folder.is_dir():
        return None
    found = [
        (written_ns, path.name, path)
        for path in folder.iterdir()
        if path.suffix.lower() in SUFFIXES
        and not path.name.startswith(UNKEPT)
        and (written_ns := _written_ns(path)) is not None
    ]
    return max(found, default=(0, "", None))[2]


def _written_ns(path: Path) -> int | None:
    """Return when a file was written last, in ns; None: it is none, or was taken away meanwhile."""
    try:
        return path.stat().st_mtime_ns if path.is_file() else None
    except FileNotFoundError:
        return None


def settled(data: bytes) -> bytes:
    r"""Return what of a growing text is whole.

    Left out are a half line at its end and the zeros of space that was set aside for more.

    Examples
    --------
    >>> settled(b"min,core\n0,20.1\n1,2")
    b'min,core\n0,20.1\n'
    """
    newline = _MARKS.get(data[:2])
    if newline is None:
        data, newline = data.replace(b"\0", b""), b"\n"
        end = data.rfind(newline)
        return data[: end + 1]
    end = data.rfind(newline)
    while end >= 0 and end % 2:  # between two signs
        end = data.rfind(newline, 0, end + 1)
    return data[: end + 2] if end >= 0 else b""


def read_growing(
    data: bytes, file: str, *, zone: str, written_at: datetime, atmosphere_kpa: float
) -> Grown:
    """Return what a growing file says so far.

    Parameters
    ----------
    data : bytes
        The file as it stands.
    file : str
        Its name.
    zone : str
        The farm's time zone, for a file that names none.
    written_at : datetime
        When it was written last: the moment of its last row, where it holds no dates.
    atmosphere_kpa : float
        The air outside. [kPa absolute]

    Raises
    ------
    InputError
        If there is nothing to read in it yet, or it holds neither a chamber nor a core.
    """
    whole = data if is_workbook(data) else settled(data)  # a workbook is whole or can't be read
    log = read_log(whole, file, atmosphere_kpa=atmosphere_kpa)
    chamber, core = _coldest(log, ColumnRole.CHAMBER), _coldest(log, ColumnRole.CORE)
    gauge = _gauge(log, atmosphere_kpa)
    if chamber is None and core is None and gauge is None:
        names = ", ".join(column.name for column in log.columns) or "no column of numbers"
        raise InputError(
            file,
            names,
            "a column named for the chamber, the core or the pressure",
            "Name the logger's channels so, such as: chamber, core.",
        )
    if len(log.seconds) == 0:
        return Grown(file, (), log.findings)  # its row of names alone
    start = _start(log, zone, written_at)
    rows = tuple(
        GrownRow(
            start + timedelta(seconds=float(log.seconds[place])),
            _value(chamber, place),
            _value(gauge, place),
            _value(core, place),
        )
        for place in _apart(log.seconds)
    )
    return Grown(file, rows, log.findings)


def _coldest(log: CookLog, role: ColumnRole) -> Values | None:
    columns = [each for each in log.of_role(role) if each.use is Use.TEMPERATURE]
    if not columns:
        return None
    return np.asarray(np.fmin.reduce([each.values for each in columns]))


def _gauge(log: CookLog, atmosphere_kpa: float) -> Values | None:
    columns: tuple[LogColumn, ...] = log.of_role(ColumnRole.PRESSURE)
    if not columns:
        return None
    return np.asarray((columns[0].absolute_kpa(atmosphere_kpa) - atmosphere_kpa) / KPA_PER_BAR)


def _start(log: CookLog, zone: str, written_at: datetime) -> datetime:
    if log.start is None:
        return written_at - timedelta(seconds=float(log.seconds[-1]))
    if log.start.tzinfo is None:
        return log.start.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    return log.start


def _apart(seconds: Values) -> list[int]:
    """Return the places of readings that are far enough apart, the first among them."""
    kept = []
    last = -np.inf
    for place, moment in enumerate(seconds.tolist()):
        if moment - last >= EVERY_S:
            kept.append(place)
            last = moment
    return kept


def _value(values: Values | None, place: int) -> float | None:
    if values is None or np.isnan(values[place]):
        return None
    return float(values[place])
