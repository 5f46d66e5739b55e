"""The same cook in many layouts reads to the same numbers."""

from __future__ import annotations

import doctest
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from files.logger_files import (
    AIR_KPA,
    START,
    Table,
    decimal,
    fahrenheit,
    h_mm_ss,
    numbers,
    simple,
    stamps,
    workbook,
)
from files.logger_looking import COOK, assert_is, ids
from pinset.errors import InputError, Severity
from pinset.files.logger import corrections as logger_corrections
from pinset.files.logger import reader as logger_reader
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import Basis, ColumnRole, Sure, TimeForm, Use


def german() -> bytes:
    table = Table(
        ["Datum", "Uhrzeit", "Kammer [°C]", "Kern [°C]", "Druck [bar abs]"],
        [
            stamps("%d.%m.%Y", COOK.seconds),
            stamps("%H:%M:%S", COOK.seconds),
            numbers(COOK.chamber_c, sign=","),
            numbers(COOK.core_c, sign=","),
            numbers((COOK.gauge_kpa + AIR_KPA) / 100.0, 4, sign=","),
        ],
        separator=";",
        preamble=["Messprotokoll", "Gerät;Datenlogger", "Seriennummer;0815", ""],
        end="\r\n",
        trailing=True,
    )
    return table.data("cp1252")


def american() -> bytes:
    table = Table(
        ["Date Time", "Chamber (°F)", "Core (°F)", "Pressure (psig)"],
        [
            stamps("%m/%d/%Y %I:%M:%S %p", COOK.seconds),
            numbers(fahrenheit(COOK.chamber_c)),
            numbers(fahrenheit(COOK.core_c)),
            numbers(COOK.gauge_kpa / 6.894757293168361),
        ],
        quote='"',
    )
    return table.data("utf-8-sig")


def french_utf16() -> bytes:
    table = Table(
        ["Temps (s)", "Chambre (°C)", "Température à cœur (°C)"],
        [
            numbers(COOK.seconds, 0),
            numbers(COOK.chamber_c, sign=","),
            numbers(COOK.core_c, sign=","),
        ],
        separator="\t",
        preamble=["# enregistreur", "# autoclave 2"],
    )
    return table.data("utf-16")


def piped() -> bytes:
    lines = ["| time | chamber_c | core_c |"]
    for at, second in enumerate(COOK.seconds):
        lines.append(f"| {h_mm_ss(second)} | {COOK.chamber_c[at]} | {COOK.core_c[at]} |")
    return ("\n".join(lines) + "\n").encode()


def kelvin_below_units() -> bytes:
    table = Table(
        ["Zeit", "Autoklav", "Beutel"],
        [
            stamps("%Y-%m-%dT%H:%M:%S+01:00", COOK.seconds),
            numbers(COOK.chamber_c + 273.15),
            numbers(COOK.core_c + 273.15),
        ],
        units=["", "K", "K"],
        separator=";",
    )
    return table.data()


def without_names() -> bytes:
    table = simple(COOK)
    table.has_header = False
    return table.data()


def named_in_a_comment() -> bytes:
    table = simple(COOK, names=["# min", "chamber", "core"])
    table.preamble = ["# a cook of sawdust", "# probes by hand"]
    return table.data()


def with_units_in_cells() -> bytes:
    table = simple(COOK, names=["Elapsed", "Kammer", "Kern"])
    table.columns[0] = [h_mm_ss(each) for each in COOK.seconds]
    for column in (1, 2):
        table.columns[column] = [f"{cell} °C" for cell in table.columns[column]]
    return table.data()


def numbered() -> bytes:
    table = Table(
        [
            "#",
            "Date Time, GMT+01:00",
            "Temp, °C (LGR S/N: 12, SEN S/N: 34, LBL: core)",
            "Chamber, °C",
        ],
        [
            [str(at + 1) for at in range(len(COOK.seconds))],
            stamps("%y-%m-%d %H:%M:%S", COOK.seconds),
            numbers(COOK.core_c, 3),
            numbers(COOK.chamber_c, 3),
        ],
        preamble=['"Plot Title: cook 7"'],
        quote='"',
    )
    return table.data("utf-8-sig")


def serial_days() -> bytes:
    zero = datetime(1899, 12, 30)  # noqa: DTZ001
    days = [
        (START + timedelta(seconds=float(each)) - zero) / timedelta(days=1) for each in COOK.seconds
    ]
    table = simple(COOK, names=["Time", "Chamber °C", "Core °C"])
    table.columns[0] = [f"{day:.8f}" for day in days]
    return table.data()


