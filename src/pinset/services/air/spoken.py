"""How numbers about air are said: ranges low, middle and high, in the farm's own units."""

from __future__ import annotations

from math import inf, isfinite

from pinset.science.air.ranges import Range
from pinset.units import INCH_WATER_PA, POUND_KG, Quantity, show

HOUR = 3600.0
_MINUTE = 60.0
_LONG_MIN = 3.0 * 24.0 * 60.0
_LONG_HOURS_MIN = 10.0 * 60.0
_DAY_MIN = 24.0 * 60.0
_F_PER_K = 1.8
_TEN, _WHOLE = 10.0, 1e3


def said(quantity: Quantity, value: float, system: str) -> str:
    """Return a value in the farm's units."""
    return show(quantity, value, system) if isfinite(value) else "no flow reaches it"


def weight(kilograms: float, system: str) -> str:
    """Return a weight of substrate: whole kilograms or pounds."""
    unit, number = ("lb", kilograms / POUND_KG) if system == "us" else ("kg", kilograms)
    return f"{number:,.0f} {unit}"


def ranged(quantity: Quantity, known: Range, system: str) -> str:
    """Return ``180 m³/h (90 to 360 m³/h)``, or one number where it is known."""
    middle = said(quantity, known.middle, system)
    low, high = said(quantity, known.low, system), said(quantity, known.high, system)
    if low == high == middle:
        return middle
    number, _, unit = low.rpartition(" ")
    return f"{middle} ({number if high.endswith(f' {unit}') else low} to {high})"


def figures(known: Range, unit: str = "") -> str:
    """Return a range of plain numbers with their unit."""
    middle, low, high = (figure(value) for value in (known.middle, known.low, known.high))
    end = f" {unit}" if unit else ""
    return f"{middle}{end}" if low == high == middle else f"{middle}{end} ({low} to {high})"


def figure(value: float) -> str:
    """Return a number to two or three figures: ``1,240``, ``18.4``, ``3.1``, ``0.052``."""
    if value == inf:
        return "without end"
    if abs(value) >= _WHOLE or value == 0.0:
        return f"{float(f'{value:.3g}'):,.0f}"
    return f"{float(f'{value:.2g}' if abs(value) < _TEN else f'{value:.3g}'):g}"


def water(kg_s: Range, system: str) -> str:
    """Return a flow of water by the hour."""
    hourly = kg_s.times(HOUR)
    if system == "us":
        return figures(hourly.times(1.0 / POUND_KG), "lb/h")
    return figures(hourly, "kg/h")


def pressure(pascal: float, system: str) -> str:
    """Return a small pressure: of a fan, a filter, a door."""
    if system == "us":
        return f"{pascal / INCH_WATER_PA:.2g} in wg"
    return f"{pascal:.0f} Pa" if pascal >= _TEN else f"{pascal:.2g} Pa"


def kelvin(known: Range, system: str) -> str:
    """Return a difference of temperatures."""
    if system == "us":
        return figures(known.times(_F_PER_K), "°F")
    return figures(known, "K")


def minutes(value: float) -> str:
    """Return a time in words; ``never`` if it is not reached."""
    if value == inf:
        return "never"
    if value >= _LONG_MIN:
        return f"{value / _DAY_MIN:.0f} days"
    if value >= _LONG_HOURS_MIN:
        return f"{value / _MINUTE:.0f} h"
    return show(Quantity.TIME, max(value, 0.0) * _MINUTE)


def times(known: Range) -> str:
    """Return a range of times, the soonest first."""
    soonest, latest = minutes(known.low), minutes(known.high)
    return soonest if soonest == latest else f"{soonest} to {latest}"
