"""What each column of a file holds: guessed from its head first, then from its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.block import Block
from pinset.files.logger.numbers import cell_unit, decide_decimal, read_numbers
from pinset.files.logger.places import is_of_shelves, names_a_place, role_in
from pinset.files.logger.records import (
    ColumnLayout,
    ColumnRole,
    Guess,
    LogLayout,
    Sure,
    Use,
)
from pinset.files.logger.rows import Kind, sampled
from pinset.files.logger.timing import find_timing, is_count
from pinset.files.logger.words import (
    Topic,
    basis_in,
    is_process_value,
    is_set_point,
    letter_in,
    other_unit,
    plain,
    tokens,
    topics_in,
    unit_in,
    unit_of_letter,
)

Values = NDArray[float64]

COLDEST, HOTTEST = -60.0, 460.0  # of any temperature in any unit; others are no temperatures
_OTHER_UNITS = frozenset(("%", "v", "mv", "ma", "a", "hz", "ppm", "lux", "%rh", "w", "kw", "l/min"))
_SET_POINT = Guess(Use.NUMBER, Sure.NAMED, "a set point is what was asked for, no reading")
_SAID = "the head of the column says so"


def guess_layout(block: Block, known: LogLayout, held: LogLayout, file: str) -> LogLayout:
    """Return the whole layout of a file.

    Parameters
    ----------
    block : Block
        Its readings.
    known : LogLayout
        With encoding, sheet and separator as read.
    held : LogLayout
        What is said by hand: every guess in it that is ``given`` stands.
    file : str
        Its name, for messages.

    Raises
    ------
    InputError
        If no column holds times and nothing says how far apart the readings are, or a column is
        spoken of that the file does not have.
    """
    decimal = held.decimal if held.decimal.sure is Sure.GIVEN else _decimal(block, known)
    timing = find_timing(block, decimal.value, held, file)
    by_hand = {column.index: column for column in held.columns if _is_said(column)}
    letters = _are_letters_units(block.heads)
    columns = []
    for index in range(len(block.columns)):
        if index in timing.columns.value:
            column = ColumnLayout(index, block.names[index], Guess(Use.TIME, Sure.LIKELY, "times"))
        else:
            column = _column(block, index, decimal.value, has_letters=letters)
        columns.append(column)
    columns = [_without_shelf(each, columns) for each in columns]
    columns = _with_process_value(columns)
    columns = [_with_held(each, by_hand.get(each.index)) for each in columns]
    unknown = [index for index in by_hand if index >= len(columns)]
    if unknown:
        raise InputError("column", unknown[0] + 1, f"columns 1 to {len(columns)}")
    return replace(
        known,
        decimal=decimal,
        header_row=block.header_row,
        first_row=block.first_row,
        time_form=timing.form,
        time_columns=timing.columns,
        time_unit=timing.unit,
        zone=timing.zone,
        step_s=timing.step_s,
        date_order=held.date_order,
        run=held.run,
        filled=held.filled,
        columns=tuple(columns),
    )


def _without_shelf(column: ColumnLayout, columns: Sequence[ColumnLayout]) -> ColumnLayout:
    """Leave the role of a middle open that may be one of the chamber."""
    others = [each.name for each in columns if each.index != column.index]
    if column.use.value is Use.TEMPERATURE and is_of_shelves(column.name, others):
        return replace(column, role=Guess(ColumnRole.OTHER))
    return column


def _with_process_value(columns: Sequence[ColumnLayout]) -> list[ColumnLayout]:
    """Take what a controller reads for the chamber's where its set point stands beside it."""
    set_points = [each.name for each in columns if is_set_point(each.name)]
    if not set_points:
        return list(columns)
    why = f"a controller reads it to keep its set point, {set_points[0]}"
    return [
        replace(each, role=Guess(ColumnRole.CHAMBER, Sure.LIKELY, why))
        if each.use.value is Use.TEMPERATURE
        and each.role.sure is Sure.UNSURE
        and is_process_value(each.name)
        else each
        for each in columns
    ]


