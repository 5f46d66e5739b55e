"""A data logger's file of a cook, read in whatever layout it comes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.between import for_telling_cooks, with_between
from pinset.files.logger.block import Block, find_block
from pinset.files.logger.faults import LEAST_C, MOST_C, Read, say_cells, say_stuck, without_faults
from pinset.files.logger.grid import grid_of
from pinset.files.logger.halves import with_halves
from pinset.files.logger.layout import guess_layout
from pinset.files.logger.long import side_by_side
from pinset.files.logger.merged import say_merged
from pinset.files.logger.numbers import NumberColumn, read_numbers
from pinset.files.logger.order import (
    Ordered,
    in_order_of_time,
    is_newest_first,
    say_gaps,
    say_other_unit,
)
from pinset.files.logger.pressure import LEAST_KPA, MOST_KPA, settle_pressure, to_kpa
from pinset.files.logger.records import (
    STANDARD_AIR_KPA,
    ColumnLayout,
    CookLog,
    LogColumn,
    LogLayout,
    LogLimits,
    Sure,
    Use,
)
from pinset.files.logger.report import LogReport
from pinset.files.logger.resolution import step_of
from pinset.files.logger.roles import say_swapped, settle_roles
from pinset.files.logger.runs import chosen_run, without_end_rows
from pinset.files.logger.sheet_unit import units_of_sheet
from pinset.files.logger.spikes import without_spikes
from pinset.files.logger.start import start_of
from pinset.files.logger.temperature import to_celsius
from pinset.files.logger.times import RawTimes, read_times, say_order, say_unread

Values = NDArray[float64]

UNKNOWN = LogLayout()
"""Nothing is held of a file; everything is guessed."""

DEFAULT_LIMITS = LogLimits()


def read_log(
    data: bytes,
    file: str,
    *,
    atmosphere_kpa: float = STANDARD_AIR_KPA,
    layout: LogLayout = UNKNOWN,
    limits: LogLimits = DEFAULT_LIMITS,
) -> CookLog:
    r"""Return what a data logger's file says of a cook, as far as it is sound.

    Parameters
    ----------
    data : bytes
        The file: a table of text (commas, semicolons, tabs or pipes; UTF-8, UTF-16, Windows-1252
        or Latin-1) or a workbook (XLSX).
    file : str
        Its name, for findings.
    atmosphere_kpa : float
        The air outside, by which a pressure that does not say so is taken for gauge or absolute,
        30 to 120. [kPa absolute]
    layout : LogLayout
        What is held of the file by hand: every guess in it that is ``given`` stands, every other
        one is made anew. See :func:`~pinset.files.logger.corrections.corrected`.
    limits : LogLimits
        From where on a gap, a size or a length is said.

    Returns
    -------
    CookLog
        Times of n readings, start, columns of shape (n,), layout with the reason for every guess,
        and what is not right.

    Raises
    ------
    InputError
        If there is nothing to read: an empty or damaged file, no table, no times; if it is
        absurdly large; or if the layout given does not fit the file.

    Examples
    --------
    >>> log = read_log(b"min;chamber;core\n0;20,5;19,8\n1;24,0;19,8\n", "cook.csv")
    >>> [float(value) for value in log.seconds], log.columns[0].role.value
    ([0.0, 60.0], 'chamber')
    """
    if not 30.0 <= atmosphere_kpa <= 120.0:  # noqa: PLR2004  (any farm in any weather)
        raise InputError("atmosphere_kpa", atmosphere_kpa, "30 to 120 kPa absolute")
    report = LogReport(file)
    grid, known = grid_of(data, layout, limits, report)
    block = side_by_side(with_halves(find_block(grid, layout, limits, report)), report)
    guessed = guess_layout(block, known, layout, file)
    raw = read_times(block, guessed)
    guessed = replace(guessed, date_order=raw.date_order)
    say_unread(raw, block, guessed, report)
    say_order(raw, block, guessed, report)
    _say_time_unit(guessed, report)
    reads = _read_columns(block, guessed, report)
    reads = [each for each in reads if each.use is not Use.NOTHING]
    outside = (atmosphere_kpa, is_newest_first(raw))
    table, guessed = _converted(reads, guessed, block, outside, report)
    temperatures = [each.values for each in table if each.read.use is Use.TEMPERATURE]
    ordered = in_order_of_time(raw, block, temperatures, report)
    return _finished(ordered, raw, block, guessed, table, limits, report)


def _say_time_unit(layout: LogLayout, report: LogReport) -> None:
    if (
        layout.time_unit.sure is Sure.UNSURE
        and layout.time_unit.value
        and layout.time_columns.value
    ):
        report.warn(
            "time-unit-guessed",
            f"Nothing says what the times count; {layout.time_unit.value} was taken: "
            f"{layout.time_unit.why}.",
            "Name it in the head of the column, for example time [min].",
        )
    if layout.decimal.sure is Sure.UNSURE:
        report.warn(
            "decimal-guessed",
            f"The sign “{layout.decimal.value}” was taken for the decimal sign: "
            f"{layout.decimal.why}.",
            "Look at the numbers.",
        )


def _read_columns(block: Block, layout: LogLayout, report: LogReport) -> list[Read]:
    decimal = layout.decimal.value
    reads = []
    for column in layout.columns:
        if column.use.value in {Use.NOTHING, Use.TIME}:
            continue
        own = block.own_of(column.index)
        cells = block.columns[column.index]
        numbers = read_numbers([cells[at] for at in own], decimal)
        read = Read(column.index, column.name, column.use.value, numbers)
        say_cells(read, [block.numbers[at] for at in own], decimal, report)
        values = np.full(len(cells), np.nan)
        values[own] = numbers.values
        reads.append(replace(read, cells=NumberColumn(values)))
    return reads


@dataclass(frozen=True, slots=True, eq=False)
class _Column:
    """A column with its values converted, still in the order of the file."""

    read: Read
    layout: ColumnLayout
    values: Values


def _converted(
    reads: Sequence[Read],
    layout: LogLayout,
    block: Block,
    given: tuple[
        float, bool
    ],  # air outside [kPa absolute], whether the newest reading stands first
    report: LogReport,
) -> tuple[list[_Column], LogLayout]:
    """Settle units, convert, and leave out what no probe measures."""
    atmosphere_kpa, is_turned = given
    onwards = slice(None, None, -1 if is_turned else 1)
    columns = {column.index: column for column in layout.columns}
    hot = [read for read in reads if read.use is Use.TEMPERATURE]
    values = [read.cells.values[onwards] for read in hot]
    for column in units_of_sheet([columns[read.index] for read in hot], values, report):
        columns[column.index] = column
    table: dict[int, _Column] = {}
    firsts: list[float] = []
    for read in hot:
        celsius = to_celsius(read.cells.values, columns[read.index].unit.value)
        sound = _sound(read, celsius, block, report, (LEAST_C, MOST_C))
        firsts += [float(each) for each in sound[onwards][~np.isnan(sound[onwards])][:1]]
        table[read.index] = _Column(read, columns[read.index], sound)
    for read in reads:
        if read.use is Use.PRESSURE:
            settled = settle_pressure(
                columns[read.index],
                read.cells.values[onwards],
                max(firsts, default=None),
                atmosphere_kpa,
                report,
            )
            columns[read.index] = settled
            kpa = to_kpa(read.cells.values, settled.unit.value)
            sound = _sound(read, kpa, block, report, (LEAST_KPA, MOST_KPA))
            table[read.index] = _Column(read, settled, sound)
        elif read.use is Use.NUMBER:
            table[read.index] = _Column(read, columns[read.index], read.cells.values)
    ordered = tuple(columns[column.index] for column in layout.columns)
    return [table[read.index] for read in reads], replace(layout, columns=ordered)


def _sound(
    read: Read, values: Values, block: Block, report: LogReport, bounds: tuple[float, float]
) -> Values:
    """Return values without those that its probe cannot have measured."""
    own = block.own_of(read.index)
    numbers = [block.numbers[at] for at in own]
    sound = values.copy()
    sound[own] = without_faults(read, values[own], read.cells.values[own], numbers, report, bounds)
    return sound


def _finished(
    ordered: Ordered,
    raw: RawTimes,
    block: Block,
    layout: LogLayout,
    table: Sequence[_Column],
    limits: LogLimits,
    report: LogReport,
) -> CookLog:
    hot = [each for each in table if each.read.use is Use.TEMPERATURE]
    ordered = without_end_rows(ordered, [each.values for each in table], report)
    begins = start_of(_first(ordered), raw, layout.zone, block.preamble)
    chosen = chosen_run(
        ordered,
        begins,
        [each.layout for each in hot],
        _to_tell_cooks(hot, ordered, block),
        layout.run,
        report,
    )
    ordered, first = chosen.ordered, _first(chosen.ordered)
    seconds = ordered.seconds - first
    rows = np.asarray(block.numbers, dtype=np.int64)[ordered.at]
    say_gaps(seconds, rows, limits, report)
    if layout.time_unit.sure is Sure.NAMED:
        say_other_unit(seconds, layout.time_unit.value, limits, report)
    placed = {each.read.index: each.values[ordered.at] for each in table}
    roles = settle_roles(
        seconds, [each.layout for each in hot], [placed[each.read.index] for each in hot], report
    )
    settled = {each.read.index: each.layout for each in table} | {
        each.index: each for each in roles
    }
    columns = [_column(each.read.index, settled, placed[each.read.index]) for each in table]
    say_merged(seconds, columns, report)
    columns = [without_spikes(seconds, rows, each, report) for each in columns]
    own = {at: each[ordered.at] for at, each in enumerate(block.own) if each is not None}
    columns = with_between(seconds, columns, own, report) if own else columns
    say_stuck(seconds, columns, report)
    say_swapped(seconds, columns, report)
    _say_count(len(seconds), columns, report)
    layouts = tuple(settled.get(column.index, column) for column in layout.columns)
    return CookLog(
        file=report.file,
        layout=replace(layout, columns=layouts, run=chosen.run),
        seconds=seconds,
        rows=rows,
        start=start_of(first, raw, layout.zone, block.preamble) if len(seconds) else None,
        columns=tuple(replace(each, doubts=report.doubts(each.index)) for each in columns),
        findings=report.findings(),
        cooks=chosen.count,
    )


def _to_tell_cooks(hot: Sequence[_Column], ordered: Ordered, block: Block) -> list[Values]:
    """Return temperatures in the order of the file as they tell one cook from the next."""
    values = [each.values for each in hot]
    if not block.own:
        return values
    values = [each.copy() for each in values]
    own = [block.own[each.read.index] for each in hot]
    filled = for_telling_cooks(
        ordered.seconds,
        [each[ordered.at] for each in values],
        [None if each is None else each[ordered.at] for each in own],
    )
    for each, placed in zip(values, filled, strict=True):
        each[ordered.at] = placed
    return values


def _first(ordered: Ordered) -> float:
    return float(ordered.seconds[0]) if len(ordered.seconds) else 0.0


def _column(index: int, settled: Mapping[int, ColumnLayout], values: Values) -> LogColumn:
    layout = settled[index]
    return LogColumn(
        index=index,
        name=layout.name,
        use=layout.use.value,
        role=layout.role.value,
        unit=layout.unit.value,
        basis=layout.basis.value,
        values=values,
        step_k=step_of(values) if layout.use.value is Use.TEMPERATURE else 0.0,
    )


def _say_count(count: int, columns: Sequence[LogColumn], report: LogReport) -> None:
    if count == 0:
        report.wrong(
            "empty",
            "The file names columns but holds no reading that can be used.",
            "Was the logger started? Take the file from it once more.",
        )
    elif count == 1:
        report.wrong(
            "one-reading",
            "The file holds one reading only; a cook cannot be judged by it.",
            "Was the logger stopped at once?",
        )
    if not any(column.use is Use.TEMPERATURE for column in columns):
        report.wrong(
            "no-temperature",
            "No column holds temperatures.",
            "Name the columns, for example core [°C], or say which one it is.",
        )
