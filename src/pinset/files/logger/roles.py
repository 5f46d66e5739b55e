"""Where probes stood: by name, else the slower ones are cores; and names that look swapped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.description.place import listed
from pinset.files.logger.places import NEVER_CORES, Place, names_a_unit, place_in
from pinset.files.logger.records import ColumnLayout, ColumnRole, Guess, LogColumn, Sure, Use
from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import MINUTE
from pinset.files.logger.words import is_process_value

Values = NDArray[float64]

MOVES_K = 10.0  # by which a log must rise or fall to tell quick from slow
LATER_S = 2.0 * MINUTE  # a core trails the chamber by more
CLEARLY_S = 15.0 * MINUTE  # by so little a second probe in the chamber may trail the first
SWAPPED_K = 3.0  # mean by which a core is hotter than its chamber while both heat


SILENT = Guess(ColumnRole.OTHER, Sure.LIKELY, "it gives no reading")


@dataclass(frozen=True, slots=True)
class _Pace:
    """When probes pass the middle of what the log moves through."""

    middle_c: float
    is_heating: bool
    passed_s: tuple[float, ...]  # of each column; inf: never


def _pace(seconds: Values, columns: Sequence[Values]) -> _Pace | None:
    known = [each[~np.isnan(each)] for each in columns]
    filled = [each for each in known if len(each)]
    if not filled or len(seconds) < 2:  # noqa: PLR2004  (no pace in one reading)
        return None
    start = float(np.median([each[0] for each in filled]))
    low = min(float(np.min(each)) for each in filled)
    high = max(float(np.max(each)) for each in filled)
    is_heating = high - start >= start - low
    end = high if is_heating else low
    if abs(end - start) < MOVES_K:
        return None
    middle = (start + end) / 2
    passed = [
        _first(seconds, (each >= middle) if is_heating else (each <= middle)) for each in columns
    ]
    return _Pace(middle, is_heating, tuple(passed))


def _first(seconds: Values, is_past: NDArray[np.bool_]) -> float:
    return float(seconds[int(np.argmax(is_past))]) if np.any(is_past) else float("inf")


def settle_roles(
    seconds: Values, columns: Sequence[ColumnLayout], values: Sequence[Values], report: LogReport
) -> list[ColumnLayout]:
    """Return temperature columns with a role each.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    columns : sequence of ColumnLayout
        Columns of temperatures; roles named or said by hand stand.
    values : sequence of ndarray, shape (n,)
        Their readings. [degC]
    report : LogReport
        Where findings go.
    """
    silent = [at for at, each in enumerate(values) if bool(np.all(np.isnan(each)))]
    columns = [
        replace(column, role=SILENT) if at in silent and column.role.sure is Sure.UNSURE else column
        for at, column in enumerate(columns)
    ]
    _say_process_values(columns, report)
    open_ones = [at for at, column in enumerate(columns) if column.role.sure is Sure.UNSURE]
    if not open_ones:
        return columns
    inside = [
        at
        for at, column in enumerate(columns)
        if at in open_ones or column.role.value is not ColumnRole.OTHER
    ]
    pace = _pace(seconds, [values[at] for at in inside])
    passed = dict(zip(inside, pace.passed_s, strict=True)) if pace else {}
    chambers = [at for at in inside if columns[at].role.value is ColumnRole.CHAMBER]
    quickest = min((passed[at] for at in (chambers or inside) if at in passed), default=0.0)
    settled = list(columns)
    named = [at for at in inside if columns[at].role.value is ColumnRole.CORE]
    first_core = min((passed[at] for at in named if at in passed), default=float("inf"))
    slower = [at for at in open_ones if passed.get(at, 0.0) > first_core]
    never = [
        at
        for at in open_ones
        if (place := place_in(columns[at].name)) in NEVER_CORES
        and not (place is Place.BESIDE and names_a_unit(columns[at].name) and at in slower)
    ]
    for at in open_ones:
        role = _role(passed.get(at), quickest, count=len(inside))
        if at in never and role.value is ColumnRole.CORE:
            role = Guess(ColumnRole.OTHER, Sure.LIKELY, "by its head it is in no unit")
        settled[at] = replace(columns[at], role=role)
    _say_beside([settled[at] for at in never], report)
    guessed = [
        at for at in open_ones if at not in never or settled[at].role.value is ColumnRole.CHAMBER
    ]
    if guessed:
        moves = pace is not None and len(inside) > 1
        _say_guessed(
            [settled[at] for at in guessed],
            [passed[at] - quickest for at in guessed] if moves else [],
            report,
            is_alone=len(inside) == 1,
        )
    return settled


def _say_process_values(columns: Sequence[ColumnLayout], report: LogReport) -> None:
    """Say which columns are taken for the chamber's as what a controller reads."""
    for column in columns:
        if column.role.sure is Sure.LIKELY and is_process_value(column.name):
            report.note(
                "process-value",
                f"{column.name} is taken for the chamber's: {column.role.why}.",
                "If the controller's probe stood in a unit, say that its column is a core.",
                column=column.name,
                say=[f"column.{column.index + 1}.role=core"],
            )


