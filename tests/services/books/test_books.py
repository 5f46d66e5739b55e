"""Rooms are as full as they are, with what is prepared counted too."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from pinset.chain.register import Buyer, Promise, Weekday
from pinset.farm import register_store
from pinset.services.answers import off_plan, recording
from pinset.services.books import books
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import FULL_BOOK, NOW, TODAY

LayJob = Callable[..., str]


def test_prepared_vessels_take_their_places(lay: LayJob, stock: dict[str, str]) -> None:
    assert stock
    feeds = (LotAmount("", 30, "grain"),)
    job = lay(JobKind.COOK, steriliser="kettle", cook_kind="grain", count=30, feeds=feeds)
    recording.done(job, person="ada", client_id=secrets.token_hex(16))
    [bay] = [room for room in books.rooms_view() if room.code == "bay"]
    assert bay.shelves == (("bay-1", 30.0, 200),)
    assert bay.units == 30


@pytest.mark.usefixtures("stock")
def test_buyers_read_pounds_if_the_farm_does() -> None:
    """5 kg are 11.02 lb (pound of 1959)."""
    farm = replace(FULL_BOOK.farm, units="us")
    register_store.write([farm], TODAY, "", NOW)
    [market] = books.buyers_view()
    assert "11.02 lb Grey oyster for Market stall, every Thursday" in market.promises


def loaded_days_ago(days: int, *promises: Promise) -> str:
    """Write a new buyer and its promises down so many days ago; return what is said of it."""
    then = NOW - timedelta(days=days)
    records = [Buyer("inn", "The inn"), *promises]
    register_store.write(records, TODAY - timedelta(days=60), "", then)
    return next(each for each in books.buyers_view() if each.code == "inn").sentence


def test_what_was_handed_over_today_counts_today(stock: dict[str, str]) -> None:
    """A promise of today is not late while the day lasts; once it is served it is counted."""
    once = Promise("stall-grey", "stall", "grey", 1000, on_date=TODAY)
    register_store.write([Buyer("stall", "The stall"), once], TODAY, "", NOW)

    def sentence() -> str:
        return next(each for each in books.buyers_view() if each.code == "stall").sentence

    assert sentence() == "Nothing was due in the last four weeks."
    by = {"person": "ada", "reason": "invented"}
    off_plan.pick(stock["fruiting"], 1200, client_id=secrets.token_hex(16), **by)
    off_plan.deliver("stall", "grey", 1000, client_id=secrets.token_hex(16), **by)
    assert sentence() == "1 kg of 1 kg in four weeks (100%)."


@pytest.mark.usefixtures("farm")
def test_what_was_due_before_the_promise_was_written_down_is_not_counted() -> None:
    """Of the Thursdays 12, 19 and 26 February and 5 March only the last is after 2 March."""
    weekly = Promise("inn-grey", "inn", "grey", 4000, weekday=Weekday.THU)
    said = loaded_days_ago(10, weekly)
    assert said == (
        "0 kg of 4 kg in four weeks (0%). 3 deliveries due before 2 March, when they were written "
        "down here, are left out."
    )


@pytest.mark.usefixtures("farm")
def test_where_nothing_was_due_since_it_is_said_so() -> None:
    weekly = Promise("inn-grey", "inn", "grey", 4000, weekday=Weekday.WED)
    assert loaded_days_ago(0, weekly) == (
        "Nothing was due in the last four weeks. 4 deliveries due before 12 March, when they were "
        "written down here, are left out."
    )
    [inn] = [each for each in books.buyers_view() if each.code == "inn"]
    assert inn.delivered == ()


@pytest.mark.usefixtures("farm")
def test_units_are_told_as_units() -> None:
    """Of both promises four Thursdays fell due since January: 4 of 5 kg and 4 of 3 units."""
    [market] = books.buyers_view()
    assert market.delivered == (
        ("Grey oyster", 0, 20_000, "gram"),
        ("Grey oyster", 0, 12, "unit"),
    )
