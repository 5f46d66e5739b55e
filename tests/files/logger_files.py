"""Invented cooks, written as loggers of all kinds write them."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
import xlsxwriter
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]

AIR_KPA = 101.325
START = datetime(2026, 3, 14, 8, 15, 0)  # noqa: DTZ001  (a logger's own clock)


@dataclass(frozen=True)
class Cook:
    """A cook whose numbers are known: rising chamber, hold, cooling, two cores behind it."""

    seconds: Values
    chamber_c: Values
    core_c: Values
    slow_core_c: Values
    gauge_kpa: Values


def cook(count: int = 181, step_s: float = 60.0) -> Cook:
    """Return a cook of ``count`` readings; a core is a lag of two stages behind the chamber."""
    seconds = np.arange(count) * step_s
    minutes = seconds / 60.0
    end = float(minutes[-1])
    chamber = np.interp(
        minutes, [0.0, 0.2 * end, 0.8 * end, end], [21.0, 121.3, 121.3, 60.0]
    ) + 0.2 * np.sin(minutes / 3.0)
    pressure = np.clip((chamber - 100.0) * 5.1, 0.0, None)
    return Cook(
        seconds,
        np.round(chamber, 2),
        np.round(_behind(chamber, seconds, 0.06 * end * 60.0), 2),
        np.round(_behind(chamber, seconds, 0.1 * end * 60.0), 2),
        np.round(pressure, 2),
    )


def _behind(chamber: Values, seconds: Values, lag_s: float) -> Values:
    follows = chamber
    for _ in range(2):
        out = np.empty_like(follows)
        out[0] = 21.0
        for at in range(1, len(out)):
            share = 1.0 - np.exp(-(seconds[at] - seconds[at - 1]) / lag_s)
            out[at] = out[at - 1] + (follows[at] - out[at - 1]) * share
        follows = out
    return follows


def decimal(value: float, places: int = 2, sign: str = ".", group: str = "") -> str:
    """Return a number as a logger writes it."""
    if not np.isfinite(value):
        return ""
    whole, _, rest = f"{value:.{places}f}".partition(".")
    if group and len(whole.lstrip("-")) > 3:
        whole = f"{int(whole):,}".replace(",", group)
    return f"{whole}{sign}{rest}" if rest else whole


def fahrenheit(celsius: Values) -> Values:
    return celsius * 9.0 / 5.0 + 32.0


def stamps(form: str, seconds: Sequence[float], start: datetime = START) -> list[str]:
    """Return time stamps in a form of ``strftime``."""
    return [(start + timedelta(seconds=float(each))).strftime(form) for each in seconds]


def h_mm_ss(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"


@dataclass
class Table:
    """A table of text to be written; fields are changed by the tests."""

    names: list[str]
    columns: list[list[str]]
    separator: str = ","
    preamble: list[str] = field(default_factory=list)
    units: list[str] = field(default_factory=list)
    end: str = "\n"
    quote: str = ""
    trailing: bool = False
    has_header: bool = True
    is_ended: bool = True

    def lines(self) -> list[str]:
        rows = [list(row) for row in zip(*self.columns, strict=True)]
        if self.units:
            rows.insert(0, self.units)
        if self.has_header:
            rows.insert(0, self.names)
        tail = self.separator if self.trailing else ""
        return [
            *self.preamble,
            *(
                self.separator.join(f"{self.quote}{cell}{self.quote}" for cell in row) + tail
                for row in rows
            ),
        ]

    def text(self) -> str:
        return self.end.join(self.lines()) + (self.end if self.is_ended else "")

    def data(self, encoding: str = "utf-8") -> bytes:
        return self.text().encode(encoding)


def numbers(values: Values, places: int = 2, sign: str = ".", group: str = "") -> list[str]:
    return [decimal(float(value), places, sign, group) for value in values]


def simple(given: Cook, *, names: Sequence[str] = ("min", "chamber [°C]", "core [°C]")) -> Table:
    """Return minutes, chamber and core, parted by commas."""
    return Table(
        list(names),
        [
            numbers(given.seconds / 60.0, 3),
            numbers(given.chamber_c),
            numbers(given.core_c),
        ],
    )


Cell = str | float | datetime | timedelta


def workbook(
    rows: Sequence[Sequence[Cell]],
    *,
    formats: Sequence[str] = (),
    others: Sequence[Callable[[xlsxwriter.Workbook], None]] = (),
    first_row: int = 0,
) -> bytes:
    """Return a workbook of one sheet; ``formats`` are those of dates and spans, by column."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True})
    for other in others:
        other(book)
    sheet = book.add_worksheet("Data")
    made = [book.add_format({"num_format": text}) for text in formats]
    for at, row in enumerate(rows, start=first_row):
        for column, cell in enumerate(row):
            shape = made[column] if column < len(made) else None
            if isinstance(cell, datetime):
                sheet.write_datetime(at, column, cell, shape)
            elif isinstance(cell, timedelta):
                sheet.write_number(at, column, cell / timedelta(days=1), shape)
            elif isinstance(cell, str):
                sheet.write_string(at, column, cell)
            else:
                sheet.write_number(
                    at, column, cell, shape if formats[column : column + 1] != [""] else None
                )
    book.close()
    return buffer.getvalue()
