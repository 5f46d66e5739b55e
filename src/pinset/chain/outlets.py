"""What an outlet takes, on which days, and what a fresh kilogram brings there."""

from __future__ import annotations

from datetime import date

from pinset.chain.register import Outlet, OutletKind, Variety, Weekday

NO_SOURCE = "common practice, no source"
"""Said of a drying ratio of which nobody wrote down where it is from."""


def is_open(outlet: Outlet, day: date) -> bool:
    """Say whether an outlet takes something on a day, as far as its own dates and weekdays go."""
    begin, end = outlet.from_date or day, outlet.until or day
    return begin <= day <= end and (not outlet.weekdays or Weekday.of(day) in outlet.weekdays)


def is_over(outlet: Outlet, day: date) -> bool:
    """Say whether an outlet takes nothing any more, from a day on."""
    return outlet.until is not None and outlet.until < day


def takes(outlet: Outlet, variety: str) -> bool:
    """Say whether an outlet takes a variety."""
    return not outlet.varieties or variety in outlet.varieties


def cents_per_fresh_kg(outlet: Outlet, variety: Variety) -> float:
    """Return what a kilogram of fresh mushrooms brings at an outlet, in cents.

    Dried ones are sold by dry weight, so that price is divided by the kilograms fresh that make
    one dry. The work is not taken off.

    Examples
    --------
    >>> drier = Outlet("d", "Drier", OutletKind.DRYING, price_cents_per_kg=9000, fresh_per_dry=10.0)
    >>> cents_per_fresh_kg(drier, Variety("s", "Shiitake", "Lentinula edodes", "r"))
    900.0
    """
    if outlet.price_cents_per_kg is None:
        return float(variety.price_cents_per_kg)
    if outlet.kind is OutletKind.DRYING and outlet.fresh_per_dry:
        return outlet.price_cents_per_kg / outlet.fresh_per_dry
    return float(outlet.price_cents_per_kg)
