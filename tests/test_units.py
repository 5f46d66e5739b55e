"""Conversions, checked beside pint (a general library of units)."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.units import (
    UNITS,
    Quantity,
    Unit,
    accepted_units,
    convert,
    grams,
    parse,
    rounded,
    show,
    show_grams,
)

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
BASE = {
    Quantity.MASS: "kilogram",
    Quantity.VOLUME: "meter ** 3",
    Quantity.LENGTH: "meter",
    Quantity.AREA: "meter ** 2",
    Quantity.TEMPERATURE: "degC",
    Quantity.GAUGE_PRESSURE: "pascal",
    Quantity.ABSOLUTE_PRESSURE: "pascal",
    Quantity.TIME: "second",
    Quantity.FLOW: "meter ** 3 / second",
    Quantity.SPEED: "meter / second",
    Quantity.POWER: "watt",
}
PINT_NAME = {
    "t": "metric_ton", "lb": "pound", "oz": "ounce", "gal": "gallon", "qt": "quart",
    "fl oz": "fluid_ounce", "ft³": "foot ** 3", "m³": "meter ** 3", "in": "inch", "ft": "foot",
    "m²": "meter ** 2", "cm²": "centimeter ** 2", "ft²": "foot ** 2", "in²": "inch ** 2",
    "°C": "degC", "°F": "degF", "K": "kelvin", "kgf/cm²": "kilogram_force / centimeter ** 2",
    "min": "minute", "h": "hour", "s": "second", "d": "day", "wk": "week",
    "m³/h": "meter ** 3 / hour", "m³/s": "meter ** 3 / second", "L/s": "liter / second",
    "L/min": "liter / minute", "cfm": "foot ** 3 / minute", "fpm": "foot / minute",
    "m/s": "meter / second", "cm/s": "centimeter / second", "Btu/h": "Btu_it / hour",
    "hp": "horsepower", "in wg": "inH2O",
}  # fmt: skip
EVERY_UNIT = [(quantity, unit) for quantity, units in UNITS.items() for unit in units]


@pytest.mark.parametrize(("quantity", "unit"), EVERY_UNIT, ids=lambda x: getattr(x, "name", x))
def test_every_unit_converts_as_pint_does(quantity: Quantity, unit: Unit) -> None:
    for given_number in (0.5, 7.0, 98.6):
        theirs = REGISTRY.Quantity(given_number, PINT_NAME.get(unit.name, unit.name))
        ours = parse(quantity, f"{given_number} {unit.name}")
        assert ours == pytest.approx(theirs.to(BASE[quantity]).magnitude, rel=1e-12, abs=1e-12)
        assert convert(quantity, ours, unit.name) == pytest.approx(given_number, rel=1e-12)


@pytest.mark.parametrize(("quantity", "unit"), EVERY_UNIT, ids=lambda x: getattr(x, "name", x))
def test_every_spelling_is_read_in_any_case(quantity: Quantity, unit: Unit) -> None:
    for spelling in unit.spellings:
        for text in (f"3 {spelling}", f"3{spelling.upper()}"):
            assert parse(quantity, text) == pytest.approx(3 * unit.factor + unit.offset)


@pytest.mark.parametrize("quantity", list(Quantity))
def test_no_spelling_means_two_units(quantity: Quantity) -> None:
    seen: dict[str, str] = {}
    for unit in UNITS[quantity]:
        for spelling in {unit.name.lower(), *unit.spellings}:
            assert seen.setdefault(spelling, unit.name) == unit.name


@pytest.mark.parametrize(
    ("quantity", "text", "default", "expected"),
    [
        ("gauge pressure", "15 psi", "", 103421.359),
        ("gauge pressure", "15 psig", "", 103421.359),
        ("gauge pressure", "1.03 bar", "", 103000.0),
        ("absolute pressure", "2,05 bar abs", "", 205000.0),
        ("mass", "5 lb", "", 2.26796185),
        ("mass", "5 lb 4 oz", "", 2.381359943),
        ("mass", "2 lb 3 oz", "", 0.992233309),
        ("mass", "2,5 kg", "", 2.5),
        ("mass", "650", "g", 0.65),
        ("mass", "1 240 g", "", 1.24),
        ("mass", "0,125 kg", "", 0.125),
        ("mass", ".5kg", "", 0.5),
        ("temperature", "70 F", "", 21.1111111),
        ("temperature", "-40°F", "", -40.0),
        ("temperature", "121.1", "°C", 121.1),
        ("time", "2 h 35 min", "", 9300.0),
        ("time", "2h35min", "", 9300.0),
        ("length", "1240", "m", 1240.0),
        ("length", "5 ft 6 in", "", 1.6764),
        ("volume", "0.5 fl oz", "", 1.478676478e-5),
        ("area", "3 m2", "", 3.0),
        ("flow", "1200 m3/h", "", 1 / 3),
    ],
)
def test_what_people_type(quantity: str, text: str, default: str, expected: float) -> None:
    assert parse(quantity, text, default) == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize(
    ("quantity", "text", "words"),
    [
        ("mass", "", "a number with one of kg, g, mg, t, lb, oz"),
        ("mass", "kg", "a number with one of kg"),
        ("mass", "5", "a number with one of kg"),
        ("mass", "5 psi", "a number with one of kg"),
        ("mass", "five kg", "a number with one of kg"),
        ("mass", "5 kg of rye", "a number with one of kg"),
        ("mass", "5 kg 3", "a number with one of kg"),
        ("mass", "1.2.3 kg", "a number with one of kg"),
        ("mass", "nan kg", "a number with one of kg"),
        ("mass", "1,240 g", "Write 1240 or 1.240"),
        ("mass", "1" + "0" * 400 + " kg", "not so large"),
        ("temperature", "20 C 5 F", "one of °C, °F, K"),
        ("temperature", "-300 C", "at least -273.15"),
        ("absolute pressure", "15 psig", "a number with one of bar"),
        ("absolute pressure", "-1 bar", "0 or more"),
        ("gauge pressure", "30 psia", "a number with one of bar"),
        ("colour", "1 kg", "one of mass, volume"),
    ],
)
def test_what_is_refused_says_what_is_accepted(quantity: str, text: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        parse(quantity, text)
    assert words in str(caught.value)


def test_the_message_names_the_field_and_what_was_given() -> None:
    with pytest.raises(InputError, match=r"altitude: '12 kg' is not accepted; .* m, cm, mm, km"):
        parse("length", "12 kg", field="altitude")


@given(st.sampled_from(EVERY_UNIT), st.floats(0.001, 1e6))
def test_there_and_back(pair: tuple[Quantity, Unit], number: float) -> None:
    quantity, unit = pair
    inside = parse(quantity, f"{number!r} {unit.name}") if "e" not in repr(number) else None
    if inside is not None:
        assert convert(quantity, inside, unit.name) == pytest.approx(number, rel=1e-9, abs=1e-9)


@given(st.text(max_size=12))
def test_any_text_is_a_number_or_a_clear_refusal(text: str) -> None:
    try:
        value = parse("mass", text, "kg")
    except InputError:
        return
    assert math.isfinite(value)


@pytest.mark.parametrize(
    ("quantity", "value", "metric", "us"),
    [
        ("mass", 0.65, "650 g", "1.43 lb"),
        ("mass", 2.5, "2.5 kg", "5.51 lb"),
        ("mass", 0.1, "100 g", "3.5 oz"),
        ("mass", 1234.5, "1\u202f234.5 kg", "2\u202f721.61 lb"),
        ("temperature", 21.1111, "21.1 °C", "70 °F"),
        ("temperature", -0.01, "0 °C", "32 °F"),
        ("gauge pressure", 103421.36, "1.03 bar", "15 psi"),
        ("absolute pressure", 101325.0, "1.013 bar", "14.7 psi"),
        ("volume", 0.00025, "250 mL", "8.5 fl oz"),
        ("volume", 0.0038, "3.8 L", "1 gal"),
        ("length", 1240.0, "1\u202f240 m", "4\u202f068.2 ft"),
        ("length", 0.038, "38 mm", "1.5 in"),
        ("area", 10.0, "10 m²", "107.6 ft²"),
        ("flow", 0.3333333, "1\u202f200 m³/h", "706 cfm"),
        ("time", 9300.0, "2 h 35 min", "2 h 35 min"),
        ("time", 3600.0, "1 h", "1 h"),
        ("time", 45.0, "45 s", "45 s"),
        ("time", 20.0, "20 s", "20 s"),
        ("time", 0.0, "0 min", "0 min"),
        ("time", -90.0, "-2 min", "-2 min"),
    ],
)
def test_what_is_shown(quantity: str, value: float, metric: str, us: str) -> None:
    assert show(quantity, value) == metric
    assert show(quantity, value, "us") == us


@pytest.mark.parametrize(
    ("quantity", "value", "system", "words"),
    [
        ("mass", 1.0, "imperial", "metric or us"),
        ("mass", math.nan, "metric", "a number"),
        ("mass", math.inf, "us", "a number"),
        ("brightness", 1.0, "us", "one of mass"),
    ],
)
def test_what_cannot_be_shown(quantity: str, value: float, system: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        show(quantity, value, system)


def test_unit_of_another_quantity_cannot_be_converted_to() -> None:
    with pytest.raises(InputError, match="kg, g, mg"):
        convert("mass", 1.0, "bar")


def test_whole_grams_are_rounded_half_up() -> None:
    assert grams("0.0125 kg") == 13
    assert grams("12.4", "g") == 12
    assert grams("5 lb") == 2268
    assert show_grams(650) == "650 g"
    assert show_grams(2268, "us") == "5 lb"
    assert grams("9" * 30, "kg") >= 10**32  # refused where it is too much, not a fault here
    assert str(rounded(2.675, 2)) == "2.68"  # as people round, not as binary fractions do


def test_accepted_units_are_named_for_every_quantity() -> None:
    for quantity in Quantity:
        assert accepted_units(quantity).count(",") == len(UNITS[quantity]) - 1
