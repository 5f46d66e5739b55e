"""How a mix says weights, water, nitrogen and money."""

from __future__ import annotations

from pinset.science.air.ranges import Range
from pinset.services.words import weighed_in
from pinset.units import POUND_KG, Quantity, convert, rounded

MOST_PLACES = 3
CLOSE = 1e-6
LITRE_M3 = 1e-3


def places_of(step: float) -> int:
    """Return how many decimals a scale of such a step shows.

    Examples
    --------
    >>> places_of(0.05), places_of(1.0), places_of(0.0625)
    (2, 0, 3)
    """
    for places in range(MOST_PLACES):
        scaled = step * 10**places
        if abs(scaled - round(scaled)) < CLOSE * scaled:
            return places
    return MOST_PLACES


def weight(kg: float, step_kg: float, system: str) -> str:
    """Return a weight as a scale of a step shows it, in kg or lb."""
    unit = weighed_in(system)
    places = places_of(convert(Quantity.MASS, step_kg, unit))
    return f"{rounded(convert(Quantity.MASS, kg, unit), places):f} {unit}"


def water(kg: float, step_kg: float, system: str) -> str:
    """Return water in litres, or in gallons with its weight; a litre weighs 1 kg."""
    unit = "gal" if system == "us" else "L"
    places = places_of(convert(Quantity.VOLUME, step_kg * LITRE_M3, unit))
    amount = f"{rounded(convert(Quantity.VOLUME, kg * LITRE_M3, unit), places):f} {unit}"
    return f"{amount} ({weight(kg, POUND_KG / 10, system)})" if system == "us" else amount


def percent(share: float, places: int = 2) -> str:
    """Return a share in percent, without its sign; more places where it would be nothing.

    Examples
    --------
    >>> percent(0.0064), percent(0.39, 1), percent(0.00002)
    ('0.64', '39', '0.002')
    """
    text = f"{100.0 * share:.{places}f}"
    if not float(text) and share:
        return f"{100.0 * share:.2g}"
    return text.removesuffix(".0") if places == 1 else text


def nitrogen(known: Range) -> str:
    """Return nitrogen as it is said first: ``0.64 % nitrogen (0.51 to 0.81)``."""
    middle = f"{percent(known.middle)} % nitrogen"
    return middle if known.is_known else f"{middle} ({percent(known.low)} to {percent(known.high)})"


def ratio(known: Range | None) -> str:
    """Return a C:N: ``74 (60 to 92)``; empty where there is no nitrogen at the low end."""
    if known is None:
        return "none: there may be no nitrogen in it at all"
    middle = f"{known.middle:.0f}"
    return middle if known.is_known else f"{middle} ({known.low:.0f} to {known.high:.0f})"


def money(amount: float, currency: str) -> str:
    """Return money with two decimals; without a farm no currency is known."""
    return f"{currency} {amount:,.2f}".strip()