def _decimal(block: Block, known: LogLayout) -> Guess[str]:
    cells: list[str] = []
    for index, kind in enumerate(block.kinds):
        if kind in {Kind.NUMBER, Kind.WORDS}:
            column = block.columns[index]
            cells += [column[at] for at in sampled(len(column))]
    return decide_decimal(cells, known.separator.value)


def _is_said(column: ColumnLayout) -> bool:
    guesses = (column.use, column.role, column.unit, column.basis, column.off, column.fine)
    return any(guess.sure is Sure.GIVEN for guess in guesses)


def _with_held(column: ColumnLayout, held: ColumnLayout | None) -> ColumnLayout:
    """Put in what is said of a column by hand."""
    if held is None:
        return column
    for name in ("use", "role", "unit", "basis", "off", "fine"):
        guess = getattr(held, name)
        if guess.sure is Sure.GIVEN:
            column = replace(column, **{name: guess})
    if held.role.sure is Sure.GIVEN and held.use.sure is not Sure.GIVEN:
        use = Use.PRESSURE if held.role.value is ColumnRole.PRESSURE else Use.TEMPERATURE
        if held.role.value is not ColumnRole.OTHER or column.use.value is Use.PRESSURE:
            column = replace(column, use=Guess(use, Sure.GIVEN, "its role is said by hand"))
    return column


def _are_letters_units(heads: Sequence[str]) -> bool:
    """Tell ``temp_c`` and ``temp_f`` from probes called A, B, C."""
    letters = {letter for head in heads if (letter := letter_in(head)) and not basis_in(head)}
    return all(unit_of_letter(letter) for letter in letters - {"t", "p", "s", "h"})


def _column(block: Block, index: int, decimal: str, *, has_letters: bool) -> ColumnLayout:
    name, head = block.names[index], block.heads[index]
    own = block.own_of(index)
    cells = [block.columns[index][own[at]] for at in sampled(len(own))]
    is_probe = bool(block.own) and block.own[index] is not None
    use = _use(head, cells, block.kinds[index], decimal, has_letters=has_letters, is_probe=is_probe)
    column = ColumnLayout(index, name or f"column {index + 1}", use)
    if use.value is Use.TEMPERATURE:
        unit = _temperature_unit(head, cells, block, has_letters=has_letters)
        role = role_in(head)
        said = Guess(role, Sure.NAMED, _SAID) if role else Guess(ColumnRole.OTHER)
        return replace(column, unit=unit, role=said)
    if use.value is Use.PRESSURE:
        unit = Guess(unit_in(head, Topic.PRESSURE), Sure.NAMED, _SAID)
        if not unit.value:
            unit = _cell_unit(cells, Topic.PRESSURE)
        basis = basis_in(head)
        return replace(
            column,
            unit=unit if unit.value else Guess(""),
            role=Guess(ColumnRole.PRESSURE, use.sure, use.why),
            basis=Guess(basis, Sure.NAMED, _SAID) if basis else Guess(None),
        )
    unit = Guess(other_unit(head), Sure.NAMED, _SAID)
    return replace(column, unit=unit, role=Guess(ColumnRole.OTHER, use.sure, use.why))


def _use(
    head: str,
    cells: Sequence[str],
    kind: str,
    decimal: str,
    *,
    has_letters: bool,
    is_probe: bool,  # a column beside it named it as one
) -> Guess[Use]:
    by_head = _SET_POINT if is_set_point(head) else _use_by_head(head, has_letters=has_letters)
    if kind == Kind.BLANK:
        is_measured = by_head and by_head.value in {Use.TEMPERATURE, Use.PRESSURE}
        return by_head if by_head and is_measured else _nothing("it is empty")
    values = read_numbers(cells, decimal).values
    is_number = bool(np.mean(~np.isnan(values)) > 1 / 2) if len(values) else False
    if kind == Kind.TIME or (kind == Kind.WORDS and not is_number):
        return _nothing("it holds no numbers")
    values = values[~np.isnan(values)]
    if not is_probe and _is_running(head, values):
        return _nothing("it is a running number")
    return by_head or _use_by_cells(head, cells, values)


