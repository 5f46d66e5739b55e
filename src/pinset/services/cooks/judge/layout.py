"""How a logger's file was read, as lines a page or the terminal shows and takes back corrected."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

from pinset.files.logger.corrections import FILLED
from pinset.files.logger.records import Basis, ColumnLayout, ColumnRole, CookLog, Guess, Sure, Use
from pinset.files.logger.runs import WHOLE


@dataclass(frozen=True, slots=True)
class LayoutLine:
    """One thing held of a file. ``key`` and ``value`` can be handed back as a correction."""

    key: str  # decimal, time_unit, column.2.role ...
    label: str
    value: str
    sure: str  # given, named, likely, unsure
    why: str
    choices: tuple[str, ...] = ()  # what can be said instead; empty: free text


_TEMPERATURES = ("\u00b0C", "\u00b0F", "K")
_PRESSURES = ("bar", "mbar", "kPa", "MPa", "Pa", "psi", "kgf/cm\u00b2", "atm", "mmHg", "inHg")
_FILE = (
    ("separator", "sign between columns", (",", ";", "\t", "|")),
    ("decimal", "decimal sign", (".", ",")),
    ("header_row", "row of the names", ()),
    ("first_row", "row of the first reading", ()),
    ("time_form", "times are", ("stamp", "clock", "elapsed", "elapsed-clock", "even")),
    ("time_unit", "times count", ("s", "min", "h", "d", "ms", "h:mm", "mm:ss")),
    ("date_order", "dates are", ("ymd", "dmy", "mdy")),
    ("zone", "time zone", ()),
    ("step_s", "seconds between readings", ()),
    ("sheet", "sheet", ()),
)


def layout_lines(log: CookLog, doubted: Collection[int] = ()) -> tuple[LayoutLine, ...]:
    """Return what is held of a file, in the order in which a person would look at it.

    ``doubted`` are the columns, from 0, of which somebody may say why they were fine all the same.

    What does not apply to the file (the sheet of a text file, the step of a file with times) is
    left out; its columns come last, each with use, role and unit.
    """
    of_columns = (
        line
        for each in log.layout.columns
        for line in _of_column(each, is_doubted=each.index in doubted)
    )
    return (*_of_file(log), *of_columns)


def _of_file(log: CookLog) -> Iterator[LayoutLine]:
    if log.cooks > 1:
        runs = (*(str(number + 1) for number in range(log.cooks)), WHOLE)
        yield _line("run", "cook that counts", log.layout.run, runs)
    if log.of_role(ColumnRole.CORE):
        yield _line("filled", "load was filled in as warm as", log.layout.filled, FILLED)
    for key, label, choices in _FILE:
        guess: Guess[Any] = getattr(log.layout, key)
        if guess.value not in {"", None, 0} or guess.sure is not Sure.UNSURE:
            yield _line(key, label, guess, choices)


def _of_column(column: ColumnLayout, *, is_doubted: bool) -> Iterator[LayoutLine]:
    key = f"column.{column.index + 1}"
    name = column.name or f"column {column.index + 1}"
    use = column.use.value
    yield _line(f"{key}.use", f"{name} holds", column.use, tuple(Use))
    if use is Use.TEMPERATURE:
        yield _line(f"{key}.role", f"{name} stood in", column.role, tuple(ColumnRole))
        yield _line(f"{key}.unit", f"{name} counts", column.unit, _TEMPERATURES)
        if column.role.value is ColumnRole.CORE:
            yield _line(f"{key}.off", f"{name} stood off the middle by mm (0, 20/75)", column.off)
        if is_doubted or column.fine.sure is Sure.GIVEN:
            yield _line(f"{key}.fine", f"{name} was fine all the same, since", column.fine)
    elif use is Use.PRESSURE:
        yield _line(f"{key}.unit", f"{name} counts", column.unit, _PRESSURES)
        yield _line(f"{key}.basis", f"{name} counts from", column.basis, tuple(Basis))


def _line(key: str, label: str, guess: Guess[Any], choices: tuple[str, ...] = ()) -> LayoutLine:
    value = "" if guess.value is None else str(guess.value)
    if isinstance(guess.value, float):
        value = f"{guess.value:g}"
    return LayoutLine(key, label, value, guess.sure.value, guess.why, tuple(map(str, choices)))
