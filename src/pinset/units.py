"""Conversions, used only at the edges: what people type in, what they are shown.

One short table says which units each quantity accepts, so that a message can name them. Inside
the program: kg, m³, m, m², °C, Pa, s and m³/s. A pressure is gauge or absolute by its quantity and
never turns from one into the other here, because that needs the air pressure of the place.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from enum import StrEnum

from pinset.errors import InputError


class Quantity(StrEnum):
    """What a number measures; the comment is the unit used inside."""

    MASS = "mass"  # kg
    VOLUME = "volume"  # m³
    LENGTH = "length"  # m
    AREA = "area"  # m²
    TEMPERATURE = "temperature"  # °C
    GAUGE_PRESSURE = "gauge pressure"  # Pa above the air outside
    ABSOLUTE_PRESSURE = "absolute pressure"  # Pa
    TIME = "time"  # s
    FLOW = "flow"  # m³/s
    SPEED = "speed"  # m/s
    POWER = "power"  # W


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit a person may type: base = given * factor + offset."""

    name: str  # as shown
    factor: float
    offset: float = 0.0
    spellings: tuple[str, ...] = ()  # besides the name; compared without case and spaces


POUND_KG = 0.45359237
"""kg, exact: international yard and pound agreement of 1959."""

INCH_M = 0.0254
"""m, exact: the same."""

GALLON_M3 = 231 * INCH_M**3
"""m³, exact: the US liquid gallon is 231 cubic inches."""

STANDARD_GRAVITY = 9.80665
"""m/s², exact: third General Conference on Weights and Measures, 1901."""

PSI_PA = POUND_KG * STANDARD_GRAVITY / INCH_M**2
"""Pa, exact by the three above."""

INCH_WATER_PA = 1e3 * STANDARD_GRAVITY * INCH_M
"""Pa: an inch of water of 1 000 kg/m³, the conventional inch of water gauge."""

BTU_J = 1055.05585262
"""J, exact: the international table Btu, 1956."""

FOOT_M = 12 * INCH_M
_LITRE = 1e-3
_MINUTE = 60.0
_HOUR = 3600.0


def _pressures(mark: str, word: str) -> tuple[Unit, ...]:
    """Return pressure units; `mark` is g or a, as in psig and psia."""
    scale = (
        ("bar", 1e5, ()),
        ("mbar", 100.0, ("hpa",)),
        ("kPa", 1e3, ()),
        ("Pa", 1.0, ()),
        ("psi", PSI_PA, ("lb/in2", "lb/in²")),
        ("kgf/cm²", STANDARD_GRAVITY * 1e4, ("kgf/cm2", "kg/cm2", "kg/cm²")),
        ("in wg", INCH_WATER_PA, ("inwg", "inh2o", "in.wg")),
    )
    return tuple(
        Unit(
            name,
            factor,
            spellings=tuple(
                f"{spelling}{ending}"
                for spelling in (name.lower(), *others)
                for ending in ("", mark, f"({mark})", word)
            ),
        )
        for name, factor, others in scale
    )


