"""Picked weight past its keeping days stays off the van, is thrown out, and is not counted on."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm.check import check
from pinset.farm.models import Entry, Posting
from pinset.farm.queries import in_store
from pinset.planning.building.from_book import build_problem
from pinset.services import clock
from pinset.services.answers import off_plan, putting_off, recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lot_view
from pinset.services.cautions import sentences
from pinset.services.day import today
from pinset.services.jobs.known import settled_today
from pinset.services.jobs.of_store import throwing_out
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.plans.stock_now import store_now

LayJob = Callable[..., str]
[FOOD] = sentences(["food"])


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


@pytest.fixture
def picked(lay: LayJob, stock: dict[str, str]) -> str:
    """Three kilograms of eight days ago and four of yesterday, of one lot that keeps six days."""
    lots = (LotAmount(stock["fruiting"], 20),)
    for days, grams in ((8, 3000), (1, 4000)):
        job = lay(JobKind.PICK, key=f"pick:{days}", count=3, unit="kg", lots=lots)
        do(job, grams=grams, at=NOW - timedelta(days=days), reason="invented")
    return stock["fruiting"]


def delivery(lay: LayJob, grams: int) -> str:
    return lay(JobKind.DELIVER, count=grams // 1000, unit="kg", grams=grams, promise="market-grey")


def waste(lay: LayJob, farm: FarmBook) -> str:
    [job] = throwing_out(store_now(farm, TODAY), Reader(farm, TODAY))
    more = {name: getattr(job, name) for name in job.__slots__ if name != "kind"}
    return lay(job.kind, **more)


def test_the_oldest_still_good_goes_first(lay: LayJob, picked: str, farm: FarmBook) -> None:
    do(delivery(lay, 3000))
    assert [(w.picked_on, w.grams) for w in store_now(farm, TODAY)] == [
        (TODAY - timedelta(days=8), 3000),
        (TODAY - timedelta(days=1), 1000),
    ]
    assert Posting.objects.get(account="delivered").lot.code == picked


@pytest.mark.usefixtures("picked")
def test_past_its_days_needs_a_reason_and_carries_the_caution(lay: LayJob) -> None:
    job = delivery(lay, 5000)
    with pytest.raises(RefusedError) as refused:
        do(job)
    assert str(refused.value).startswith(
        "Only 4 kg of Grey oyster in the cold store are within their days; 3 kg are past them "
        "(picked 4 March, keeps 6 days)."
    )
    assert FOOD in str(refused.value)
    assert any("past them" in said for said in do(job, reason="looked at, for drying").findings)


def test_a_named_lot_past_its_days_needs_a_reason(lay: LayJob, picked: str) -> None:
    job = delivery(lay, 5000)
    with pytest.raises(RefusedError, match=f"3 kg of lot {picked} are past their days"):
        do(job, lots=[(picked, 5000)])
    do(job, lots=[(picked, 4000)])


def test_the_job_says_how_much_is_past_its_days(lay: LayJob, picked: str, farm: FarmBook) -> None:
    del picked
    job = delivery(lay, 3000)
    seen = today.job_view(job)
    assert "leave 3 kg in the store: past its days (picked 4 March, keeps 6 days)" in seen.detail
    assert FOOD in seen.cautions
    do(waste(lay, farm))
    assert "past its days" not in today.job_view(job).detail


def test_what_is_past_is_thrown_out_and_comes_back_with_undo(
    lay: LayJob, picked: str, farm: FarmBook
) -> None:
    job = waste(lay, farm)
    seen = today.job_view(job)
    assert (seen.count, seen.unit, seen.act) == (3, "kg", "Thrown out")
    assert "3 kg, picked 4 March, keeps 6 days" in seen.detail
    assert FOOD in seen.cautions
    answer = do(job)
    assert [each.grams for each in in_store()] == [4000]
    assert Posting.objects.get(account="waste").quantity == 3000
    assert Entry.objects.get(client_id=answer.entry).details["cause"] == "past its keeping days"
    said = [event.what for event in lot_view(picked).life]
    assert any("3 kg of what was picked thrown out: past its keeping days" in each for each in said)
    assert throwing_out(store_now(farm, TODAY), Reader(farm, TODAY)) == ()
    taking_back.undo(answer.entry, person="ada", client_id=secrets.token_hex(16), reason="not yet")
    assert [each.grams for each in in_store()] == [7000]
    assert today.job_view(job).state.value == "open"
    assert check() == ()


def test_throwing_out_more_than_is_past_asks_why(lay: LayJob, picked: str, farm: FarmBook) -> None:
    del picked
    job = waste(lay, farm)
    with pytest.raises(RefusedError, match="3 kg of Grey oyster are past their days, and 4 kg"):
        do(job, grams=4000)
    do(job, grams=4000, reason="a kilogram went soft as well")
    assert [(w.picked_on, w.grams) for w in store_now(farm, TODAY)] == [
        (TODAY - timedelta(days=1), 3000)
    ]


def test_the_plan_counts_only_on_what_is_within_its_days(picked: str, farm: FarmBook) -> None:
    del picked
    problem, _ = build_problem(farm, (), TODAY, store=store_now(farm, TODAY))
    assert [(each.grams, each.last_day) for each in problem.store] == [(4000, 5)]


def test_a_delivery_beside_the_jobs_needs_the_reason_too(picked: str, farm: FarmBook) -> None:
    del picked, farm
    given = {"person": "ada", "client_id": secrets.token_hex(16)}
    [here] = off_plan.store()
    assert (here.grams, here.past_g) == (7000, 3000)
    with pytest.raises(RefusedError, match="3 kg are past them"):
        off_plan.deliver("market", "grey", 6000, **given)
    off_plan.deliver("market", "grey", 6000, reason="for the drier", **given)
    assert [each.grams for each in in_store()] == [1000]


@pytest.mark.usefixtures("picked")
def test_where_all_is_past_its_days_it_is_said_so(lay: LayJob) -> None:
    do(delivery(lay, 4000))
    with pytest.raises(RefusedError, match="No Grey oyster in the cold store is within its days;"):
        do(lay(JobKind.DELIVER, key="2", count=1, unit="kg", grams=1000, promise="market-grey"))


@pytest.mark.usefixtures("picked")
def test_weight_not_to_be_thrown_out_at_all_is_not_asked_about_again(
    lay: LayJob, farm: FarmBook
) -> None:
    job = waste(lay, farm)
    putting_off.not_at_all(
        job, person="ada", client_id=secrets.token_hex(16), reason="for the hens"
    )
    [again] = throwing_out(store_now(farm, TODAY), Reader(farm, TODAY))
    tomorrow = TODAY + timedelta(days=1)
    begins = clock.at_clock(tomorrow + timedelta(days=1), "00:00", farm.farm.time_zone)
    assert settled_today(tomorrow, begins, ()).covers(again)
    later = throwing_out(store_now(farm, TODAY), Reader(farm, TODAY + timedelta(days=8)))
    assert [settled_today(tomorrow, begins, ()).covers(each) for each in later] == [False]


def test_an_ounce_past_its_days_is_not_worth_a_word(
    lay: LayJob, stock: dict[str, str], farm: FarmBook
) -> None:
    """What scales round off stays behind in the books; it is thrown out with the next."""
    lots = (LotAmount(stock["fruiting"], 20),)
    for days, grams in ((8, 28), (1, 4000)):
        job = lay(JobKind.PICK, key=f"pick:{days}", count=3, unit="kg", lots=lots)
        do(job, grams=grams, at=NOW - timedelta(days=days), reason="invented")
    assert "past" not in today.job_view(delivery(lay, 3000)).detail
    assert not throwing_out(store_now(farm, TODAY), Reader(farm, TODAY))
    [there] = off_plan.store()
    assert (there.grams, there.past_g, there.past) == (4000, 0, "")


@pytest.fixture
def handful(lay: LayJob, stock: dict[str, str]) -> str:
    """198 g of eight days ago and four kilograms of yesterday, of one lot that keeps six days."""
    lots = (LotAmount(stock["fruiting"], 20),)
    for days, grams in ((8, 198), (1, 4000)):
        job = lay(JobKind.PICK, key=f"pick:{days}", count=3, unit="kg", lots=lots)
        do(job, grams=grams, at=NOW - timedelta(days=days), reason="invented")
    return stock["fruiting"]


@pytest.mark.usefixtures("handful")
@pytest.mark.parametrize(
    ("units", "said"),
    [("metric", (198, "g")), ("us", (7, "oz"))],  # 28.35 g an ounce
)
def test_less_than_a_kilogram_or_a_pound_is_no_whole_one(
    lay: LayJob, farm: FarmBook, units: str, said: tuple[int, str]
) -> None:
    describe(replace(farm, farm=replace(farm.farm, units=units)))
    seen = today.job_view(waste(lay, farm))
    assert (seen.count, seen.unit) == said
    assert seen.what.startswith(f"{said[1]} Grey oyster past its days")
    assert seen.is_weighed


@pytest.mark.usefixtures("handful")
def test_what_reads_like_all_that_is_past_is_all_of_it(lay: LayJob, farm: FarmBook) -> None:
    do(waste(lay, farm), grams=203)
    assert [each.grams for each in in_store()] == [4000]
    assert Posting.objects.get(account="waste").quantity == 198
    assert check() == ()
