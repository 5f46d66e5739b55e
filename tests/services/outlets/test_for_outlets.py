"""What is left over becomes work on Today: packed, handed over or dried, and written down."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.models import Balance
from pinset.planning.outlets.surplus import OutletShare, SurplusPlan
from pinset.services.answers import off_plan, recording, to_outlet
from pinset.services.book_reader import Reader
from pinset.services.books.register_change import write_records
from pinset.services.day.today import day_view
from pinset.services.jobs.for_outlets import for_outlets
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.outlets.given import given_on
from pinset.services.plans import planning_day
from pinset.services.views import JobView
from services.outlets.test_surplus_view import DRIER, SATURDAY, SHARES, STALL
from services.planned import plan_body

KITCHEN = replace(STALL, code="kitchen", name="Kitchen", weekdays=(), deliver_at="15:00")
TODAYS = (*SHARES, OutletShare("kitchen", TODAY, "grey", 1200.0, 1320.0))


@pytest.fixture
def book(farm: FarmBook) -> FarmBook:
    early = replace(STALL, deliver_at="06:30")
    write_records([early, DRIER, KITCHEN], "", NOW - timedelta(hours=1))
    return planning_day.farm_book(NOW)[0] if farm else farm


def jobs(book: FarmBook, ahead: int = 0) -> dict[str, PlannedJob]:
    reader = Reader(book, TODAY + timedelta(days=ahead))
    return {job.key.replace(str(reader.today), "T"): job for job in for_outlets(_plan(), reader)}


def _plan() -> SurplusPlan:
    return SurplusPlan((*TODAYS, OutletShare("kitchen", TODAY, "grey", 20.0, 22.0)), ())


def lay(book: FarmBook) -> dict[str, JobView]:
    """Lay out today's jobs for outlets; return them as Today shows them, by kind of work."""
    rows = [
        JobToLay("", job.day, job.kind.value, to_plain(job), count=job.count)
        for job in jobs(book).values()
    ]
    body = plan_body() | {"surplus": to_plain(_plan())}
    job_store.lay(PlanRow(NOW, TODAY, 0, body, 0.0, 0.0, "x"), [], rows, [])
    shown = [job for section in day_view("ada", now=NOW).sections for job in section.jobs]
    return {job.kind: job for job in shown}


def test_what_is_left_over_is_packed_and_handed_over_and_dried_today(book: FarmBook) -> None:
    found = jobs(book)
    assert list(found) == ["dry:drier:grey:T", "pack:T:T:outlet:kitchen", "give:kitchen:grey:T"]
    pack = found["pack:T:T:outlet:kitchen"]
    assert pack.what == "kg or so to pack for Kitchen: 1.2 kg Grey oyster"
    assert pack.due == "before 15:00"
    dry = found["dry:drier:grey:T"]
    assert (dry.what, dry.grams) == ("kg or so Grey oyster into Drying cupboard", 2000)


def test_for_an_early_hour_on_a_day_off_it_is_packed_the_working_day_before(book: FarmBook) -> None:
    """The stall opens at 06:30 on Saturday, which is a day off; the drier is filled on its day."""
    friday = jobs(book, 1)
    [pack] = friday.values()
    assert pack.for_day == SATURDAY
    assert pack.detail == "For tomorrow 06:30, left over, kept cold until then"
    assert set(jobs(book, 2)) == {"give:stall:grey:T", "dry:drier:grey:T"}


def test_a_job_is_done_with_the_weight_from_the_scale(
    book: FarmBook, stock: dict[str, str]
) -> None:
    shown = lay(book)
    assert shown["dry"].act == "In the drier"
    with pytest.raises(InputError, match="grams"):
        recording.done(shown["give"].job, person="ada", client_id="a" * 32)
    with pytest.raises(RefusedError, match="cold store"):
        recording.done(shown["give"].job, person="ada", client_id="a" * 32, grams=1100)
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="b" * 32)
    recording.done(shown["give"].job, person="ada", client_id="c" * 32, grams=1100)
    recording.done(shown["dry"].job, person="ada", client_id="d" * 32, grams=1800)
    given = {each.outlet: each for each in given_on(TODAY, TODAY, book.farm.time_zone)}
    assert (given["kitchen"].grams, given["kitchen"].cents) == (1100, 1210)
    assert (given["drier"].grams, given["drier"].cents) == (1800, 0)
    dried = Balance.objects.filter(account="dried").values_list("quantity", flat=True)
    assert sum(dried) == 1800
    still = [job for section in day_view("ada", now=NOW).sections for job in section.jobs]
    assert {job.kind: job.state.value for job in still if job.kind in {"give", "dry"}} == {
        "give": "done",
        "dry": "done",
    }


def test_handed_over_without_the_job_it_answers_the_job(
    book: FarmBook, stock: dict[str, str]
) -> None:
    lay(book)
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    to_outlet.hand_over("drier", "grey", 1900, person="ada", client_id="b" * 32)
    again = to_outlet.hand_over("drier", "grey", 1900, person="ada", client_id="b" * 32)
    assert again.already
    assert [row.kind for row in job_store.open_jobs()] == ["pack", "give"]


def test_work_for_outlets_done_today_is_not_asked_for_again(
    book: FarmBook, stock: dict[str, str]
) -> None:
    shown = lay(book)
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    recording.done(shown["dry"].job, person="ada", client_id="b" * 32, grams=1500)
    planning_day.replan(NOW, time_limit_s=5.0)
    left = [row for row in job_store.open_jobs() if row.kind == JobKind.DRY.value]
    assert left == []


def test_the_plan_lays_out_what_its_surplus_is_for(book: FarmBook, stock: dict[str, str]) -> None:
    off_plan.pick(stock["fruiting"], 9000, person="ada", client_id="a" * 32)
    planned = planning_day.replan(NOW, time_limit_s=5.0)
    wanted = {
        (share.outlet, share.variety)
        for share in planned.surplus.shares
        if share.day == TODAY and share.grams >= 50.0
    }
    assert wanted
    laid = {
        (str(row.body["outlet"]), str(row.body["variety"]))
        for row in job_store.open_jobs()
        if row.kind in {JobKind.GIVE.value, JobKind.DRY.value}
    }
    assert laid == wanted
    assert book.outlets