def since_1970() -> bytes:
    first = START.replace(tzinfo=UTC).timestamp()
    table = simple(COOK, names=["timestamp", "chamber_c", "core_c"])
    table.columns[0] = [f"{first + each:.0f}" for each in COOK.seconds]
    return table.data()


def newest_first() -> bytes:
    table = simple(COOK, names=["Time", "Chamber °C", "Core °C"])
    table.columns[0] = stamps("%d %b %Y %H:%M:%S", COOK.seconds)
    table.columns = [column[::-1] for column in table.columns]
    return table.data()


def excel_says_separator() -> bytes:
    table = simple(COOK)
    table.separator = ";"
    table.preamble = ["sep=;"]
    table.end = "\r\n"
    return table.data()


def broken_names() -> bytes:
    table = simple(COOK, names=["min", '"chamber\n(°C)"', '"core\n(°C)"'])
    return table.data()


def latin() -> bytes:
    table = simple(COOK, names=["Minuten", "Dämpfer \xb0C", "Säcke \xb0C"])
    return table.data("latin-1")


def as_workbook() -> bytes:
    rows = [["Time", "Chamber [°C]", "Core [°C]"]]
    cells = [
        [START + timedelta(seconds=float(second)), float(hot), float(core)]
        for second, hot, core in zip(COOK.seconds, COOK.chamber_c, COOK.core_c, strict=True)
    ]
    return workbook([*rows, *cells], formats=["dd/mm/yyyy hh:mm:ss"], first_row=3)


def workbook_of_spans() -> bytes:
    rows = [["", "°C", "°C"], ["elapsed", "Kammer", "Kern"]][::-1]
    cells = [
        [timedelta(seconds=float(second)), float(hot), float(core)]
        for second, hot, core in zip(COOK.seconds, COOK.chamber_c, COOK.core_c, strict=True)
    ]
    return workbook([*rows, *cells], formats=["[h]:mm:ss"])


def workbook_of_two() -> bytes:
    day = START.replace(hour=0, minute=0)
    rows = [["Date", "Time", "Chamber °F", "Core °F"]]
    cells = [
        [day, START - day + timedelta(seconds=float(second)), float(hot), float(core)]
        for second, hot, core in zip(
            COOK.seconds, fahrenheit(COOK.chamber_c), fahrenheit(COOK.core_c), strict=True
        )
    ]
    return workbook([*rows, *cells], formats=["dd/mm/yyyy", "hh:mm:ss"])


def workbook_of_text() -> bytes:
    table = simple(COOK)
    rows = [table.names, *map(list, zip(*table.columns, strict=True))]
    return workbook([[cell.replace(".", ",") for cell in row] for row in rows])


LAYOUTS: list[Callable[[], bytes]] = [
    german,
    american,
    french_utf16,
    piped,
    kelvin_below_units,
    without_names,
    named_in_a_comment,
    with_units_in_cells,
    numbered,
    serial_days,
    since_1970,
    newest_first,
    excel_says_separator,
    broken_names,
    latin,
    as_workbook,
    workbook_of_spans,
    workbook_of_two,
    workbook_of_text,
]


@pytest.mark.parametrize("write", LAYOUTS, ids=lambda write: write.__name__)
def test_a_layout_reads_to_the_same_cook(write: Callable[[], bytes]) -> None:
    log = read_log(write(), "cook")
    assert_is(log)
    assert all(finding.severity is not Severity.WRONG for finding in log.findings), log.findings
    assert all(finding.sentence.endswith((".", "?", "!")) for finding in log.findings)
    guessed = {"log.role-guessed"} if write is without_names else set()
    assert {doubt for column in log.columns for doubt in column.doubts} == guessed


@pytest.mark.parametrize(
    ("write", "start"),
    [
        (german, START),
        (american, START),
        (kelvin_below_units, START.replace(tzinfo=UTC) - timedelta(hours=1)),
        (numbered, START.replace(tzinfo=UTC) - timedelta(hours=1)),
        (serial_days, START),
        (since_1970, START.replace(tzinfo=UTC)),
        (newest_first, START),
        (as_workbook, START),
        (workbook_of_two, START),
        (workbook_of_spans, None),
        (without_names, None),
    ],
    ids=lambda given: given.__name__ if callable(given) else "",
)
def test_the_start_is_known_where_the_file_says_it(
    write: Callable[[], bytes], start: datetime | None
) -> None:
    assert read_log(write(), "cook").start == start


