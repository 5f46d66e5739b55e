"""A cold store that is too cold for a variety's spawn or culture is said once a variety.

The storage table lets pink oyster stand no colder than 10 °C (it dies below 8 to 10 °C); shiitake
grain keeps at 1 °C.
"""

from __future__ import annotations

from dataclasses import replace

from chain.book import BOOK
from pinset.chain.cold_stores import check_cold_stores, only_too_cold
from pinset.chain.register import Farm, FarmBook, Room, RoomKind, Shelf
from pinset.errors import Severity

PINK, SHIITAKE = BOOK.routes[1], BOOK.routes[0]


def kept_at(*temperatures: float, units: str = "metric") -> FarmBook:
    cold = tuple(
        Room(f"c{at}", f"Store {at:g}", RoomKind.COLD, at, (Shelf(f"c{at}-1", 50),))
        for at in temperatures
    )
    others = tuple(room for room in BOOK.rooms if room.kind is not RoomKind.COLD)
    farm: Farm = replace(BOOK.farm, units=units)
    return replace(BOOK, farm=farm, rooms=(*others, *cold))


def test_the_only_store_is_too_cold_for_pink_oyster_and_not_for_shiitake() -> None:
    [found] = check_cold_stores(kept_at(4.0))
    assert (found.id, found.severity) == ("room.store-too-cold", Severity.WARNING)
    assert found.record == "varieties pink-oyster"
    assert found.sentence == (
        "Its spawn dies below 10 °C, and the cold store, Store 4, stands at 4 °C."
    )
    assert "10 °C or more" in found.hint


def test_one_warm_store_is_enough() -> None:
    assert list(check_cold_stores(kept_at(4.0, 12.0))) == []
    assert only_too_cold(kept_at(4.0, 12.0), PINK.step("spawn")) is None


def test_of_several_stores_the_warmest_is_named() -> None:
    [found] = check_cold_stores(kept_at(2.0, 6.0))
    assert "the warmest cold store, Store 6, stands at 6 °C" in found.sentence


def test_a_farm_without_a_cold_store_hears_nothing() -> None:
    assert list(check_cold_stores(kept_at())) == []


def test_fahrenheit_where_the_farm_reads_it() -> None:
    """10 °C is 50 °F and 4 °C is 39.2 °F, by the definition of the scale, shown whole."""
    [found] = check_cold_stores(kept_at(4.0, units="us"))
    assert "dies below 50 °F" in found.sentence
    assert "stands at 39 °F" in found.sentence
