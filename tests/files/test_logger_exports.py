"""Exports of loggers with titles, counters, events and compact stamps; loads filled in hot."""

from __future__ import annotations

import io
from datetime import datetime, timedelta

import numpy as np
import pytest
import xlsxwriter
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole, CookLog, LogLayout, Use
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]

SECONDS = 60.0 * np.arange(181)
CHAMBER = np.interp(SECONDS / 60.0, [0, 30, 120, 180], [20.0, 121.4, 121.4, 50.0])
CORE = np.interp(SECONDS / 60.0, [0, 30, 110, 150, 180], [20.0, 30.0, 119.0, 112.0, 70.0])
BEGAN = datetime(2026, 10, 20, 20, 15)  # noqa: DTZ001  (a logger's own clock)


def fahrenheit(celsius: Values) -> Values:
    return celsius * 1.8 + 32.0


def stamps(form: str) -> list[str]:
    return [f"{BEGAN + timedelta(seconds=float(each)):{form}}" for each in SECONDS]


def export(title: str, heads: list[str], tail: str, sign: str = ",") -> CookLog:
    """A title, names with a counter first and events last, rows, and a row at reading out."""
    lines = [title] if title else []
    lines.append(sign.join(f'"{each}"' for each in heads))
    times = stamps("%m/%d/%y %I:%M:%S %p")
    for at, (when, hot, inside) in enumerate(
        zip(times, fahrenheit(CHAMBER), fahrenheit(CORE), strict=True), start=1
    ):
        lines.append(f"{at}{sign}{when}{sign}{hot:.3f}{sign}{inside:.3f}{tail}")
    lines.append(f"182{sign}10/20/26 11:16:00 PM{sign}{sign}{sign}Logged{sign}Logged")
    return read_log(("\ufeff" + "\n".join(lines)).encode(), "cook.csv")


@pytest.mark.parametrize(
    "title", ["", '"Plot Title: Autoclave 3"', '"Plot Title: Cook 3"', "Kettle, core and chamber"]
)
@pytest.mark.parametrize("counter", ["#", "No.", "Reading"])
@pytest.mark.parametrize(
    ("events", "tail"),
    [
        (["Coupler Attached (LGR S/N: 1)", "End Of File (LGR S/N: 1)"], ",,"),
        (["Coupler Detached", "Host Connected", "End Of File"], ""),
    ],
)
def test_the_row_of_names_is_found_and_a_counter_is_no_probe(
    title: str, counter: str, events: list[str], tail: str
) -> None:
    heads = [counter, "Date Time, GMT-05:00", "Temp, °F (LBL: chamber)", "Temp, °F (LBL: core)"]
    log = export(title, [*heads, *events], tail)
    assert [each.role for each in log.columns if each.use is Use.TEMPERATURE] == [
        ColumnRole.CHAMBER,
        ColumnRole.CORE,
    ]
    assert log.layout.header_row.value == (2 if title else 1)
    core = next(each for each in log.columns if each.role is ColumnRole.CORE)
    assert np.nanmax(core.values) == pytest.approx(119.0, abs=0.01)
    assert not [each for each in log.findings if each.severity == "wrong"]


def test_a_counter_without_a_name_is_no_probe() -> None:
    rows = zip(range(1, 182), SECONDS / 60.0, CHAMBER, CORE, strict=True)
    lines = ["autoclave 3", *(f"{n};{m:.2f};{a:.2f};{b:.2f}" for n, m, a, b in rows)]
    log = read_log("\n".join(lines).encode(), "cook.csv")
    assert 1 not in {each.index + 1 for each in log.columns if each.use is Use.TEMPERATURE}


def test_stamps_without_signs_are_read() -> None:
    rows = zip(stamps("%Y%m%d%H%M%S"), CHAMBER, CORE, strict=True)
    lines = ["DateTime;Chamber(C);Core(C)", *(f"{t};{a:.2f};{b:.2f}" for t, a, b in rows)]
    log = read_log("\n".join(lines).encode(), "cook.csv")
    assert log.start == BEGAN
    assert np.array_equal(log.seconds, SECONDS)


def test_midnight_in_a_workbook_is_a_reading() -> None:
    kept = io.BytesIO()
    book = xlsxwriter.Workbook(kept, {"default_date_format": "yyyy-mm-dd hh:mm"})
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["time", "chamber °C", "core °C"])
    for n, (second, hot, inside) in enumerate(zip(SECONDS, CHAMBER, CORE, strict=True), start=1):
        sheet.write_datetime(n, 0, BEGAN + timedelta(hours=2, seconds=float(second)))
        sheet.write_row(n, 1, [hot, inside])
    book.close()
    log = read_log(kept.getvalue(), "cook.xlsx")
    assert np.array_equal(log.seconds, SECONDS)


def test_midnight_written_as_a_bare_date_is_a_reading() -> None:
    times = [BEGAN + timedelta(hours=2, seconds=float(each)) for each in SECONDS]
    texts = [f"{each:%Y-%m-%d %H:%M:%S}".removesuffix(" 00:00:00") for each in times]
    assert "2026-10-21" in texts
    rows = zip(texts, CHAMBER, CORE, strict=True)
    lines = ["time;chamber °C;core °C", *(f"{t};{a:.1f};{b:.1f}" for t, a, b in rows)]
    assert np.array_equal(read_log("\n".join(lines).encode(), "cook.csv").seconds, SECONDS)


def test_agar_filled_in_hot_is_no_fahrenheit() -> None:
    chamber = np.maximum(CHAMBER, 60.0)
    core = np.maximum(CORE, 60.0)
    lines = ["min,chamber °C,core °C"]
    lines += [
        f"{s / 60:.0f},{a:.1f},{b:.1f}" for s, a, b in zip(SECONDS, chamber, core, strict=True)
    ]
    found = judge_file("\n".join(lines).encode(), "cook.csv", Rule(f0=15.0))[0]
    assert found.verdict == "pass", found.sentence
    assert "log.maybe-fahrenheit" not in {each.id for each in found.findings}


def test_a_log_that_only_begins_to_heat_may_be_fahrenheit_and_says_how_to_say_it() -> None:
    lines = ["min,chamber °C,core °C"]
    lines += [f"{n},{68 + 0.4 * n:.1f},{68 + 0.2 * n:.1f}" for n in range(100)]
    found = judge_file("\n".join(lines).encode(), "cook.csv", Rule(f0=15.0))[0]
    [said] = [each for each in found.findings if each.id == "log.maybe-fahrenheit"]
    assert "column.2.unit=F" in said.say


@pytest.mark.parametrize(
    ("typed", "unit"), [("C", "°C"), ("F", "°F"), ("degC", "°C"), ("°F", "°F"), ("K", "K")]
)
def test_a_unit_is_said_as_people_type_it(typed: str, unit: str) -> None:
    layout = corrected(LogLayout(), {"column.2.unit": typed})
    assert layout.columns[0].unit.value == unit