def _nothing(why: str) -> Guess[Use]:
    return Guess(Use.NOTHING, Sure.LIKELY, why)


def _is_running(head: str, values: Values) -> bool:
    """Return True for whole numbers that count the rows, down too where the head says so."""
    if is_count(values) and not unit_in(head, Topic.TEMPERATURE):
        return True
    if (head and Topic.INDEX not in topics_in(head)) or len(values) < 2:  # noqa: PLR2004
        return False
    steps = np.diff(values)
    is_whole = bool(np.all(values == np.round(values)))
    return is_whole and (float(np.median(steps)) != 0 if head else bool(np.all(steps > 0)))


def _use_by_cells(head: str, cells: Sequence[str], values: Values) -> Guess[Use]:
    unit = cell_unit(next((cell for cell in cells if cell_unit(cell)), ""))
    if unit and unit_in(f"[{unit}]", Topic.PRESSURE):
        return Guess(Use.PRESSURE, Sure.NAMED, "the cells carry its unit")
    if unit and unit != "%":
        return Guess(Use.TEMPERATURE, Sure.NAMED, "the cells carry its unit")
    is_plausible = len(values) > 0 and np.mean((values > COLDEST) & (values < HOTTEST)) > 1 / 2
    if is_plausible and not other_unit(head):
        return Guess(Use.TEMPERATURE, Sure.UNSURE, "its numbers could be temperatures")
    return Guess(Use.NUMBER, Sure.UNSURE, "its numbers are no temperatures")


def _use_by_head(head: str, *, has_letters: bool) -> Guess[Use] | None:
    topics = topics_in(head)
    if unit_in(head, Topic.TEMPERATURE):
        return Guess(Use.TEMPERATURE, Sure.NAMED, _SAID)
    if Topic.NUMBER in topics or _has_other_unit(head):
        return Guess(Use.NUMBER, Sure.NAMED, _SAID)
    if unit_in(head, Topic.PRESSURE) or Topic.PRESSURE in topics:
        return Guess(Use.PRESSURE, Sure.NAMED, _SAID)
    if Topic.TEMPERATURE in topics or names_a_place(head) or is_process_value(head):
        return Guess(Use.TEMPERATURE, Sure.NAMED, _SAID)
    first = (tokens(head)[:1] or [""])[0].rstrip("0123456789")
    if first == "t" or (has_letters and unit_of_letter(letter_in(head))):
        return Guess(Use.TEMPERATURE, Sure.LIKELY, "its head is that of a temperature")
    return None


def _has_other_unit(head: str) -> bool:
    unit = plain(other_unit(head)).strip(". ")
    return unit in _OTHER_UNITS or bool(unit and unit_in(f"[{unit}]", Topic.TIME))


def _temperature_unit(
    head: str, cells: Sequence[str], block: Block, *, has_letters: bool
) -> Guess[str]:
    named = unit_in(head, Topic.TEMPERATURE)
    if named:
        return Guess(named, Sure.NAMED, _SAID)
    of_cells = _cell_unit(cells, Topic.TEMPERATURE)
    if of_cells.value:
        return of_cells
    letter = unit_of_letter(letter_in(head)) if has_letters else ""
    if letter:
        return Guess(letter, Sure.NAMED, "the head of the column ends with it")
    above = {unit for line in block.preamble if (unit := unit_in(line, Topic.TEMPERATURE))}
    if len(above) == 1:
        return Guess(above.pop(), Sure.NAMED, "a line above the readings names it")
    return Guess("")


def _cell_unit(cells: Sequence[str], topic: Topic) -> Guess[str]:
    units = {unit_in(f"[{unit}]", topic) for cell in cells if (unit := cell_unit(cell))} - {""}
    return Guess(units.pop(), Sure.NAMED, "the cells carry it") if len(units) == 1 else Guess("")
