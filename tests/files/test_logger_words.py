"""Heads of columns: what they speak of, in which unit."""

from __future__ import annotations

import pytest

from pinset.files.logger.places import is_of_log
from pinset.files.logger.records import Basis
from pinset.files.logger.words import (
    Topic,
    basis_in,
    is_unit,
    letter_in,
    topics_in,
    unit_in,
)


@pytest.mark.parametrize(
    ("head", "unit"),
    [
        ("Core [°C]", "°C"),
        ("Temp, °C (LGR S/N: 1)", "°C"),
        ("Temp Â°C", "°C"),
        ("Temp \ufffdC", "°C"),
        ("Temp ºF", "°F"),
        ("Temperature (deg F)", "°F"),
        ("Temp ℃", "°C"),
        ("T/K", ""),
        ("T [K]", "K"),
        ("Temperatur in Celsius", "°C"),
        ("Type K", ""),
        ("Channel 1", ""),
        ("Fahrenheit", "°F"),
    ],
)
def test_units_of_temperature(head: str, unit: str) -> None:
    assert unit_in(head, Topic.TEMPERATURE) == unit


@pytest.mark.parametrize(
    ("head", "unit", "basis"),
    [
        ("Pressure [bar g]", "bar", Basis.GAUGE),
        ("P bar(g)", "bar", Basis.GAUGE),
        ("psig", "psi", Basis.GAUGE),
        ("psia", "psi", Basis.ABSOLUTE),
        ("P (bara)", "bar", Basis.ABSOLUTE),
        ("Druck [bar abs]", "bar", Basis.ABSOLUTE),
        ("Dampfdruck mbar ü", "mbar", Basis.GAUGE),
        ("Überdruck [kPa]", "kPa", Basis.GAUGE),
        ("Druck rel. [mbar]", "mbar", Basis.GAUGE),
        ("absolute pressure, MPa", "MPa", Basis.ABSOLUTE),
        ("kPaA", "kPa", Basis.ABSOLUTE),
        ("pressure_bar_gauge", "bar", Basis.GAUGE),
        ("Presión manométrica (kgf/cm2)", "kgf/cm²", Basis.GAUGE),
        ("Pressure (hPa)", "mbar", None),
        ("Pression", "", None),
    ],
)
def test_units_of_pressure_and_what_they_count_from(
    head: str, unit: str, basis: Basis | None
) -> None:
    assert unit_in(head, Topic.PRESSURE) == unit
    assert basis_in(head) is basis


@pytest.mark.parametrize(
    ("head", "topic"),
    [
        ("Zeit", Topic.TIME),
        ("Date Time, GMT+01:00", Topic.TIME),
        ("elapsed [min]", Topic.ELAPSED),
        ("No.", Topic.INDEX),
        ("#", Topic.INDEX),
        ("Feuchte %rF", Topic.NUMBER),
        ("F0 (min)", Topic.NUMBER),
        ("Dampfdruck", Topic.PRESSURE),
        ("Fühler 3", Topic.TEMPERATURE),
    ],
)
def test_topics(head: str, topic: Topic) -> None:
    assert topic in topics_in(head)
    assert is_of_log(head)


def test_a_numbered_sample_with_a_word_is_no_running_number() -> None:
    assert Topic.INDEX in topics_in("sample 1")
    assert Topic.INDEX not in topics_in("sample 1 core")


@pytest.mark.parametrize(
    "cell", ["°C", "[K]", "(bar)", "bar g", "psi (abs)", "%", "F", "mm:ss", "deg C"]
)
def test_cells_that_are_units(cell: str) -> None:
    assert is_unit(cell)


@pytest.mark.parametrize("cell", ["Laufzeit s", "Kern °C", "core", "12", "Probe C"])
def test_cells_that_are_more(cell: str) -> None:
    assert not is_unit(cell)


@pytest.mark.parametrize(
    ("head", "letter"),
    [("temp_c", "c"), ("Probe F", "f"), ("TC type K", ""), ("core", ""), ("T", "t")],
)
def test_single_letters(head: str, letter: str) -> None:
    assert letter_in(head) == letter


@pytest.mark.parametrize(
    ("head", "is_pressure"),
    [
        ("sensor.pressure_cooker_core", False),
        ("pressure_cooker_chamber", False),
        ("Pressure vessel", False),
        ("autoclave_pressure_probe_temp", False),
        ("Druckkessel Kern", False),
        ("sensor.pressure_cooker_pressure", True),
        ("core_pressure", True),
        ("chamber temp under pressure", False),
        ("temp and pressure", True),
        ("pressure sensor 1", True),
        ("Dampfdruck", True),
        ("P1", True),
    ],
)
def test_the_last_word_tells_a_pressure_from_a_vessel_under_pressure(
    head: str, *, is_pressure: bool
) -> None:
    assert (Topic.PRESSURE in topics_in(head)) is is_pressure
