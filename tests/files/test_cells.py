"""One cell: what is read, what is refused, and that writing and reading agree."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.register import RoomKind, Weekday
from pinset.errors import InputError
from pinset.files.description.cells import CellError, Code, LotCode, Several, Text, YesNo, choice
from pinset.files.description.day_cells import Clock, Day, WeekdayKind
from pinset.files.description.number_cells import Fraction, Number
from pinset.files.description.toml_lines import line_of, lines_of
from pinset.files.numbers import as_decimal, plain_number, read_number

UNITS: Any = pint.UnitRegistry()
KILOGRAMS = Number(0, 1000, "kg", "mass", scale=1000, whole=True)
CELSIUS = Number(-30, 60, "°C", "temperature")
MINUTES = Number(0, 10_000, "minutes", "time")
WHOLE = Number(1, 100, whole=True)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("5", "5"),
        ("-2.5", "-2.5"),
        ("2,5", "2.5"),
        (",5", "0.5"),
        ("0,125", "0.125"),
        ("1.234,5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1,234,567", "1234567"),
        ("12 345", "12345"),
        ("12\u202f345,5", "12345.5"),
        ("12'345.5", "12345.5"),
        ("1e3", "1000"),
        ("\u22124", "-4"),
    ],
)
def test_numbers_as_they_are_written(text: str, number: str) -> None:
    assert read_number(text) == Decimal(number)


@pytest.mark.parametrize("text", ["1,234", "-12,500"])
def test_a_number_with_two_readings_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="It could be"):
        read_number(text)
    assert read_number(text, comma_is_decimal=True) == Decimal(text.replace(",", "."))


@pytest.mark.parametrize(
    "text", ["", "abc", "1.2.3", "1,23,4", "--1", "1e9999", "٣", "0x10", "nan"]
)
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(InputError):
        read_number(text)


@given(st.floats(-1e12, 1e12))
def test_numbers_are_written_so_that_they_are_read_back(value: float) -> None:
    for scaled in (as_decimal(value), as_decimal(value) / 1000):
        assert read_number(plain_number(scaled)) == scaled


@pytest.mark.parametrize(
    ("kind", "text", "magnitude", "unit", "target"),
    [
        (KILOGRAMS, "5 lb", 5, "pound", "gram"),
        (KILOGRAMS, "12 oz", 12, "ounce", "gram"),
        (KILOGRAMS, "750g", 750, "gram", "gram"),
        (CELSIUS, "70 F", 70, "degF", "degC"),
        (CELSIUS, "290 K", 290, "kelvin", "degC"),
        (MINUTES, "1.5 h", 1.5, "hour", "minute"),
        (Number(0, 6000, "m", "length"), "4070 ft", 4070, "foot", "meter"),
        (Number(0, 100, "L", "volume"), "5 gal", 5, "gallon", "liter"),
        (Number(0, 10, "bar", "gauge pressure"), "15 psi", 15, "psi", "bar"),
    ],
)
def test_other_units_against_pint(
    kind: Number, text: str, magnitude: float, unit: str, target: str
) -> None:
    """Conversions compared with the units library pint."""
    expected = UNITS.Quantity(magnitude, unit).to(target).magnitude
    tolerance = 0.5 if kind.whole else 1e-6
    assert kind.read(text) == pytest.approx(expected, abs=tolerance)


def test_several_parts_of_an_amount() -> None:
    assert MINUTES.read("2 h 35 min") == 155


@pytest.mark.parametrize(
    ("kind", "cell", "name"),
    [
        (KILOGRAMS, "12 gal", "unit"),
        (KILOGRAMS, "kg", "number"),
        (KILOGRAMS, "1.2345", "not-whole"),
        (KILOGRAMS, "-1", "out-of-range"),
        (KILOGRAMS, 2000, "out-of-range"),
        (KILOGRAMS, True, "number"),
        (KILOGRAMS, date(2026, 1, 1), "number"),
        (KILOGRAMS, float("nan"), "number"),
        (KILOGRAMS, 10**40, "number"),
        (WHOLE, "3 kg", "unit"),
        (WHOLE, 2.5, "not-whole"),
        (Fraction(), "5", "out-of-range"),
        (Fraction(), "120 %", "out-of-range"),
        (Code(), "grey oyster", "code"),
        (Code(), "x" * 41, "code"),
        (Code(), "böden", "code"),
        (Text(5), "too long", "too-long"),
        (Text(), "a\x07b", "control-sign"),
        (LotCode(), "7K4MX", "lot-code"),
        (LotCode(), "7K4MV/3", "lot-code"),
        (YesNo(), "maybe", "word"),
        (choice(RoomKind), "kitchen", "word"),
        (Clock(), "24:00", "clock"),
        (Clock(), "7", "clock"),
        (WeekdayKind(Weekday), "fr", "weekday"),
        (Day(), "03/04/2026", "date-ambiguous"),
        (Day(), "31.02.2026", "date"),
        (Day(), "12.03.26", "date"),
        (Day(), "3000-01-01", "date-range"),
        (Day(), 46000.0, "date"),
        (Several(WHOLE), "1 x", "number"),
    ],
)
def test_what_is_refused(kind: Any, cell: Any, name: str) -> None:
    with pytest.raises(CellError) as caught:
        kind.read(cell)
    assert caught.value.name == name
    assert caught.value.accepted


@pytest.mark.parametrize(
    ("kind", "cell", "value"),
    [
        (Code(), " Grey-Oyster ", "grey-oyster"),
        (Code(), 101.0, "101"),
        (LotCode(), "7k4mv", "7K4MV"),
        (YesNo(), " YES ", True),
        (YesNo(), False, False),
        (choice(RoomKind), "GROWING", RoomKind.GROWING),
        (Clock(), "7:30", "07:30"),
        (Clock(), "07.30", "07:30"),
        (Clock(), time(16, 5), "16:05"),
        (WeekdayKind(Weekday), "Friday", Weekday.FRI),
        (WeekdayKind(Weekday), "thurs.", Weekday.THU),
        (Day(), datetime(2026, 3, 12), date(2026, 3, 12)),  # noqa: DTZ001 - as a workbook gives it
        (Day(), "25/12/2026", date(2026, 12, 25)),
        (Day(), "12/25/2026", date(2026, 12, 25)),
        (Day(), "05/05/2026", date(2026, 5, 5)),
        (Fraction(), "5 %", 0.05),
        (Fraction(), 0.05, 0.05),
        (Several(WeekdayKind(Weekday)), "mon, Wed;fri", (Weekday.MON, Weekday.WED, Weekday.FRI)),
        (Several(WHOLE), 5.0, (5,)),
    ],
)
def test_what_is_read(kind: Any, cell: Any, value: object) -> None:
    assert kind.read(cell) == value


@given(st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc")), max_size=30))
def test_text_is_read_back_even_if_it_looks_like_a_formula(text: str) -> None:
    text = text.replace("\xa0", " ").strip()
    shown = Text().show(text)
    assert not shown.startswith(("=", "+", "-", "@", "#"))
    assert Text().read(shown) == text


def test_lines_of_toml() -> None:
    text = '# note\n[farm]\nname = "x [[y]]"\n\n[[rooms]]\ncode = "a"\nshelves = [\n  { code = "1" },\n  { code = "2" },\n]\nkind = "cold"\n\n[[rooms]]\n  [[rooms.shelves]]\n  code = "3"\n'  # noqa: E501
    lines = lines_of(text)
    assert line_of(("farm", "name"), lines) == 3
    assert line_of(("rooms", 0), lines) == 5
    assert line_of(("rooms", 0, "shelves", 1, "code"), lines) == 9
    assert line_of(("rooms", 0, "kind"), lines) == 11
    assert line_of(("rooms", 1, "shelves", 0, "code"), lines) == 15
    assert line_of(("benches", 0), lines) is None
