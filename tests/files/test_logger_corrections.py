"""What is said of a file by hand stands; everything else is guessed again under it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from files.logger_files import AIR_KPA, cook, fahrenheit, numbers, simple, stamps, workbook
from pinset.errors import InputError
from pinset.files.logger.corrections import corrected, said_by_hand
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import (
    Basis,
    ColumnRole,
    CookLog,
    DateOrder,
    LogLayout,
    Sure,
    Use,
)

COOK = cook()
DAY = datetime(2026, 3, 4, 8)  # noqa: DTZ001


def ambiguous() -> bytes:
    table = simple(COOK, names=["time", "T1", "T2", "P"])
    table.columns[0] = stamps("%m/%d/%Y %H:%M:%S", COOK.seconds, DAY)
    table.columns.append(numbers((COOK.gauge_kpa + AIR_KPA) / 100.0, 4))
    return table.data()


def read(changes: dict[str, str], data: bytes | None = None) -> CookLog:
    data = ambiguous() if data is None else data
    first = read_log(data, "cook.csv")
    return read_log(data, "cook.csv", layout=corrected(first.layout, changes))


def test_the_order_of_dates_can_be_said() -> None:
    log = read({"date_order": "mdy"})
    assert log.start == DAY
    assert log.layout.date_order.value is DateOrder.MONTH_FIRST
    assert log.layout.date_order.sure is Sure.GIVEN
    assert "log.date-order" not in {finding.id for finding in log.findings}


@pytest.mark.parametrize("zone", ["+01:00", "Europe/Berlin", "CET"])
def test_the_zone_can_be_said(zone: str) -> None:
    log = read({"date_order": "mdy", "zone": zone})
    assert log.start == DAY.replace(tzinfo=UTC) - timedelta(hours=1)


def test_a_zone_that_is_none() -> None:
    with pytest.raises(InputError, match="Europe/Berlin"):
        read({"zone": "Mars/Olympus"})


def test_roles_can_be_said() -> None:
    log = read({"column.2.role": "core", "column.3.role": "chamber"})
    assert [column.role for column in log.columns[:2]] == [ColumnRole.CORE, ColumnRole.CHAMBER]
    assert "log.swapped" in {finding.id for finding in log.findings}


def test_a_unit_can_be_said() -> None:
    log = read({"column.2.unit": "°F"})
    assert fahrenheit(log.columns[0].values) == pytest.approx(COOK.chamber_c, abs=0.01)
    assert log.columns[1].values == pytest.approx(COOK.core_c, abs=0.01)


def test_a_unit_said_against_all_sense_stands_and_is_remarked_on() -> None:
    table = simple(COOK)
    table.columns[1] = numbers(fahrenheit(COOK.chamber_c))
    log = read({"column.2.unit": "°C"}, table.data())
    assert log.layout.columns[1].unit.value == "°C"
    assert "log.fahrenheit-as-celsius" in {finding.id for finding in log.findings}
    assert "log.unplugged" in {finding.id for finding in log.findings}
    assert np.nanmax(log.columns[0].values) <= 160.0


def test_a_basis_can_be_said() -> None:
    log = read({"column.4.basis": "gauge", "column.4.unit": "bar"})
    column = log.of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is Basis.GAUGE
    assert "log.absolute-as-gauge" in {finding.id for finding in log.findings}


def test_a_column_can_be_left_out() -> None:
    log = read({"column.3.use": "nothing"})
    assert [column.name for column in log.columns] == ["T1", "P"]


def test_a_number_can_be_called_a_temperature() -> None:
    table = simple(COOK, names=["min", "chamber", "signal [mV]"])
    assert read_log(table.data(), "cook.csv").columns[1].use is Use.NUMBER
    log = read(
        {"column.3.use": "temperature", "column.3.role": "core", "column.3.unit": "°C"},
        table.data(),
    )
    assert log.of_role(ColumnRole.CORE)[0].values == pytest.approx(COOK.core_c, abs=0.01)


def test_the_separator_and_the_decimal_sign_can_be_said() -> None:
    table = simple(COOK, names=["s", "chamber", "core"])
    table.columns = [[f"1,{at % 10:03d}" for at in range(181)] for _ in range(3)]
    table.columns[0] = [str(at) for at in range(181)]
    table.separator = ";"
    unsure = read_log(table.data(), "cook.csv")
    assert unsure.layout.decimal.sure is Sure.UNSURE
    assert "log.decimal-guessed" in {finding.id for finding in unsure.findings}
    log = read({"separator": "semicolon", "decimal": ".", "column.2.unit": "K"}, table.data())
    assert log.layout.separator.sure is Sure.GIVEN
    assert log.layout.decimal.value == "."


def test_times_can_be_said() -> None:
    table = simple(COOK, names=["a", "b", "c"])
    table.columns[0] = numbers(COOK.seconds / 3600.0, 6)
    data = table.data()
    assert read({"time_unit": "h"}, data).seconds == pytest.approx(COOK.seconds, abs=0.01)
    assert read({"step_s": "60", "column.1.use": "nothing"}, data).seconds == pytest.approx(
        COOK.seconds
    )
    log = read({"time_columns": "1", "time_unit": "min"}, data)
    assert log.seconds == pytest.approx(COOK.seconds / 60.0, abs=0.001)


def test_two_columns_of_time_can_be_said() -> None:
    table = simple(COOK, names=["day", "clock", "chamber", "core"])
    table.columns = [
        stamps("%d/%m/%Y", COOK.seconds, DAY),
        stamps("%H:%M:%S", COOK.seconds, DAY),
        *table.columns[1:],
    ]
    log = read({"time_columns": "1+2", "date_order": "dmy"}, table.data())
    assert log.start == DAY
    assert log.seconds == pytest.approx(COOK.seconds)


def test_rows_can_be_said() -> None:
    table = simple(COOK, names=["min", "x", "y"])
    table.preamble = ["min,chamber [°C],core [°C]"]
    log = read({"header_row": "1", "first_row": "10"}, table.data())
    assert log.columns[0].name == "chamber [°C]"
    assert log.rows[0] == 10
    assert read({"header_row": "0"}, table.data()).columns[0].name == "column 2"


def test_a_sheet_can_be_said() -> None:
    rows = [[float(cell) for cell in row] for row in zip(*simple(COOK).columns, strict=True)]
    head = ["min", "chamber [°C]", "core [°C]"]

    def other(book: object) -> None:
        sheet = book.add_worksheet("Second")  # type: ignore[attr-defined]
        for at, row in enumerate([head, *rows[:30]]):
            sheet.write_row(at, 0, row)

    data = workbook([head, *rows], others=[other])
    assert len(read_log(data, "c.xlsx").seconds) == 181
    assert len(read({"sheet": "Second"}, data).seconds) == 30
    with pytest.raises(InputError, match="Second, Data"):
        read({"sheet": "Third"}, data)


def test_an_encoding_can_be_said() -> None:
    data = simple(COOK, names=["min", "kammer \xb0C", "k\xf6rner \xb0C"]).data("latin-1")
    log = read({"encoding": "latin-1"}, data)
    assert log.columns[1].name == "k\xf6rner \xb0C"


def test_what_is_said_can_be_kept_as_words() -> None:
    said = {
        "separator": ";",
        "decimal": ",",
        "header_row": "3",
        "time_columns": "1+2",
        "date_order": "dmy",
        "zone": "Europe/Berlin",
        "step_s": "2.5",
        "column.2.role": "core",
        "column.2.unit": "°F",
        "column.4.basis": "gauge",
        "column.5.use": "nothing",
    }
    layout = corrected(LogLayout(), said)
    assert said_by_hand(layout) == said
    assert corrected(LogLayout(), said_by_hand(layout)) == layout


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("colour", "red"),
        ("separator", "x"),
        ("decimal", ";"),
        ("encoding", "ebcdic"),
        ("header_row", "-1"),
        ("header_row", "²"),
        ("first_row", "many"),
        ("time_columns", "0"),
        ("time_columns", "a+b"),
        ("time_form", "sundial"),
        ("time_unit", "fortnight"),
        ("date_order", "ydm"),
        ("step_s", "0"),
        ("step_s", "nan"),
        ("column.0.role", "core"),
        ("column.1.role", "middle"),
        ("column.1.unit", "°R"),
        ("column.1.basis", "sea"),
        ("column.1.colour", "red"),
    ],
)
def test_what_is_not_accepted(key: str, text: str) -> None:
    with pytest.raises(InputError, match="accepted"):
        corrected(LogLayout(), {key: text})


@pytest.mark.parametrize(
    "said",
    [
        {"time_columns": "9"},
        {"header_row": "9999"},
        {"first_row": "9999"},
        {"column.2.unit": "bar"},
        {"column.4.unit": "°C"},
        {"column.99.role": "core"},
    ],
)
def test_what_does_not_fit_the_file(said: dict[str, str]) -> None:
    with pytest.raises(InputError, match="accepted"):
        read(said)