@pytest.mark.parametrize(
    ("line", "start"),
    [
        ("Start: 2026-03-14 08:15:00", START),
        ("# start time: 14.03.2026 08:15", START),
        ("Beginn;14.03.2026 08:15:00", START),
        ("Started,2026-03-14T08:15:00Z", START.replace(tzinfo=UTC)),
        ("Start: 03/04/2026 08:15", None),
        ("Serial: 2026-03-14 08:15:00", None),
        ("Start: soon", None),
    ],
)
def test_the_start_of_elapsed_times_from_a_line_above(line: str, start: datetime | None) -> None:
    table = simple(COOK)
    table.preamble = [line]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.start == start


def test_the_day_of_a_clock_from_a_line_above() -> None:
    table = simple(COOK, names=["clock", "chamber [°C]", "core [°C]"])
    table.columns[0] = stamps("%H:%M:%S", COOK.seconds)
    table.preamble = ["Date: 14 March 2026"]
    assert read_log(table.data(), "cook").start == START


@pytest.mark.parametrize(("write", "basis"), [(german, Basis.ABSOLUTE), (american, Basis.GAUGE)])
def test_pressure_is_in_kpa_of_its_basis(write: Callable[[], bytes], basis: Basis) -> None:
    column = read_log(write(), "cook").of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is basis
    assert column.absolute_kpa(AIR_KPA) == pytest.approx(COOK.gauge_kpa + AIR_KPA, abs=0.05)


@pytest.mark.parametrize(
    ("unit", "kpa"),
    # SI prefixes; psi and kgf/cm2 by their definitions (0.45359237 kg, 0.0254 m, 9.80665 m/s2)
    [
        ("bar", 100.0),
        ("mbar", 0.1),
        ("hPa", 0.1),
        ("kPa", 1.0),
        ("MPa", 1000.0),
        ("Pa", 0.001),
        ("psi", 6.894757293168361),
        ("kgf/cm2", 98.0665),
    ],
)
@pytest.mark.parametrize(("word", "basis"), [("gauge", Basis.GAUGE), ("abs", Basis.ABSOLUTE)])
def test_units_of_pressure(unit: str, kpa: float, word: str, basis: Basis) -> None:
    table = simple(COOK)
    true = COOK.gauge_kpa + (AIR_KPA if basis is Basis.ABSOLUTE else 0.0)
    table.names.append(f"pressure [{unit} {word}]")
    table.columns.append(numbers(true / kpa, 6))
    column = read_log(table.data(), "cook").of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is basis
    assert column.values == pytest.approx(true, abs=0.01)
    assert not column.doubts


@pytest.mark.parametrize(
    "head", ["Pressure", "Pressure [kPa]", "P1 kPa", "Dampfdruck", "Pression (kPa)"]
)
@pytest.mark.parametrize("air_kpa", [101.3, 79.5])
@pytest.mark.parametrize("basis", list(Basis))
def test_a_basis_is_guessed_from_the_first_readings_and_said(
    head: str, air_kpa: float, basis: Basis
) -> None:
    table = simple(COOK)
    table.names.append(head)
    table.columns.append(numbers(COOK.gauge_kpa + (air_kpa if basis is Basis.ABSOLUTE else 0.0)))
    log = read_log(table.data(), "cook", atmosphere_kpa=air_kpa)
    column = log.of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is basis
    assert column.absolute_kpa(air_kpa) == pytest.approx(COOK.gauge_kpa + air_kpa, abs=0.02)
    assert "log.pressure-basis-guessed" in ids(log)


@pytest.mark.parametrize(
    ("core", "chamber"),
    [
        ("Core 1", "Chamber"),
        ("Kerntemperatur", "Kammertemperatur"),
        ("bag 3", "steam"),
        ("jar", "retort"),
        ("Température à cœur", "Enceinte"),
        ("núcleo", "cámara"),
        ("cuore", "camera"),
        ("kern", "autoclaaf"),
        ("rdzeń", "komora"),
        ("probe 2 (core)", "probe 1 (chamber)"),
        ("coreTemp", "chamberTemp"),
        ("CORE_C", "CHAMBER_C"),
        ("T core / °C", "T chamber / °C"),
    ],
)
def test_roles_by_their_words(core: str, chamber: str) -> None:
    log = read_log(simple(COOK, names=["min", chamber, core]).data(), "cook")
    assert_is(log)
    assert [column.name for column in log.of_role(ColumnRole.CORE)] == [core]
    assert "log.role-guessed" not in ids(log)


def test_without_words_the_slower_ones_are_cores() -> None:
    table = simple(COOK, names=["min", "T1 [°C]", "T2 [°C]"])
    table.columns.insert(1, numbers(COOK.slow_core_c))
    table.names.insert(1, "T0 [°C]")
    log = read_log(table.data(), "cook")
    roles = {column.name: column.role for column in log.columns}
    assert roles == {
        "T0 [°C]": ColumnRole.CORE,
        "T1 [°C]": ColumnRole.CHAMBER,
        "T2 [°C]": ColumnRole.CORE,
    }
    assert "log.role-guessed" in ids(log)


