"""What was thrown out is gone from what stands wet, whatever is loaded after it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.services.answers import putting_off
from pinset.services.clock import farm_time
from pinset.services.jobs.known import Settled, settled_today
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.loaded import Loaded
from pinset.services.loads.uncooked import cooked_mixes, waiting_for_a_cook
from pinset.services.plans import planning_day
from services.conftest import LayJob
from services.straw import do, lay_task, thrown, with_straw


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


def loaded(book: FarmBook, units: int, days: float) -> Loaded:
    """Return a load of so many bags so many days from now."""
    job = PlannedJob(
        key="cook:kettle:grain:x", kind=JobKind.COOK, task="load", day=TODAY, count=units,
        unit="units", what="bags", room_kind="steriliser", steriliser="kettle", cook_kind="grain",
    )  # fmt: skip
    at = farm_time(NOW, book.farm.time_zone) + timedelta(days=days)
    feeds = (LotAmount("", units, "block", book.routes[0].code),)
    return Loaded(job, at, units, is_finished=True, feeds=feeds)


def test_a_load_takes_nothing_that_was_thrown_out_before_it(book: FarmBook, lay: LayJob) -> None:
    """Eight bags are thrown out today; 28 others are loaded in two days, all that there is."""
    do(lay_task(book, lay, "soak", 8))
    [job] = thrown(book, lay)
    do(job, reason="it smells sour")
    for count, ahead in ((24, 1), (4, 2)):
        do(lay_task(book, lay, "soak", count, TODAY + timedelta(days=ahead)))
    load = loaded(book, 28, days=2)
    waiting = waiting_for_a_cook(book, TODAY + timedelta(days=2), [load], keeps_days=3)
    assert sum(waiting.units.values()) == 0


def test_what_is_thrown_out_after_a_load_is_what_that_left(book: FarmBook, lay: LayJob) -> None:
    """Of 20 bags soaked, 12 were loaded this morning; the eight left are thrown out."""
    do(lay_task(book, lay, "soak", 20))
    load = loaded(book, 12, days=-0.1)
    assert sum(waiting_for_a_cook(book, TODAY, [load]).units.values()) == 8
    [job] = thrown(book, lay)
    do(job, count=8, reason="it smells sour")
    assert sum(waiting_for_a_cook(book, TODAY, [load]).units.values()) == 0


def settled(book: FarmBook) -> Settled:
    return settled_today(TODAY, NOW - timedelta(hours=20), cooked_mixes(book))


def test_not_at_all_to_one_bag_hides_no_larger_soak(book: FarmBook, lay: LayJob) -> None:
    code = lay_task(book, lay, "soak", 1)
    do(code, putting_off.not_at_all, reason="one bag more is not worth it")
    known = PlannedJob(
        key=f"prepare:soak:1:{TODAY}", kind=JobKind.PREPARE, task="soak", day=TODAY, count=1,
        unit="units", what="soak", room_kind="preparation", mix="straw bag", for_day=TODAY,
    )  # fmt: skip
    assert settled(book).covers(known)
    assert not settled(book).covers(replace(known, count=23))
