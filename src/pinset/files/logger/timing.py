"""Which columns of a file hold the times, and how they are written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.block import Block
from pinset.files.logger.numbers import read_numbers
from pinset.files.logger.records import Guess, LogLayout, Sure, TimeForm
from pinset.files.logger.rows import SAMPLE_HEAD, Kind, sampled
from pinset.files.logger.stamps import DAY, HOUR, MINUTE, StampColumn, read_stamps, zone_offset
from pinset.files.logger.time_heads import names_time
from pinset.files.logger.words import Topic, topics_in, unit_in

Values = NDArray[float64]

SERIALS = (20_000.0, 80_000.0)  # days since 1899: 1954 to 2119
EPOCHS_S = (9e8, 4.1e9)  # 1998 to 2099
MS_PER_S = 1000.0
LONGEST_SERIAL_DAYS = 60.0
MOST_HOURS = 26  # a first part of a clock beyond it is minutes
UNIT_S = {"ms": 0.001, "s": 1.0, "min": MINUTE, "h": HOUR, "d": DAY}
SHORTEST_COOK_S, LONGEST_COOK_S = 20.0 * MINUTE, 72.0 * HOUR
MOSTLY = 0.9
FEWEST_EVEN = 3  # readings, to tell whether two columns run together
UNEVEN = 0.02  # of the whole time: more apart than this, one of two columns is no time
FEWEST_COUNTED = 10  # numbers, to be a count of readings
COUNTS = "it counts the readings, and nothing says how far apart they are"

_INTERVAL = re.compile(
    r"(?:interval\w*|intervall\w*|messtakt|abtast\w+|sampl\w+|log(?:ging)? ?(?:rate|period)|rate|"
    r"takt|cadence|intervalo|intervallo)\D{0,24}?(\d+(?:[.,]\d+)?)\s*([a-z]+)?",
    re.IGNORECASE,
)
_ZONE = re.compile(r"\b((?:UTC|GMT)(?:\s*[+-]\s*\d{1,2}(?::?\d{2})?)?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Timing:
    """How the times of a file are written."""

    form: Guess[TimeForm]
    columns: Guess[tuple[int, ...]]
    unit: Guess[str]
    zone: Guess[str]
    step_s: Guess[float]


@dataclass(frozen=True, slots=True)
class _Candidate:
    index: int
    stamps: StampColumn

    @property
    def has_date(self) -> bool:
        return bool(np.mean(self.stamps.date_of >= 0) > 1 / 2)

    @property
    def has_clock(self) -> bool:
        return bool(np.mean(~np.isnan(self.stamps.clock_s)) > 1 / 2)


def find_timing(block: Block, decimal: str, layout: LogLayout, file: str) -> Timing:
    """Return where the times stand and how they are written.

    Parameters
    ----------
    block : Block
        The readings.
    decimal : str
        Sign before the decimals.
    layout : LogLayout
        What is held of the file by hand.
    file : str
        Its name, for messages.

    Raises
    ------
    InputError
        If no column holds times and nothing says how far apart the readings are.
    """
    timing = _held(block, decimal, layout) or _guessed(block, decimal, layout, file)
    zone = layout.zone if layout.zone.sure is Sure.GIVEN else _zone(block, timing.columns.value)
    unit = layout.time_unit if layout.time_unit.sure is Sure.GIVEN else timing.unit
    form = layout.time_form if layout.time_form.sure is Sure.GIVEN else timing.form
    return replace(timing, zone=zone, unit=unit, form=form)


def _held(block: Block, decimal: str, layout: LogLayout) -> Timing | None:
    """Return the timing of columns said by hand, the form guessed from them."""
    if layout.step_s.sure is Sure.GIVEN:
        return _even(layout.step_s)
    if layout.time_columns.sure is not Sure.GIVEN:
        return None
    columns = layout.time_columns.value
    if not columns or max(columns) >= len(block.columns):
        named = ", ".join(str(index + 1) for index in columns) or "none"
        raise InputError("time_columns", named, f"columns 1 to {len(block.columns)}")
    cells = _sample(block, columns[-1])
    stamps = read_stamps(cells)
    if np.mean(stamps.is_time) > 1 / 2 or len(columns) > 1:
        chosen = _of_stamps(
            [_Candidate(index, read_stamps(_sample(block, index))) for index in columns], block
        )
        if chosen:
            return replace(chosen, columns=layout.time_columns)
    return replace(_of_numbers(block, columns[0], decimal), columns=layout.time_columns)


def _guessed(block: Block, decimal: str, layout: LogLayout, file: str) -> Timing:
    taken = {each.index for each in layout.columns if each.use.sure is Sure.GIVEN}
    stamped = [
        _Candidate(index, read_stamps(_sample(block, index)))
        for index, kind in enumerate(block.kinds)
        if kind == Kind.TIME and index not in taken
    ]
    counted = _counting(block, decimal, taken)
    chosen = _of_stamps(stamped, block)
    if chosen and (chosen.form.value is TimeForm.STAMP or counted is None or not counted[1]):
        return chosen
    if chosen and counted and not _runs_with(block, chosen.columns.value[-1], counted[0], decimal):
        return chosen
    if counted is not None:
        numbers = _of_numbers(block, counted[0], decimal)
        return (_interval(block) or numbers) if numbers.unit.why == COUNTS else numbers
    if not block.numbers:
        return _without_readings(block)
    return _from_interval(block, file)


def _sample(block: Block, index: int) -> list[str]:
    cells = block.columns[index]
    return [cells[at] for at in sampled(len(cells))]


def _of_stamps(found: Sequence[_Candidate], block: Block) -> Timing | None:
    """Return the timing of columns of dates and clocks, or None if there is no clock."""
    clocks = [each for each in found if each.has_clock and not each.has_date]
    whole = [each for each in found if each.has_clock and each.has_date]
    days = [each for each in found if each.has_date and not each.has_clock]
    if clocks and not days:
        days = [each for each in whole if not np.nanmax(each.stamps.clock_s)]
        whole = [each for each in whole if each not in days]
    if whole:
        return _stamped((whole[0].index,), "the cells hold a date and a clock")
    if not clocks:
        return None
    if days:
        return _stamped((days[0].index, clocks[0].index), "one column of dates, one of clocks")
    return _of_clock(clocks[0], block)


def _stamped(columns: tuple[int, ...], why: str) -> Timing:
    return Timing(
        Guess(TimeForm.STAMP, Sure.LIKELY, why),
        Guess(columns, Sure.LIKELY, why),
        Guess("", Sure.LIKELY, "stamps need none"),
        Guess(""),
        Guess(0.0),
    )


def _of_clock(found: _Candidate, block: Block) -> Timing:
    """Tell clocks of a day from hours and minutes since a start."""
    head = block.heads[found.index]
    clock = found.stamps.clock_s[~np.isnan(found.stamps.clock_s)]
    is_short = found.stamps.parts == len("hm")
    unit = Guess("h:mm", Sure.LIKELY, "the clock has seconds")
    named = unit_in(head, Topic.TIME)
    if found.stamps.is_halved:
        form = Guess(TimeForm.CLOCK, Sure.NAMED, "it has AM and PM")
    elif Topic.ELAPSED in topics_in(head):
        form = Guess(TimeForm.ELAPSED_CLOCK, Sure.NAMED, "the head of the column says so")
    elif float(np.max(clock)) >= DAY:
        form = Guess(TimeForm.ELAPSED_CLOCK, Sure.LIKELY, "it goes beyond 24 hours")
    elif float(clock[0]) == 0.0:
        form = Guess(TimeForm.ELAPSED_CLOCK, Sure.LIKELY, "it begins at 0:00")
    else:
        form = Guess(TimeForm.CLOCK, Sure.LIKELY, "it does not begin at 0:00")
    unit = _unit_of_clock(clock, named, form.value) if is_short else unit
    if unit.value == "mm:ss":
        form = replace(form, value=TimeForm.ELAPSED_CLOCK)
    columns: Guess[tuple[int, ...]] = Guess((found.index,), Sure.LIKELY, "the only column of times")
    return Timing(form, columns, unit, Guess(""), Guess(0.0))


def _unit_of_clock(clock: Values, named: str, form: TimeForm) -> Guess[str]:
    """Return what a clock of two parts counts: hours and minutes, or minutes and seconds."""
    if named in {"h:mm", "mm:ss"}:
        return Guess(named, Sure.NAMED, "the head of the column says so")
    if named in {"min", "s"}:
        return Guess("mm:ss", Sure.LIKELY, "the head of the column speaks of minutes or seconds")
    if float(np.max(clock)) > MOST_HOURS * HOUR:
        return Guess("mm:ss", Sure.LIKELY, "as hours it would be more than a day")
    if SHORTEST_COOK_S <= float(np.ptp(clock)) < SHORTEST_COOK_S * MINUTE:
        return Guess("h:mm", Sure.LIKELY, "as minutes and seconds no cook is so short")
    if form is TimeForm.ELAPSED_CLOCK:
        return Guess("h:mm", Sure.UNSURE, "it could also be minutes and seconds")
    return Guess("h:mm", Sure.LIKELY, "it is a clock")


def _runs_with(block: Block, clock: int, index: int, decimal: str) -> bool:
    """Return True if a column of numbers runs on as evenly as a column of clocks does."""
    seconds = read_stamps(_sample(block, clock)).clock_s
    values = read_numbers(_sample(block, index), decimal).values
    both = ~np.isnan(seconds) & ~np.isnan(values)
    if np.count_nonzero(both) < FEWEST_EVEN:
        return False
    passed = np.cumsum(np.diff(seconds[both]) % DAY)  # past midnight it goes on
    counted = values[both][1:] - values[both][0]
    if not np.any(counted):
        return False
    slope = float(passed @ counted / (counted @ counted))
    return bool(np.max(np.abs(passed - slope * counted)) <= max(MINUTE, UNEVEN * passed[-1]))


def _counting(block: Block, decimal: str, taken: set[int]) -> tuple[int, bool] | None:
    """Return the column of numbers that counts time and whether its head says so, or None."""
    named: list[int] = []
    rising: list[int] = []
    first: int | None = None  # column of numbers that is no running number
    for index, kind in enumerate(block.kinds):
        if kind != Kind.NUMBER or index in taken:
            continue
        head = block.heads[index]
        topics = topics_in(head)
        values = read_numbers(_sample(block, index), decimal).values
        steps = np.diff(values[~np.isnan(values)])
        share = float(np.mean(steps > 0)) if len(steps) else 1.0
        is_named = names_time(head) or _is_epoch(values)
        if topics & {Topic.NUMBER, Topic.PRESSURE} or unit_in(head, Topic.TEMPERATURE):
            continue
        mostly_on = float(np.mean(steps >= 0)) if len(steps) else 1.0  # times may come twice
        if is_named and (mostly_on > 1 / 2 or not np.any(steps > 0)):
            named.append(index)
        elif not topics and share >= MOSTLY and not unit_in(head, Topic.PRESSURE):
            rising.append(index)
        if first is None and Topic.INDEX not in topics:
            first = index
    if named:
        return named[0], True
    return (first, False) if first is not None and first in rising else None


def _of_numbers(block: Block, index: int, decimal: str) -> Timing:
    head = block.heads[index]
    values = read_numbers(_sample(block, index), decimal).values
    values = values[~np.isnan(values)]
    is_named = names_time(head)
    named = unit_in(head, Topic.TIME) if is_named else ""
    is_named = is_named and bool(named or topics_in(head) & {Topic.TIME, Topic.ELAPSED})
    why = "the head of the column says so" if is_named else "its numbers rise from row to row"
    columns: Guess[tuple[int, ...]] = Guess((index,), Sure.NAMED if is_named else Sure.UNSURE, why)
    first = float(np.min(values)) if len(values) else 0.0
    span = float(np.ptp(values)) if len(values) else 0.0
    is_in_ms = EPOCHS_S[0] <= first / MS_PER_S < EPOCHS_S[1]
    if _is_epoch(values):
        if not is_named:
            columns = Guess((index,), Sure.LIKELY, "numbers so large count from 1970")
        unit = Guess("ms" if is_in_ms else "s", Sure.LIKELY, "so large a count")
        form = Guess(TimeForm.EPOCH, Sure.LIKELY, "numbers so large count from 1970")
    elif SERIALS[0] <= first < SERIALS[1] and span < LONGEST_SERIAL_DAYS and named in {"", "d"}:
        unit = Guess("d", Sure.LIKELY, "spreadsheets count days")
        form = Guess(TimeForm.SERIAL, Sure.LIKELY, "such numbers are a spreadsheet's days")
    else:
        form = Guess(TimeForm.ELAPSED, Sure.LIKELY, "numbers that rise")
        if named in UNIT_S:
            unit = Guess(named, Sure.NAMED, "the head of the column says so")
        elif not is_named and is_count(values):
            unit = Guess("min", Sure.UNSURE, COUNTS)
        else:
            unit = _unit_of_span(span, len(block.numbers))
    return Timing(form, columns, unit, Guess(""), Guess(0.0))


def _is_epoch(values: Values) -> bool:
    """Return True for numbers so large that they count seconds, or milliseconds, from 1970."""
    known = values[~np.isnan(values)]
    if not len(known):
        return False
    first = float(np.min(known))
    return any(EPOCHS_S[0] <= first / per < EPOCHS_S[1] for per in (1.0, MS_PER_S))


def is_count(values: Values) -> bool:
    """Return True for rising whole numbers, the first of which mostly count on by one."""
    if len(values) < FEWEST_COUNTED or not np.array_equal(values, np.round(values)):
        return False
    steps = np.diff(values)
    return bool(np.all(steps > 0) and np.median(steps[: SAMPLE_HEAD - 1]) == 1.0)


def _unit_of_span(span: float, count: int) -> Guess[str]:
    """Return the unit under which a log lasts as long as cooks do."""
    step = span / max(1, count - 1)
    likely = [
        unit
        for unit in ("ms", "s", "min", "h")
        if SHORTEST_COOK_S <= span * UNIT_S[unit] <= LONGEST_COOK_S
        and 1 / 2 <= step * UNIT_S[unit] <= HOUR
    ]
    if len(likely) == 1:
        return Guess(likely[0], Sure.LIKELY, "so it lasts as long as a cook does")
    if likely:
        best = "min" if "min" in likely else likely[0]
        return Guess(best, Sure.UNSURE, f"it could also be {' or '.join(set(likely) - {best})}")
    return Guess("min", Sure.UNSURE, "nothing says what it counts")


def _zone(block: Block, columns: tuple[int, ...]) -> Guess[str]:
    for index in columns:
        found = _ZONE.search(block.heads[index])
        if found and zone_offset(found[1].replace(" ", "")) is not None:
            return Guess(found[1].replace(" ", "").upper(), Sure.NAMED, "the head of the column")
    return Guess("", Sure.LIKELY, "nothing names one")


def _even(step: Guess[float]) -> Timing:
    form = Guess(TimeForm.EVEN, step.sure, step.why)
    return Timing(form, Guess((), step.sure, step.why), Guess("s"), Guess(""), step)


def _without_readings(block: Block) -> Timing:
    for index, head in enumerate(block.heads):
        if topics_in(head) & {Topic.TIME, Topic.ELAPSED} or unit_in(head, Topic.TIME):
            return _stamped((index,), "the head of the column says so")
    return _stamped((), "there is no reading")


def _from_interval(block: Block, file: str) -> Timing:
    found = _interval(block)
    if found is None:
        raise InputError(
            file,
            "no column of times",
            "a column of time stamps, or of minutes, seconds or h:mm:ss since the start",
            "If the readings are evenly spaced, say how many seconds apart (step_s).",
        )
    return found


def _interval(block: Block) -> Timing | None:
    """Take the step between readings from a line above them (``Interval: 10 s``)."""
    for line in block.preamble:
        found = _INTERVAL.search(line)
        unit = unit_in(f"[{found[2] or 's'}]", Topic.TIME) if found else ""
        if found and unit in UNIT_S:
            step = float(found[1].replace(",", ".")) * UNIT_S[unit]
            if step > 0:
                return _even(
                    Guess(step, Sure.LIKELY, "a line above the readings gives the interval")
                )
    return None
