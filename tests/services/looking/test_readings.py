"""Readings of a room as they are typed: with units, with a comma, absurd ones refused."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.looking.readings import (
    Readings,
    checked,
    co2_of,
    humidity_of,
    kept,
    temperature_of,
)


@pytest.mark.parametrize(
    ("typed", "system", "celsius"),
    [
        ("70 F", "metric", 21.111),  # (70 - 32) / 1.8
        ("70", "us", 21.111),
        ("21,5", "metric", 21.5),
        ("21 C", "us", 21.0),
        ("-2", "metric", -2.0),
    ],
)
def test_a_temperature_carries_its_unit_or_takes_the_farms(
    typed: str, system: str, celsius: float
) -> None:
    assert temperature_of(typed, system) == pytest.approx(celsius, abs=1e-3)


@pytest.mark.parametrize(
    ("typed", "ppm"), [("800", 800), ("800 ppm", 800), ("0.08 %", 800), ("0,5%", 5000)]
)
def test_carbon_dioxide_in_ppm_or_per_cent(typed: str, ppm: float) -> None:
    """1 % is 10,000 ppm."""
    assert co2_of(typed) == pytest.approx(ppm)


def test_humidity_with_and_without_its_sign() -> None:
    assert humidity_of("88 %") == humidity_of("88") == 88.0


def test_nothing_typed_is_nothing_read() -> None:
    assert temperature_of(" ", "metric") is None
    assert humidity_of("") is None
    assert co2_of("") is None
    assert Readings().is_empty
    assert not Readings(flies=0).is_empty, "no flies is a reading"


@pytest.mark.parametrize("typed", ["warm", "20 bar", "1,240", "20 C 5 F"])
def test_what_is_no_temperature_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="temperature"):
        temperature_of(typed, "metric")


@pytest.mark.parametrize("typed", ["wet", "88 m", "8 8 8"])
def test_what_is_no_humidity_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="humidity"):
        humidity_of(typed)


@pytest.mark.parametrize("typed", ["much", "800 mg", "1,240 ppm"])
def test_what_is_no_carbon_dioxide_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="co2"):
        co2_of(typed)


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (Readings(temperature_c=400.0), "-10 °C to 60 °C"),
        (Readings(temperature_c=-60.0), "Look at the unit"),
        (Readings(humidity_percent=101.0), "0 to 100 %"),
        (Readings(humidity_percent=-1.0), "humidity"),
        (Readings(co2_ppm=1e6), "0 to 100,000 ppm"),
        (Readings(flies=-1), "flies"),
        (Readings(flies=10**6), "flies"),
        (Readings(flies=3, traps=0), "traps"),
        (Readings(flies=3, trap_days=0.0), "trap_days"),
        (Readings(flies=3, trap_days=90.0), "trap_days"),
    ],
)
def test_what_cannot_be_in_a_room_is_refused(readings: Readings, words: str) -> None:
    with pytest.raises(InputError, match=words):
        checked(readings)


def test_a_refusal_speaks_the_farms_unit() -> None:
    with pytest.raises(InputError, match="14 °F to 140 °F"):  # -10 and 60 °C
        checked(Readings(temperature_c=400.0), "us")


def test_flies_per_trap_and_day() -> None:
    """12 flies on 2 traps in 3 days are 2 a trap and day."""
    readings = Readings(flies=12, traps=2, trap_days=3.0)
    assert readings.flies_per_trap_day == 2.0
    assert kept(readings) == {
        "flies": 12, "traps": 2, "trap_days": 3.0, "flies_per_trap_day": 2.0,
    }  # fmt: skip
    assert kept(Readings(flies=0)) == {"flies": 0, "traps": 1}
    assert kept(Readings(temperature_c=0.0)) == {"temperature_c": 0.0}
