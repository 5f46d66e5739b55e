"""How long prepared vessels keep: as the farm says, else sterile or only pasteurised."""

from __future__ import annotations

import pytest

from pinset.chain.register import CookKind, Farm, FarmBook, Steriliser
from pinset.planning.building.prepared_keeps import prepared_days, short_keeping

FARM = Farm("F", 0.0, "Europe/Vienna")


def kind(code: str, rule: str = "", keeps: int | None = None) -> CookKind:
    return CookKind(code, 5, 60, 90, 60, rule, keeps)


def book(*kinds: CookKind) -> FarmBook:
    machines = (Steriliser(f"s{n}", "S", "r", (each,), 9, 1) for n, each in enumerate(kinds))
    return FarmBook(FARM, sterilisers=tuple(machines))


@pytest.mark.parametrize(
    ("described", "days"),
    [
        (kind("grain"), 14),
        (kind("grain", "f0=15"), 14),
        (kind("block", "hold=100C/840"), 14),
        (kind("straw"), 1),
        (kind("hot-water", "hold=65C/60"), 1),
        (kind("hot-water", "hold=150F/60"), 1),
        (kind("bath", "lime=16h/pH12"), 1),
        (kind("straw", "f0=15"), 14),  # cooked under pressure
        (kind("straw", "nonsense"), 1),
        (kind("hot-water", "hold=65C/60", 3), 3),
        (kind("grain", "", 30), 30),
    ],
)
def test_sterile_vessels_keep_longer_than_pasteurised_ones(described: CookKind, days: int) -> None:
    assert prepared_days(book(described), described.code) == days


def test_where_two_sterilisers_do_a_kind_the_least_counts() -> None:
    both = book(kind("block", "f0=15"), kind("block", "hold=70C/90"), kind("grain"))
    assert prepared_days(both, "block") == 1
    assert short_keeping(both) == (("block", 1),)
    assert prepared_days(both, "straw") == 1, "a kind of which nothing is described"
