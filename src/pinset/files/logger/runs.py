"""Which cook of a log counts, where it holds several: nobody adds up what two loads got."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.description.place import listed
from pinset.files.logger.order import Ordered
from pinset.files.logger.records import ColumnLayout, ColumnRole, Guess, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.roles import settle_roles
from pinset.files.logger.stamps import HOUR, MINUTE
from pinset.science.judging.cooks_in_log import LONG_GAP_S, cooks_in

Values = NDArray[float64]

WHOLE = "all"
"""Said by hand: what looks like several cooks is one, interrupted."""

MOST_SAID = 6
MOST_END_ROWS = 3  # that a logger's program adds when the logger is read out


@dataclass(frozen=True, slots=True, eq=False)
class ChosenRun:
    """The readings that count."""

    ordered: Ordered
    run: Guess[str]  # 1, 2 ..., all; empty: none is chosen, or there is one only
    count: int  # cooks in the file


def without_end_rows(ordered: Ordered, columns: Sequence[Values], report: LogReport) -> Ordered:
    """Return the readings without a last row or two that hold none, hours or days after the rest.

    Parameters
    ----------
    ordered : Ordered
        Readings in the order of time.
    columns : sequence of ndarray
        All columns, in the order of the file.
    report : LogReport
        Where it is said.
    """
    if not columns or not len(ordered.at):
        return ordered
    is_known = np.any([~np.isnan(each[ordered.at]) for each in columns], axis=0)
    last = int(np.flatnonzero(is_known)[-1]) if np.any(is_known) else len(is_known) - 1
    count = len(is_known) - 1 - last
    if not 0 < count <= MOST_END_ROWS:
        return ordered
    if ordered.seconds[last + 1] - ordered.seconds[last] < LONG_GAP_S:
        return ordered
    report.note(
        "end-rows",
        f"{count} row{'s' if count > 1 else ''} at the end hold no reading and come much later; "
        "left out.",
    )
    return Ordered(ordered.at[: last + 1], ordered.seconds[: last + 1])


def chosen_run(
    ordered: Ordered,
    start: datetime | None,
    layouts: Sequence[ColumnLayout],
    values: Sequence[Values],
    held: Guess[str],
    report: LogReport,
) -> ChosenRun:
    """Return the readings of the cook that was chosen; all of them if none was.

    Parameters
    ----------
    ordered : Ordered
        Readings in the order of time.
    start : datetime, optional
        Moment of the first.
    layouts : sequence of ColumnLayout
        Columns of temperatures.
    values : sequence of ndarray
        Their readings in the order of the file. [degC]
    held : Guess of str
        The run said by hand, if any.
    report : LogReport
        Where it is said that there are several.

    Raises
    ------
    InputError
        If a run is chosen that is not in the log.
    """
    if not len(ordered.at):
        return ChosenRun(ordered, Guess(""), 0)
    seconds = ordered.seconds - float(ordered.seconds[0])
    placed = [each[ordered.at] for each in values]
    settled = settle_roles(seconds, layouts, placed, LogReport(report.file))
    cores, chambers = (
        [each for column, each in zip(settled, placed, strict=True) if column.role.value is role]
        for role in (ColumnRole.CORE, ColumnRole.CHAMBER)
    )
    spans = cooks_in(seconds, cores, chambers)
    words = [
        f"{number}: {_moment(start, seconds[first])} to {_moment(start, seconds[last])}"
        for number, (first, last) in enumerate(spans, start=1)
    ]
    why = f"it holds {len(spans)} ({listed(words, most=MOST_SAID)})"
    is_said = held.sure is Sure.GIVEN
    if is_said and held.value != WHOLE:
        number = int(held.value)
        if number > len(spans):
            raise InputError("run", held.value, f"1 to {len(spans)}, or {WHOLE}")
        first, last = spans[number - 1]
        ordered = Ordered(ordered.at[first : last + 1], ordered.seconds[first : last + 1])
        if len(spans) > 1:
            report.note("run-chosen", f"Only one cook of this log counts, {words[number - 1]}.")
    elif is_said and len(spans) > 1:
        report.warn("runs-joined", f"{why[0].upper()}{why[1:]}; they were said to be one cook.")
    elif len(spans) > 1:
        report.wrong(
            "several-cooks",
            f"This log holds {len(spans)} cooks ({listed(words, most=MOST_SAID)}), and which of "
            "them is meant is not said.",
            "Choose one, or all if it is one cook that was interrupted.",
        )
    run = Guess(held.value, held.sure, why) if is_said else Guess("", Sure.UNSURE, why)
    return ChosenRun(ordered, run, len(spans))


def _moment(start: datetime | None, seconds: float) -> str:
    """Return a moment of a log, or the time since its start where it has no date."""
    if start is None:
        return f"{int(seconds // HOUR)}:{int(seconds % HOUR // MINUTE):02d} h"
    zone = " UTC" if start.tzinfo else ""
    return f"{start + timedelta(seconds=float(seconds)):%Y-%m-%d %H:%M}{zone}"