UNITS: dict[Quantity, tuple[Unit, ...]] = {
    Quantity.MASS: (
        Unit("kg", 1.0, spellings=("kilo", "kilos", "kilogram", "kilograms")),
        Unit("g", 1e-3, spellings=("gram", "grams")),
        Unit("mg", 1e-6),
        Unit("t", 1e3, spellings=("tonne", "tonnes")),
        Unit("lb", POUND_KG, spellings=("lbs", "pound", "pounds")),
        Unit("oz", POUND_KG / 16, spellings=("ounce", "ounces")),
    ),
    Quantity.VOLUME: (
        Unit("L", _LITRE, spellings=("litre", "litres", "liter", "liters")),
        Unit(
            "mL", 1e-6, spellings=("millilitre", "millilitres", "milliliter", "milliliters", "cc")
        ),
        Unit("m³", 1.0, spellings=("m3",)),
        Unit("gal", GALLON_M3, spellings=("gallon", "gallons", "usgal")),
        Unit("qt", GALLON_M3 / 4, spellings=("quart", "quarts")),
        Unit("fl oz", GALLON_M3 / 128),
        Unit("ft³", FOOT_M**3, spellings=("ft3", "cuft")),
    ),
    Quantity.LENGTH: (
        Unit("m", 1.0, spellings=("metre", "metres", "meter", "meters")),
        Unit("cm", 1e-2),
        Unit("mm", 1e-3),
        Unit("km", 1e3),
        Unit("ft", FOOT_M, spellings=("foot", "feet", "'")),
        Unit("in", INCH_M, spellings=("inch", "inches", '"')),
    ),
    Quantity.AREA: (
        Unit("m²", 1.0, spellings=("m2", "sqm")),
        Unit("cm²", 1e-4, spellings=("cm2",)),
        Unit("ft²", FOOT_M**2, spellings=("ft2", "sqft")),
        Unit("in²", INCH_M**2, spellings=("in2", "sqin")),
    ),
    Quantity.TEMPERATURE: (
        Unit("°C", 1.0, spellings=("c", "degc", "celsius")),
        Unit("°F", 5 / 9, -160 / 9, spellings=("f", "degf", "fahrenheit")),
        Unit("K", 1.0, -273.15, spellings=("kelvin",)),
    ),
    Quantity.GAUGE_PRESSURE: _pressures("g", "gauge"),
    Quantity.ABSOLUTE_PRESSURE: _pressures("a", "abs"),
    Quantity.TIME: (
        Unit("min", _MINUTE, spellings=("minute", "minutes")),
        Unit("h", _HOUR, spellings=("hr", "hrs", "hour", "hours")),
        Unit("s", 1.0, spellings=("sec", "second", "seconds")),
        Unit("d", 24 * _HOUR, spellings=("day", "days")),
        Unit("wk", 168 * _HOUR, spellings=("week", "weeks")),
    ),
    Quantity.FLOW: (
        Unit("m³/h", 1 / _HOUR, spellings=("m3/h",)),
        Unit("m³/s", 1.0, spellings=("m3/s",)),
        Unit("L/s", _LITRE),
        Unit("L/min", _LITRE / 60),
        Unit("cfm", FOOT_M**3 / 60, spellings=("ft3/min", "ft³/min")),
    ),
    Quantity.SPEED: (
        Unit("m/s", 1.0),
        Unit("cm/s", 1e-2),
        Unit("fpm", FOOT_M / 60, spellings=("ft/min",)),
    ),
    Quantity.POWER: (
        Unit("W", 1.0, spellings=("watt", "watts")),
        Unit("kW", 1e3),
        Unit("Btu/h", BTU_J / _HOUR, spellings=("btuh",)),
        Unit("hp", 550 * FOOT_M * POUND_KG * STANDARD_GRAVITY, spellings=("horsepower",)),
    ),
}
"""What each quantity accepts; the first of each is what a metric farm types most."""

_BASE = {
    Quantity.MASS: "kg",
    Quantity.VOLUME: "m³",
    Quantity.LENGTH: "m",
    Quantity.AREA: "m²",
    Quantity.TEMPERATURE: "°C",
    Quantity.GAUGE_PRESSURE: "Pa",
    Quantity.ABSOLUTE_PRESSURE: "Pa",
    Quantity.TIME: "s",
    Quantity.FLOW: "m³/s",
    Quantity.SPEED: "m/s",
    Quantity.POWER: "W",
}
_ADDS_UP = frozenset({Quantity.MASS, Quantity.TIME, Quantity.LENGTH, Quantity.VOLUME})
_ABSOLUTE_ZERO_C = -273.15
_NUMBER = r"[+-]?(?:\d{1,3}(?: \d{3})+|\d+)?(?:[.,]\d+)?"
_TERM = re.compile(
    rf"\s*({_NUMBER})\s*([^\d\s+\-.,][^\d+\-,]*(?:(?<=[a-zA-Z])[23](?![\d.,]))?[^\d+\-,]*)?"
)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def accepted_units(quantity: Quantity | str) -> str:
    """Return the units a quantity accepts, as a message names them.

    Raises
    ------
    InputError
        If there is no such quantity.

    Examples
    --------
    >>> accepted_units("temperature")
    '°C, °F, K'
    """
    return ", ".join(unit.name for unit in UNITS[_quantity(quantity)])


def _quantity(quantity: Quantity | str) -> Quantity:
    try:
        return Quantity(quantity)
    except ValueError:
        raise InputError("quantity", quantity, f"one of {', '.join(Quantity)}") from None


