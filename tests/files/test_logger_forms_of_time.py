"""Elapsed times, clocks and dates in every form loggers write them."""

from __future__ import annotations

from datetime import datetime

import pytest

from files.logger_files import (
    START,
    cook,
    h_mm_ss,
    numbers,
    simple,
    stamps,
)
from files.logger_looking import COOK, assert_is, ids
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import Sure, TimeForm


@pytest.mark.parametrize(
    ("unit", "scale"),
    [("ms", 1000.0), ("s", 1.0), ("min", 1 / 60), ("h", 1 / 3600), ("d", 1 / 86400)],
)
def test_elapsed_times_in_a_named_unit(unit: str, scale: float) -> None:
    table = simple(COOK, names=[f"time [{unit}]", "chamber °C", "core °C"])
    table.columns[0] = numbers(COOK.seconds * scale, 7)
    assert_is(read_log(table.data(), "cook"), within_s=0.01)


@pytest.mark.parametrize(
    ("scale", "unit"), [(1.0, "s"), (1 / 60, "min")], ids=["seconds", "minutes"]
)
def test_the_unit_of_elapsed_times_is_guessed_from_their_span(scale: float, unit: str) -> None:
    table = simple(COOK, names=["time", "chamber °C", "core °C"])
    table.columns[0] = numbers(COOK.seconds * scale, 0)
    log = read_log(table.data(), "cook")
    assert log.layout.time_unit.value == unit
    assert_is(log)


def test_minutes_and_seconds() -> None:
    given = cook(181, 10.0)
    table = simple(given, names=["Elapsed (mm:ss)", "chamber °C", "core °C"])
    table.columns[0] = [f"{int(s) // 60}:{int(s) % 60:02d}" for s in given.seconds]
    assert_is(read_log(table.data(), "cook"), given)


def test_hours_and_minutes_without_a_name_are_those_of_a_cook() -> None:
    table = simple(COOK, names=["elapsed", "chamber °C", "core °C"])
    table.columns[0] = [h_mm_ss(s)[:-3] for s in COOK.seconds]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert "log.time-unit-guessed" not in ids(log)


def test_hours_and_minutes_that_may_be_minutes_and_seconds_are_unsure() -> None:
    table = simple(COOK, names=["elapsed", "chamber °C", "core °C"])
    table.columns[0] = [h_mm_ss(s / 15.0)[:-3] for s in COOK.seconds]
    assert "log.time-unit-guessed" in ids(read_log(table.data(), "cook"))


@pytest.mark.parametrize("head", ["t", "time", "millis", "uptime"])
def test_milliseconds_without_a_name(head: str) -> None:
    table = simple(COOK, names=[head, "chamber °C", "core °C"])
    table.columns[0] = [f"{1000 * s:.0f}" for s in COOK.seconds]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.layout.time_unit.value == "ms"
    assert "log.time-unit-guessed" not in ids(log)


def test_a_clock_without_a_date_runs_over_midnight() -> None:
    late = START.replace(hour=23)
    table = simple(COOK, names=["Uhrzeit", "Kammer °C", "Kern °C"])
    table.columns[0] = stamps("%H:%M:%S", COOK.seconds, late)
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.layout.time_form.value is TimeForm.CLOCK
    assert log.start is None


def test_a_clock_of_twelve_hours_in_a_column_of_its_own() -> None:
    table = simple(COOK, names=["Date", "Time", "Chamber °C", "Core °C"])
    table.columns = [
        stamps("%d/%m/%Y", COOK.seconds, START.replace(hour=11)),
        stamps("%I:%M:%S %p", COOK.seconds, START.replace(hour=11)),
        *table.columns[1:],
    ]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.start == START.replace(hour=11)


@pytest.mark.parametrize("form", ["%d/%m/%Y %H:%M:%S", "%m/%d/%Y %H:%M:%S", "%d.%m.%y %H:%M:%S"])
def test_the_order_of_dates_is_seen_where_the_day_is_beyond_twelve(form: str) -> None:
    table = simple(COOK, names=["time", "chamber °C", "core °C"])
    table.columns[0] = stamps(form, COOK.seconds)
    log = read_log(table.data(), "cook")
    assert log.start == START
    assert "log.date-order" not in ids(log)


@pytest.mark.parametrize("form", ["%d/%m/%Y %H:%M:%S", "%m/%d/%Y %H:%M:%S"])
def test_the_order_of_dates_is_seen_where_a_night_is_passed(form: str) -> None:
    night = datetime(2026, 3, 4, 22, 30)  # noqa: DTZ001
    table = simple(COOK, names=["time", "chamber °C", "core °C"])
    table.columns[0] = stamps(form, COOK.seconds, night)
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.start == night
    assert "log.date-order" not in ids(log)


def test_dates_that_cannot_be_decided_are_said() -> None:
    table = simple(COOK, names=["time", "chamber °C", "core °C"])
    table.columns[0] = stamps("%m/%d/%Y %H:%M:%S", COOK.seconds, datetime(2026, 3, 4, 8))  # noqa: DTZ001
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert "log.date-order" in ids(log)
    assert log.layout.date_order.sure is Sure.UNSURE


def test_the_head_of_the_column_decides_the_order_of_dates() -> None:
    table = simple(COOK, names=["time (MM/DD/YYYY)", "chamber °C", "core °C"])
    day = datetime(2026, 3, 4, 8)  # noqa: DTZ001
    table.columns[0] = stamps("%m/%d/%Y %H:%M:%S", COOK.seconds, day)
    log = read_log(table.data(), "cook")
    assert log.start == day
    assert "log.date-order" not in ids(log)


@pytest.mark.parametrize("begins", [(8, 15), (11, 40), (22, 5)])
def test_am_and_pm_in_a_column_of_their_own(begins: tuple[int, int]) -> None:
    start = START.replace(hour=begins[0], minute=begins[1])
    table = simple(COOK, names=["Date", "Time", "AM/PM", "Chamber °C", "Core °C"])
    table.columns = [
        stamps("%m/%d/%Y", COOK.seconds, start),
        stamps("%I:%M:%S", COOK.seconds, start),
        stamps("%p", COOK.seconds, start),
        *table.columns[1:],
    ]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.start == start
    assert not {"log.time-back", "log.date-order", "log.clock-of-12"} & ids(log)


@pytest.mark.parametrize("begins", [(8, 15), (11, 40), (22, 5)])
def test_a_clock_of_twelve_hours_without_am_and_pm_counts_on(begins: tuple[int, int]) -> None:
    start = START.replace(hour=begins[0], minute=begins[1])
    given = cook(361)
    table = simple(given, names=["Time", "Chamber °C", "Core °C"])
    table.columns[0] = stamps("%Y-%m-%d %I:%M:%S", given.seconds, start)
    log = read_log(table.data(), "cook")
    assert_is(log, given)
    assert "log.time-back" not in ids(log)
    assert "log.clock-of-12" in ids(log)
