"""What is said of a logger's file by hand, as words that a form or the terminal can carry.

A key is the name of a thing in the layout (``separator``, ``decimal``, ``time_unit``), or of a
column by its number from 1 (``column.3.role``).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from enum import StrEnum
from typing import Any, TypeVar

from pinset.errors import InputError
from pinset.files.logger.decode import ENCODINGS
from pinset.files.logger.pressure import KPA
from pinset.files.logger.records import (
    Basis,
    ColumnLayout,
    ColumnRole,
    DateOrder,
    Guess,
    LogLayout,
    Sure,
    TimeForm,
    Use,
)
from pinset.files.logger.rows import SEPARATORS
from pinset.files.logger.temperature import TEMPERATURE_UNITS
from pinset.files.logger.timing import UNIT_S
from pinset.science.judging.off_centre import read_off

Word = TypeVar("Word", bound=StrEnum)

MOST_STEP_S = 86400.0
LEAST_REASON, MOST_REASON = 8, 200  # signs
FILLED = ("room", "warmer")  # how warm a load is filled in, by the room

_COLUMN = re.compile(r"column\.([1-9]\d{0,3})\.(use|role|unit|basis|off|fine)")
_SPELLED = {"c": "°C", "degc": "°C", "celsius": "°C", "f": "°F", "degf": "°F", "fahrenheit": "°F"}
_TIME_UNITS = (*UNIT_S, "h:mm", "mm:ss")


def corrected(layout: LogLayout, changes: Mapping[str, str]) -> LogLayout:
    """Return a layout in which some things are said by hand.

    Parameters
    ----------
    layout : LogLayout
        Of a log that was read, or ``LogLayout()`` where nothing is known yet.
    changes : mapping of str to str
        What is said: ``{"decimal": ",", "column.2.role": "core", "column.2.unit": "°F"}``.
        Columns and rows are counted from 1; ``time_columns`` is ``1`` or ``1+2`` for a column of
        dates and one of clocks; ``step_s`` is in seconds.

    Raises
    ------
    InputError
        If a key is unknown or a value is not accepted.

    Examples
    --------
    >>> corrected(LogLayout(), {"separator": "semicolon"}).separator.value
    ';'
    """
    for key, text in changes.items():
        column = _COLUMN.fullmatch(key)
        if column:
            layout = _with_column(layout, int(column[1]) - 1, column[2], key, text)
        elif key in _READERS:
            change: dict[str, Any] = {key: _given(_READERS[key](key, text))}
            layout = replace(layout, **change)
        else:
            raise InputError(
                "layout",
                key,
                f"{', '.join(_READERS)} or column.N.role, .unit, .use, .basis, .off, .fine",
            )
    return layout


def said_by_hand(layout: LogLayout) -> dict[str, str]:
    """Return what is said by hand in a layout, so that :func:`corrected` makes it again."""
    said = {
        key: _written(getattr(layout, key).value)
        for key in _READERS
        if getattr(layout, key).sure is Sure.GIVEN
    }
    if "time_columns" in said:
        said["time_columns"] = "+".join(str(index + 1) for index in layout.time_columns.value)
    for column in layout.columns:
        for name in ("use", "role", "unit", "basis", "off", "fine"):
            guess = getattr(column, name)
            if guess.sure is Sure.GIVEN:
                said[f"column.{column.index + 1}.{name}"] = _written(guess.value)
    return said


def _given(value: Any) -> Guess[Any]:
    return Guess(value, Sure.GIVEN, "said by hand")


def _written(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _with_column(layout: LogLayout, index: int, name: str, key: str, text: str) -> LogLayout:
    values: dict[str, Callable[[], Any]] = {
        "use": lambda: _word(Use, key, text),
        "role": lambda: _word(ColumnRole, key, text),
        "basis": lambda: _word(Basis, key, text),
        "off": lambda: _off(key, text),
        "fine": lambda: _reason(key, text),
        "unit": lambda: _one_of(
            key, _SPELLED.get(text.casefold(), text), (*TEMPERATURE_UNITS, *KPA)
        ),
    }
    columns = {column.index: column for column in layout.columns}
    column = columns.get(index, ColumnLayout(index))
    change: dict[str, Any] = {name: _given(values[name]())}
    columns[index] = replace(column, **change)
    return replace(layout, columns=tuple(columns[at] for at in sorted(columns)))


def _word(words: type[Word], key: str, text: str) -> Word:
    try:
        return words(text)
    except ValueError:
        raise InputError(key, text, ", ".join(words)) from None


def _off(key: str, text: str) -> str:
    try:
        read_off(text.strip())
    except InputError as problem:
        raise InputError(key, text, problem.accepted) from None
    return text.strip()


def _reason(key: str, text: str) -> str:
    said = " ".join(text.split())
    is_word = any(each.isalpha() for each in said)
    if not is_word or not LEAST_REASON <= len(said) <= MOST_REASON:
        accepted = f"why this probe was fine, in {LEAST_REASON} to {MOST_REASON} signs"
        raise InputError(key, text, accepted, "Such as: compared in melting ice on that day.")
    return said


def _one_of(key: str, text: str, accepted: tuple[str, ...]) -> str:
    if text not in accepted:
        raise InputError(key, text, ", ".join(accepted))
    return text


def _separator(key: str, text: str) -> str:
    by_name = {name: sign for sign, name in SEPARATORS.items()}
    return _one_of(key, by_name.get(text, text), tuple(SEPARATORS))


def _row(key: str, text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > len("1000000"):
        raise InputError(key, text, "the number of a row, from 1; 0 for no row of names")
    return int(text)


def _columns(key: str, text: str) -> tuple[int, ...]:
    parts = text.split("+")
    if not all(part.isascii() and part.isdigit() and 0 < int(part) < 10_000 for part in parts):  # noqa: PLR2004
        raise InputError(key, text, "the number of a column, or of two: 1+2")
    return tuple(int(part) - 1 for part in parts[:2])


def _run(key: str, text: str) -> str:
    if not re.fullmatch(r"all|[1-9]\d{0,3}", text, re.ASCII):
        raise InputError(key, text, "the number of a cook in the log, from 1, or all")
    return text


def _step(key: str, text: str) -> float:
    try:
        step = float(text)
    except ValueError:
        step = 0.0
    if not 0.0 < step <= MOST_STEP_S:
        raise InputError(key, text, f"seconds between readings, above 0 to {MOST_STEP_S:g}")
    return step


_READERS: dict[str, Callable[[str, str], Any]] = {
    "encoding": lambda key, text: _one_of(key, text, ENCODINGS),
    "sheet": lambda _, text: text,
    "separator": _separator,
    "decimal": lambda key, text: _one_of(key, text, (".", ",")),
    "header_row": _row,
    "first_row": _row,
    "time_form": lambda key, text: _word(TimeForm, key, text),
    "time_columns": _columns,
    "time_unit": lambda key, text: _one_of(key, text, _TIME_UNITS),
    "date_order": lambda key, text: _word(DateOrder, key, text),
    "zone": lambda _, text: text,
    "step_s": _step,
    "run": _run,
    "filled": lambda key, text: _one_of(key, text, FILLED),
}
