"""How services say days, amounts and lists."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from pinset.chain.register import Promise
from pinset.units import show_grams

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
GRAMS = 1000
CENTS = 100.0
NEAR_DAYS = 6
FEW = 10
"""Fewer units than this differ by tenths, on average."""


def long_day(day: date) -> str:
    """Return ``Thursday 12 March``."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def short_day(day: date) -> str:
    """Return ``12 March``."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def near_day(day: date, today: date) -> str:
    """Return the day as one says it from today: ``today``, ``tomorrow``, ``Saturday``."""
    ahead = (day - today).days
    if ahead == 0:
        return "today"
    if ahead == 1:
        return "tomorrow"
    if ahead == -1:
        return "yesterday"
    if 1 < ahead <= NEAR_DAYS:
        return WEEKDAYS[day.weekday()]
    return short_day(day)


def on_day(day: date, today: date) -> str:
    """Return the day with its preposition where it takes one: ``tomorrow``, ``on Saturday``."""
    said = near_day(day, today)
    return said if abs((day - today).days) <= 1 else f"on {said}"


def due_words(day: date, today: date) -> str:
    """Return when something is due, with its date: ``due tomorrow``, ``due Saturday 14 March``."""
    if (day - today).days in {0, 1}:
        return f"due {near_day(day, today)}"
    return f"due {long_day(day)}"


def kilograms(grams: float, system: str = "metric") -> str:
    """Return grams as kilograms, with one decimal only where it matters: ``4.5 kg``, ``35 kg``.

    What would round to nothing is said in grams: ``40 g``. ``system`` is the farm's choice of
    units; with ``us`` it is pounds or ounces: ``9.92 lb``.
    """
    if system != "metric":
        return show_grams(round(grams), system)
    value = grams / GRAMS
    rounded = round(value, 1)
    if not rounded and round(grams):
        return f"{round(grams)} g"
    return f"{round(rounded)} kg" if rounded == int(rounded) else f"{rounded} kg"


def weighed_in(system: str) -> str:
    """Return the unit a farm weighs mushrooms in, by its choice of units: ``kg`` or ``lb``."""
    return "lb" if system == "us" else "kg"


def amount(quantity: float, measure: str, noun: str = "units", system: str = "metric") -> str:
    """Return an amount of a promise in words, a weight in the farm's choice of units."""
    if measure == "gram":
        return kilograms(quantity, system)
    return plural(round(quantity), noun.removesuffix("s"), noun)


def average(quantity: float, measure: str, system: str = "metric") -> str:
    """Return an average amount: few units with a tenth, ``0.4 units``; a weight as ever."""
    if measure == "gram" or quantity >= FEW:
        return amount(quantity, measure, system=system)
    said = f"{quantity:.1f}".removesuffix(".0")
    return f"{said} {'unit' if said == '1' else 'units'}"


def joined(parts: Sequence[str]) -> str:
    """Return ``a, b and c``."""
    if len(parts) <= 1:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def plural(count: int, singular: str, several: str | None = None) -> str:
    """Return ``1 job`` or ``9 jobs``."""
    return f"{count} {singular if count == 1 else several or singular + 's'}"


def minutes_in_words(minutes: float) -> str:
    """Return ``25 min`` or ``2 h 35 min``."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def promise_in_words(promise: Promise, variety: str, buyer: str, system: str = "metric") -> str:
    """Return ``35 kg grey oyster for the market, every Wednesday``."""
    weight = amount(promise.amount, promise.measure, system=system)
    what = f"{weight} {variety} for {buyer}"
    when = promised_when(promise)
    return f"{what}, {when}" if when else what


def promised_when(promise: Promise) -> str:
    """Return when a promise falls due: ``every Wednesday``, ``14 March``."""
    if promise.weekday is not None:
        return f"every {WEEKDAYS[promise.weekday.number]}"
    return short_day(promise.on_date) if promise.on_date else ""


def money(cents: float, currency: str) -> str:
    """Return hundredths of a currency as money: ``EUR 1,240.50``."""
    return f"{currency} {cents / CENTS:,.2f}"


def first_upper(text: str) -> str:
    """Return the text with its first letter upper-case, the rest untouched."""
    return text[:1].upper() + text[1:]


def sentences(parts: Iterable[str]) -> str:
    """Return the parts that are not empty, each ended by a full stop, on one line."""
    ended = (part if part.endswith((".", "!", "?")) else f"{part}." for part in parts if part)
    return " ".join(ended)
