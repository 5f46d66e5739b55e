"""Prices in a record's form: kept in hundredths, shown and typed in the farm's money."""

from __future__ import annotations

import re
from decimal import Decimal

from pinset.errors import InputError
from pinset.units import Quantity, parse

CENTS = 100
MOST = 1_000_000
TYPED = re.compile(r"[0-9]{1,7}(?:[.,][0-9]{1,2})?")


def is_price(name: str) -> bool:
    """Say whether a field holds hundredths of the farm's currency: ``price_cents_per_kg``."""
    return name.endswith("_cents") or "_cents_" in name


def is_by_weight(name: str) -> bool:
    """Say whether a price is of a weight, so that a farm in pounds wants it by the pound."""
    return is_price(name) and name.endswith("_per_kg")


def kilograms_in(unit: str) -> float:
    """Return the kilograms of one unit of weight: a price of so many is a price of that unit."""
    return parse(Quantity.MASS, "1", unit)


def price_shown(cents: int) -> str:
    """Return a price as it is typed.

    Examples
    --------
    >>> price_shown(1250)
    '12.50'
    """
    return f"{Decimal(cents) / CENTS:.2f}"


def price_cents(text: str, field: str) -> int:
    """Return hundredths from a price as it is typed, with a point or a comma.

    Raises
    ------
    InputError
        If it is no amount of money, or has thousands parted off or more than two decimals.

    Examples
    --------
    >>> price_cents("12,5", "price")
    1250
    """
    value = Decimal(text.replace(",", ".")) if TYPED.fullmatch(text) else None
    if value is None or value > MOST:
        raise InputError(field, text, f"an amount of money from 0 to {MOST:,} such as 12.50")
    return int(value * CENTS)
