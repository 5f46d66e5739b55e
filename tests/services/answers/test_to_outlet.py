"""Picked weight handed to an outlet, or dried, is written down at its price and counted."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook, Outlet, OutletKind
from pinset.errors import InputError, RefusedError
from pinset.farm.entries import Account
from pinset.farm.models import Entry
from pinset.farm.queries import totals
from pinset.services.answers import off_plan, to_outlet
from pinset.services.answers.taking_back import undo
from pinset.services.books.lots import lot_view
from pinset.services.books.register_change import write_records
from pinset.services.outlets import given as outlets_given
from pinset.services.plans.stock_now import delivered_on

STALL = Outlet("stall", "Stall", OutletKind.MARKET, price_cents_per_kg=1100, buyer="market")
DRIER = Outlet(
    "drier", "Drying cupboard", OutletKind.DRYING, price_cents_per_kg=9000, fresh_per_dry=10.0
)


def entry(client: str) -> Entry:
    return Entry.objects.get(client_id=client)


@pytest.fixture
def picked(farm: FarmBook, stock: dict[str, str]) -> str:
    """Six kilograms of today in the store; returns the lot."""
    del farm
    write_records([STALL, DRIER], "", NOW)
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    return stock["fruiting"]


def test_a_weight_handed_to_an_outlet_leaves_the_store_at_its_price(picked: str) -> None:
    done = to_outlet.hand_over("stall", "grey", 2500, person="ada", client_id="b" * 32)
    assert done.sentence == ("2.5 kg Grey oyster handed to Stall; no promise is answered by it.")
    details = entry("b" * 32).details
    assert (details["outlet"], details["buyer"], details["price_cents"]) == (
        "stall",
        "market",
        2750,
    )
    found = totals()
    assert found[Account.DELIVERED.value, "gram"] == 2500
    assert found[Account.STORE.value, "gram"] == 3500
    assert delivered_on(TODAY, TODAY, "Europe/Vienna") == {}, "the promise is still open"
    assert outlets_given.given_by_day(TODAY, TODAY, "Europe/Vienna") == {("stall", TODAY): 2500.0}
    assert any("2.5 kg handed to stall" in event.what for event in lot_view(picked).life)


def test_what_goes_into_the_drier_is_dried_and_brings_nothing_yet(picked: str) -> None:
    done = to_outlet.hand_over("drier", "grey", 4000, person="ada", client_id="b" * 32)
    assert done.sentence == "4 kg Grey oyster put into: Drying cupboard."
    assert totals()[Account.DRIED.value, "gram"] == 4000
    [given] = outlets_given.given_on(TODAY, TODAY, "Europe/Vienna")
    assert (given.outlet, given.variety, given.grams, given.cents) == ("drier", "grey", 4000, 0)
    assert any("4 kg of what was picked into the drier" in e.what for e in lot_view(picked).life)


def test_what_is_taken_back_is_not_counted(picked: str) -> None:
    del picked
    to_outlet.hand_over("stall", "grey", 2500, person="ada", client_id="b" * 32)
    undo("b" * 32, person="ada", client_id="c" * 32, reason="counted twice")
    assert outlets_given.given_on(TODAY, TODAY, "Europe/Vienna") == ()
    assert totals()[Account.STORE.value, "gram"] == 6000


def test_a_double_tap_is_one_entry_and_another_answer_is_refused(picked: str) -> None:
    del picked
    for _ in range(2):
        to_outlet.hand_over("stall", "grey", 1000, person="ada", client_id="b" * 32)
    assert Entry.objects.filter(kind="deliver").count() == 1
    with pytest.raises(RefusedError, match="sent before"):
        to_outlet.hand_over("stall", "grey", 1500, person="ada", client_id="b" * 32)


def test_what_cannot_be_is_refused(picked: str) -> None:
    del picked
    tap = {"person": "ada", "client_id": "b" * 32}
    with pytest.raises(InputError, match="stall, drier"):
        to_outlet.hand_over("stal", "grey", 1000, **tap)
    with pytest.raises(InputError, match="grey"):
        to_outlet.hand_over("stall", "gold", 1000, **tap)
    with pytest.raises(InputError, match="more than nothing"):
        to_outlet.hand_over("stall", "grey", 0, **tap)
    with pytest.raises(RefusedError, match="Only 6 kg"):
        to_outlet.hand_over("stall", "grey", 9000, **tap)
    ahead = NOW + timedelta(days=2)
    with pytest.raises((InputError, RefusedError)):
        to_outlet.hand_over("stall", "grey", 1000, at=ahead, **tap)
    assert not Entry.objects.filter(kind__in=("deliver", "dry")).exists()


def test_without_a_price_of_its_own_the_variety_s_counts(picked: str, farm: FarmBook) -> None:
    del picked
    [grey] = [variety for variety in farm.varieties if variety.code == "grey"]
    write_records(
        [replace(STALL, price_cents_per_kg=None), replace(grey, price_cents_per_kg=1300)], "", NOW
    )
    to_outlet.hand_over("stall", "grey", 2000, person="ada", client_id="b" * 32)
    assert entry("b" * 32).details["price_cents"] == 2600
