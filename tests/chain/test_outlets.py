"""On which days an outlet takes what, and what a fresh kilogram brings there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.outlets import cents_per_fresh_kg, is_open, is_over, takes
from pinset.chain.register import Outlet, OutletKind, Variety, Weekday

SATURDAY = date(2026, 3, 14)
STALL = Outlet("stall", "Stall", OutletKind.MARKET, (Weekday.SAT, Weekday.WED))
OYSTER = Variety("oyster", "Oyster", "Pleurotus ostreatus", "r", price_cents_per_kg=1200)


def test_it_is_open_on_its_weekdays_within_its_dates() -> None:
    week = [SATURDAY + timedelta(days=day) for day in range(7)]
    assert [is_open(STALL, day) for day in week] == [True, False, False, False, True, False, False]
    assert all(is_open(replace(STALL, weekdays=()), day) for day in week)
    short = replace(STALL, weekdays=(), from_date=week[2], until=week[3])
    assert [is_open(short, day) for day in week] == [False, False, True, True, False, False, False]
    assert (is_over(short, week[3]), is_over(short, week[4]), is_over(STALL, week[4])) == (
        False,
        True,
        False,
    )


def test_it_takes_what_it_names_or_all() -> None:
    assert takes(STALL, "oyster")
    assert not takes(replace(STALL, varieties=("shiitake",)), "oyster")


@pytest.mark.parametrize(
    ("changes", "cents"),
    [
        ({}, 1200.0),
        ({"price_cents_per_kg": 0}, 0.0),
        ({"price_cents_per_kg": 900}, 900.0),
        ({"kind": OutletKind.DRYING, "price_cents_per_kg": 9000, "fresh_per_dry": 12.0}, 750.0),
    ],
)
def test_what_a_fresh_kilogram_brings(changes: dict[str, object], cents: float) -> None:
    assert cents_per_fresh_kg(replace(STALL, **changes), OYSTER) == cents  # type: ignore[arg-type]