def _find(quantity: Quantity, spelling: str) -> Unit | None:
    bare = "".join(spelling.split()).lower()
    exact = [unit for unit in UNITS[quantity] if unit.name == spelling.strip()]
    for unit in exact or UNITS[quantity]:
        if bare in {"".join(unit.name.split()).lower(), *unit.spellings}:
            return unit
    return None


def _number(text: str, field: str, given: str) -> float:
    if _THOUSANDS.fullmatch(text):
        raise InputError(
            field,
            given,
            "a number that can be read one way only",
            f"Write {text.replace(',', '')} or {text.replace(',', '.')}.",
        )
    return float(text.replace(" ", "").replace(",", "."))


def parse(quantity: Quantity | str, text: str, default_unit: str = "", field: str = "") -> float:
    """Return what a person typed, in the unit used inside.

    Parameters
    ----------
    quantity : Quantity or str
        What is measured.
    text : str
        A number with a unit: ``15 psi``, ``1.03 bar``, ``5 lb``, ``70 F``, ``2,5 kg``,
        ``2 h 35 min``.
    default_unit : str
        The unit of a bare number; empty refuses bare numbers.
    field : str
        The input by the name the reader knows; the quantity's name if empty.

    Returns
    -------
    float
        kg, m³, m, m², °C, Pa, s, m³/s, m/s or W.

    Raises
    ------
    InputError
        If it is no number, the unit is not one of the quantity's, or a comma could be either a
        decimal or a thousands sign (``1,240``).

    Examples
    --------
    >>> parse("mass", "2,5 kg")
    2.5
    >>> parse("time", "2 h 35 min")
    9300.0
    """
    what = _quantity(quantity)
    name = field or what.value
    accepted = f"a number with one of {accepted_units(what)}"
    terms = _terms(text)
    if not terms or (len(terms) > 1 and what not in _ADDS_UP):
        raise InputError(name, text, accepted)
    total = 0.0
    for number, spelling in terms:
        unit = _find(what, spelling or default_unit)
        if unit is None or (len(terms) > 1 and not spelling):
            raise InputError(name, text, accepted)
        total += _number(number, name, text) * unit.factor + unit.offset
    _refuse_impossible(what, total, name, text)
    return total


def _terms(text: str) -> list[tuple[str, str]]:
    """Split ``2 h 35 min`` into numbers and spellings; empty if anything is left over."""
    rest, terms = text.replace("\u00a0", " ").replace("\u202f", " ").strip(), []
    while rest:
        found = _TERM.match(rest)
        if found is None or not any(sign.isdigit() for sign in found[1]):
            return []
        terms.append((found[1], (found[2] or "").strip()))
        rest = rest[found.end() :].strip()
    return terms


def _refuse_impossible(what: Quantity, value: float, name: str, text: str) -> None:
    if not math.isfinite(value):
        raise InputError(name, text, "a number that is not so large")
    if what is Quantity.TEMPERATURE and value < _ABSOLUTE_ZERO_C - 1e-9:
        raise InputError(name, text, f"at least {_ABSOLUTE_ZERO_C} °C")
    if what is Quantity.ABSOLUTE_PRESSURE and value < 0.0:
        raise InputError(name, text, "an absolute pressure of 0 or more")


def convert(quantity: Quantity | str, value: float, to_unit: str) -> float:
    """Return a value held inside, in a unit people use.

    Parameters
    ----------
    quantity : Quantity or str
        What is measured.
    value : float
        In the unit used inside.
    to_unit : str
        One of the quantity's units.

    Returns
    -------
    float
        In ``to_unit``.

    Raises
    ------
    InputError
        If the quantity has no such unit.

    Examples
    --------
    >>> round(convert("temperature", 100.0, "F"), 9)
    212.0
    """
    what = _quantity(quantity)
    unit = _find(what, to_unit)
    if unit is None:
        raise InputError("unit", to_unit, f"one of {accepted_units(what)}")
    return (value - unit.offset) / unit.factor


_EVERY_DIGIT = Context(prec=350, rounding=ROUND_HALF_UP)  # of any float, 1.8e308 among them


def rounded(value: float, places: int = 0) -> Decimal:
    """Return a number rounded half away from zero, as people round."""
    return Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), context=_EVERY_DIGIT)


def _shown(quantity: Quantity, value: float, unit: str, places: int) -> str:
    number = rounded(convert(quantity, value, unit), places)
    text = f"{number:,f}".replace(",", "\u202f")
    if places:
        text = text.rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} {unit}"


