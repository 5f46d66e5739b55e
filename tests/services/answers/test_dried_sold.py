"""Dried mushrooms are sold by dry weight and counted back to what went into the drier."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.chain.register import FarmBook, Outlet, OutletKind
from pinset.errors import InputError, RefusedError
from pinset.farm.check import check
from pinset.farm.entries import Account
from pinset.farm.models import Entry
from pinset.farm.queries import totals
from pinset.services.answers import off_plan, to_outlet
from pinset.services.answers.dried_sold import sell_dried
from pinset.services.answers.taking_back import undo
from pinset.services.books.lots import lot_view
from pinset.services.books.register_change import write_records
from pinset.services.outlets import book as outlets_book

DRIER = Outlet(
    "drier", "Drying cupboard", OutletKind.DRYING, price_cents_per_kg=9000, fresh_per_dry=10.0
)
STALL = Outlet("stall", "Stall", OutletKind.MARKET, price_cents_per_kg=1100)


@pytest.fixture
def dried(farm: FarmBook, stock: dict[str, str]) -> str:
    """Four kilograms went into the drier; returns their lot."""
    del farm
    write_records([STALL, DRIER], "", NOW - timedelta(hours=1))
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    to_outlet.hand_over("drier", "grey", 4000, person="ada", client_id="b" * 32)
    return stock["fruiting"]


def sold(grams: int, client: str = "c" * 32, **more: str) -> str:
    return sell_dried("drier", "grey", grams, person="ada", client_id=client, **more).sentence


def test_dry_weight_is_sold_at_its_price_and_counted_back(dried: str) -> None:
    assert sold(150) == "150 g dried Grey oyster sold; no promise is answered by it."
    found = totals()
    assert found[Account.DRIED.value, "gram"] == 2500  # 4 kg less 150 g at 10 fresh for 1 dry
    assert found[Account.DELIVERED.value, "gram"] == 1500
    details = Entry.objects.get(client_id="c" * 32).details
    assert (details["price_cents"], details["dry_grams"], details["dried_of"]) == (
        1350, 150, "drier",
    )  # fmt: skip
    said = [event.what for event in lot_view(dried).life]
    assert any("150 g dried sold, counted as 1.5 kg" in each for each in said)
    assert check() == ()


def test_the_books_say_what_was_sold_and_what_lies_there(dried: str) -> None:
    assert dried
    sold(150)
    _, drier = outlets_book.outlets_view()
    assert drier.sentence == (
        "4 kg fresh in four weeks, about 0.4 kg dry. 150 g dry sold for EUR 13.50. About 250 g lie "
        "dried."
    )


def test_more_than_lies_there_is_asked_about_and_then_takes_all(dried: str) -> None:
    assert dried
    with pytest.raises(RefusedError, match=r"400 g of Grey oyster lie dried") as refused:
        sold(450)
    assert "common practice, no source" in str(refused.value)
    sold(450, reason="the load gave more")
    assert totals().get((Account.DRIED.value, "gram"), 0) == 0
    with pytest.raises(RefusedError, match="Nothing of Grey oyster lies dried"):
        sold(10, "d" * 32)


def test_a_tap_sent_twice_is_one_sale_and_it_can_be_taken_back(dried: str) -> None:
    assert dried
    sold(100)
    assert sold(100) == "This was recorded already."
    undo("c" * 32, person="ada", client_id="e" * 32, reason="wrong drier")
    assert totals()[Account.DRIED.value, "gram"] == 4000
    _, drier = outlets_book.outlets_view()
    assert "sold" not in drier.sentence


def test_only_a_drier_with_its_ratio_sells_dry_weight(dried: str) -> None:
    assert dried
    with pytest.raises(InputError, match="drier"):
        sell_dried("stall", "grey", 100, person="ada", client_id="c" * 32)
    with pytest.raises(InputError, match="grey"):
        sell_dried("drier", "beech", 100, person="ada", client_id="c" * 32)
    write_records([replace(DRIER, fresh_per_dry=12.0)], "", NOW)
    sold(100)
    assert totals()[Account.DRIED.value, "gram"] == 2800