def _say_beside(columns: Sequence[ColumnLayout], report: LogReport) -> None:
    """Say which probes are no cores by their heads."""
    for column in columns:
        place = place_in(column.name)
        if place in {Place.BESIDE, Place.DEVICE}:
            of = "a place beside the units, not in one" if place is Place.BESIDE else "the logger"
            report.warn(
                "beside-the-units" if place is Place.BESIDE else "of-the-logger",
                f"The heading “{column.name}” speaks of {of}, so it is taken for no core.",
                "If its probe stood inside a unit, say so.",
                column=column.name,
                say=[f"column.{column.index + 1}.role=core"],
            )


def _say_guessed(
    columns: Sequence[ColumnLayout],
    after_s: Sequence[float],
    report: LogReport,
    *,
    is_alone: bool,
) -> None:
    """Say which roles were guessed; ``after_s``: behind the quickest probe, empty: not told."""
    cores = [each for each in columns if each.role.value is ColumnRole.CORE]
    for each in cores:
        report.doubt(each.index, "role-guessed")
    said = listed(f"{each.name} {each.role.value.value}" for each in columns)
    hint = "Name the columns, for example chamber and core, or say where each probe stood."
    text = f"The file does not say where these probes stood; taken: {said}"
    if not after_s:
        why = "there is only one" if is_alone else "none moves enough to tell"
        report.warn("role-guessed", f"{text}, since {why}.", hint)
    elif cores:
        after = min(
            late
            for late, each in zip(after_s, columns, strict=True)
            if each.role.value is ColumnRole.CORE
        )
        names = listed(each.name for each in cores)
        report.warn(
            "role-guessed",
            f"{text}. But {names} {_how_late(after)}.",
            "Say where each of these probes stood.",
            say=[f"column.{each.index + 1}.role=core" for each in cores],
        )
    else:
        report.note("role-guessed", f"{text}, since all are as quick.", hint)


def _how_late(after_s: float) -> str:
    """Return how late the earliest guessed core is and what else may be so late, in words."""
    if after_s == float("inf"):
        return (
            "never comes half of the way up, and that may be a probe outside, the logger itself, "
            "or a core that stayed cold"
        )
    close = after_s <= CLEARLY_S
    what = "a second probe in the chamber" if close else "a drain, or a place between units"
    only = "only " if close else ""
    return f"comes up {only}{after_s / MINUTE:.0f} min after the quickest, and that may be {what}"


def _role(passed: float | None, quickest: float, *, count: int) -> Guess[ColumnRole]:
    if count == 1:
        return Guess(ColumnRole.CHAMBER, Sure.UNSURE, "a single probe could be anywhere")
    if passed is None:
        return Guess(ColumnRole.CHAMBER, Sure.UNSURE, "nothing moves enough to tell")
    if LATER_S < passed - quickest <= CLEARLY_S:
        return Guess(ColumnRole.CORE, Sure.UNSURE, "it is a little slower than the quickest probe")
    if passed > quickest + LATER_S:
        return Guess(ColumnRole.CORE, Sure.LIKELY, "it is slower than the quickest probe")
    return Guess(ColumnRole.CHAMBER, Sure.LIKELY, "it is as quick as the quickest probe")


def say_swapped(seconds: Values, columns: Sequence[LogColumn], report: LogReport) -> None:
    """Report a core that is hotter and quicker than the chamber while both heat."""
    temperatures = [column for column in columns if column.use is Use.TEMPERATURE]
    chambers = [column for column in temperatures if column.role is ColumnRole.CHAMBER]
    for core in (column for column in temperatures if column.role is ColumnRole.CORE):
        for chamber in chambers:
            if not _is_swapped(seconds, core.values, chamber.values):
                continue
            report.wrong(
                "swapped",
                f"{core.name} is named a core, but is hotter and quicker than the chamber, "
                f"{chamber.name}: the two may be swapped.",
                "Look where the probes are plugged in, and give the columns their right roles.",
                column=core.name,
            )
            report.doubt(core.index, "swapped")
            report.doubt(chamber.index, "swapped")


def _is_swapped(seconds: Values, core: Values, chamber: Values) -> bool:
    pace = _pace(seconds, [core, chamber])
    if pace is None:
        return False
    of_core, of_chamber = pace.passed_s
    if not of_core + LATER_S < of_chamber or not pace.is_heating:
        return False
    both = ~np.isnan(core) & ~np.isnan(chamber) & (seconds <= min(of_chamber, seconds[-1]))
    return bool(np.any(both)) and float(np.mean((core - chamber)[both])) > SWAPPED_K