def test_a_single_probe_without_a_place_is_no_core() -> None:
    table = simple(COOK, names=["min", "chamber", "temperature [°C]"])
    del table.names[1], table.columns[1]
    log = read_log(table.data(), "cook")
    assert log.columns[0].role is ColumnRole.CHAMBER
    assert log.layout.columns[1].role.sure is Sure.UNSURE


def test_columns_of_other_kinds_are_kept_and_never_taken_for_probes() -> None:
    table = simple(COOK)
    table.names += ["humidity [%]", "battery [V]", "status", "F0 [min]", "ambient [°C]"]
    count = len(COOK.seconds)
    table.columns += [
        ["98.5"] * count,
        ["3.61"] * count,
        ["ok"] * count,
        numbers(np.linspace(0, 22, count)),
        ["18.25"] * count,
    ]
    log = read_log(table.data(), "cook")
    assert_is(log)
    uses = {column.name: (column.use, column.role) for column in log.columns}
    assert uses["humidity [%]"] == (Use.NUMBER, ColumnRole.OTHER)
    assert uses["battery [V]"] == (Use.NUMBER, ColumnRole.OTHER)
    assert uses["F0 [min]"] == (Use.NUMBER, ColumnRole.OTHER)
    assert uses["ambient [°C]"] == (Use.TEMPERATURE, ColumnRole.OTHER)
    assert "status" not in uses


def test_thousands_signs() -> None:
    table = simple(COOK)
    table.names.append("pressure [mbar abs]")
    table.columns.append(numbers((COOK.gauge_kpa + AIR_KPA) * 10.0, 1, group=","))
    table.quote = '"'
    column = read_log(table.data(), "cook").of_role(ColumnRole.PRESSURE)[0]
    assert column.values == pytest.approx(COOK.gauge_kpa + AIR_KPA, abs=0.01)


def test_a_comma_before_three_digits_is_decided_by_the_rest_of_the_file() -> None:
    table = simple(COOK)
    table.names.append("pressure [mbar abs]")
    table.columns.append(numbers((COOK.gauge_kpa + AIR_KPA) * 10.0, 0, group="."))
    for column in range(3):
        table.columns[column] = [cell.replace(".", ",") for cell in table.columns[column]]
    table.separator = ";"
    column = read_log(table.data(), "cook").of_role(ColumnRole.PRESSURE)[0]
    assert column.values == pytest.approx(COOK.gauge_kpa + AIR_KPA, abs=0.1)


def test_an_interval_above_readings_without_times() -> None:
    table = simple(COOK)
    del table.names[0], table.columns[0]
    table.preamble = ["Logging interval: 60 s"]
    log = read_log(table.data(), "cook")
    assert_is(log)
    assert log.layout.time_form.value is TimeForm.EVEN


def test_every_guess_says_why_and_how_sure() -> None:
    layout = read_log(german(), "cook").layout
    guesses = [
        layout.encoding,
        layout.separator,
        layout.decimal,
        layout.header_row,
        layout.first_row,
        layout.time_form,
        layout.time_columns,
        layout.date_order,
        *(
            guess
            for column in layout.columns[2:]
            for guess in (column.use, column.role, column.unit)
        ),
    ]
    assert all(guess.why for guess in guesses)
    assert layout.header_row.value == 5
    assert layout.first_row.value == 6
    assert layout.encoding.value == "cp1252"
    assert layout.time_columns.value == (0, 1)


def test_rows_are_those_of_the_file() -> None:
    log = read_log(german(), "cook")
    assert log.rows[0] == 6
    assert log.rows[-1] == 6 + len(COOK.seconds) - 1


def test_known_says_where_all_columns_have_readings() -> None:
    table = simple(COOK)
    table.columns[2][7] = ""
    log = read_log(table.data(), "cook")
    known = log.known(log.columns)
    assert not known[7]
    assert np.count_nonzero(known) == len(COOK.seconds) - 1


def test_air_outside_must_be_of_this_earth() -> None:
    with pytest.raises(InputError, match="atmosphere_kpa"):
        read_log(german(), "cook", atmosphere_kpa=14.7)


@pytest.mark.parametrize("module", [logger_reader, logger_corrections])
def test_examples_in_docstrings(module: object) -> None:
    assert doctest.testmod(module).failed == 0  # type: ignore[arg-type]


def test_decimal_of_the_writer() -> None:
    assert decimal(1234.5, 1, ",", ".") == "1.234,5"