_SHOWN: dict[str, dict[Quantity, tuple[tuple[float, str, int], ...]]] = {
    "metric": {
        Quantity.MASS: ((1.0, "g", 0), (math.inf, "kg", 2)),
        Quantity.VOLUME: ((_LITRE, "mL", 0), (1.0, "L", 1), (math.inf, "m³", 2)),
        Quantity.LENGTH: ((0.1, "mm", 0), (1.0, "cm", 1), (math.inf, "m", 2)),
        Quantity.AREA: ((math.inf, "m²", 2),),
        Quantity.TEMPERATURE: ((math.inf, "°C", 1),),
        Quantity.GAUGE_PRESSURE: ((math.inf, "bar", 2),),
        Quantity.ABSOLUTE_PRESSURE: ((math.inf, "bar", 3),),
        Quantity.FLOW: ((10 / _HOUR, "m³/h", 1), (math.inf, "m³/h", 0)),
        Quantity.SPEED: ((math.inf, "m/s", 2),),
        Quantity.POWER: ((1e3, "W", 0), (math.inf, "kW", 2)),
    },
    "us": {
        Quantity.MASS: ((POUND_KG, "oz", 1), (math.inf, "lb", 2)),
        Quantity.VOLUME: ((GALLON_M3, "fl oz", 1), (math.inf, "gal", 2)),
        Quantity.LENGTH: ((FOOT_M, "in", 1), (math.inf, "ft", 1)),
        Quantity.AREA: ((math.inf, "ft²", 1),),
        Quantity.TEMPERATURE: ((math.inf, "°F", 0),),
        Quantity.GAUGE_PRESSURE: ((math.inf, "psi", 1),),
        Quantity.ABSOLUTE_PRESSURE: ((math.inf, "psi", 1),),
        Quantity.FLOW: ((10 * FOOT_M**3 / 60, "cfm", 1), (math.inf, "cfm", 0)),
        Quantity.SPEED: ((math.inf, "fpm", 0),),
        Quantity.POWER: ((math.inf, "Btu/h", 0),),
    },
}


def show(quantity: Quantity | str, value: float, system: str = "metric") -> str:
    """Return a value as the farm wants to read it.

    Parameters
    ----------
    quantity : Quantity or str
        What is measured.
    value : float
        In the unit used inside.
    system : str
        ``metric`` or ``us``: the farm's choice.

    Returns
    -------
    str
        Number and unit, rounded to what a grower can use.

    Raises
    ------
    InputError
        If the quantity or system is unknown, or the value is not a number.

    Examples
    --------
    >>> show("mass", 2.5), show("mass", 2.5, "us"), show("time", 9300.0)
    ('2.5 kg', '5.51 lb', '2 h 35 min')
    """
    what = _quantity(quantity)
    if system not in _SHOWN:
        raise InputError("units", system, "metric or us")
    if not math.isfinite(value):
        raise InputError(what.value, value, "a number")
    if what is Quantity.TIME:
        return _shown_time(value)
    steps = _SHOWN[system][what]
    unit, places = next((unit, places) for below, unit, places in steps if abs(value) < below)
    return _shown(what, value, unit, places)


def _shown_time(seconds: float) -> str:
    if 0.0 < abs(seconds) < _MINUTE:
        return f"{rounded(seconds)} s"
    hours, minutes = divmod(int(rounded(abs(seconds) / _MINUTE)), 60)
    sign = "-" if seconds < 0 else ""
    parts = [f"{hours} h"] if hours else []
    if minutes or not hours:
        parts.append(f"{minutes} min")
    return sign + " ".join(parts)


def grams(text: str, default_unit: str = "", field: str = "") -> int:
    """Return a typed mass in whole grams, rounded half up.

    Raises
    ------
    InputError
        As :func:`parse`.

    Examples
    --------
    >>> grams("2,5 kg"), grams("5 lb"), grams("650", "g")
    (2500, 2268, 650)
    """
    return int(rounded(parse(Quantity.MASS, text, default_unit, field) * 1000.0))


def show_grams(mass_g: int, system: str = "metric") -> str:
    """Return whole grams as the farm wants to read them: ``650 g``, ``2.5 kg`` or pounds."""
    return show(Quantity.MASS, mass_g / 1000.0, system)
