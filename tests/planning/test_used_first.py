"""What a person wants used first is taken before others, unless something would lapse for it."""

from __future__ import annotations

from pinset.planning.reading.pegging import Batch, Use, take_oldest_first


def taken(use: Use) -> list[tuple[str, float]]:
    return [(batch.lot, units) for batch, units in use.taken]


def test_it_goes_before_what_expires_sooner() -> None:
    old, first = Batch(10, 0, 20, "OLD"), Batch(10, 0, 30, "FIRST", is_first=True)
    uses = [Use(2, 6), Use(5, 8)]
    take_oldest_first([old, first], uses)
    assert [taken(use) for use in uses] == [[("FIRST", 6)], [("FIRST", 4), ("OLD", 4)]]
    assert first.uses == uses


def test_not_where_something_would_lapse_and_be_missing_for_it() -> None:
    old, first = Batch(10, 0, 3, "OLD"), Batch(10, 0, 30, "FIRST", is_first=True)
    uses = [Use(2, 10), Use(9, 10)]
    take_oldest_first([old, first], uses)
    assert [taken(use) for use in uses] == [[("OLD", 10)], [("FIRST", 10)]]
    assert (old.left, first.left) == (0, 0)


def test_it_waits_until_it_is_ready() -> None:
    old, first = Batch(10, 0, 20, "OLD"), Batch(10, 4, 30, "FIRST", is_first=True)
    uses = [Use(2, 3), Use(5, 3)]
    take_oldest_first([old, first], uses)
    assert [taken(use) for use in uses] == [[("OLD", 3)], [("FIRST", 3)]]
