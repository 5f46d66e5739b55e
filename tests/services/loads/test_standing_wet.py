"""Straw that was soaked for a cook that is not coming is not forgotten: Today says what to do."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.clock import PRETENDED
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.throwing_out import throwing_out_wet
from pinset.services.loads.uncooked import waiting_for_a_cook
from pinset.services.plans import planning_day
from services.conftest import LayJob
from services.straw import Jobs, do, drop, lay_cook, lay_task, notes, thrown, with_straw

SMELLS = "it smells sour"


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs of a cook of twenty bags."""
    return lay_cook(book, lay)


def test_nothing_is_said_while_its_cook_is_on_the_list_or_done(jobs: Jobs, book: FarmBook) -> None:
    assert notes(book) == []
    do(jobs["chop"])
    do(jobs["soak"])
    assert notes(book) == []
    do(jobs["fill"])
    do(jobs["load"])
    assert notes(book) == []
    assert notes(book, TODAY + timedelta(days=2)) == []


def test_of_a_cook_that_is_dropped_it_is_said_on_today(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["chop"])
    do(jobs["soak"])
    drop(jobs)
    said = (
        "Straw for 20 blocks stands there wet (chop and soak done for the cook of today), and no "
        "cook takes it: cook it tomorrow at the latest, or throw it out; a day after the cook it "
        "was prepared for is the latest (common practice)."
    )
    assert notes(book) == [said]
    assert said in today.day_view().notes


def test_once_it_is_too_old_it_is_to_be_thrown_out(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    drop(jobs)
    assert "cook it today at the latest" in notes(book, TODAY + timedelta(days=1))[0]
    [late] = notes(book, TODAY + timedelta(days=2))
    assert late.endswith("it is too old to be cooked now; throw it out.")
    assert notes(book, TODAY + timedelta(days=4)) == []


def test_put_off_it_goes_into_the_cook_of_tomorrow(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["load"], putting_off.not_today, reason="no time left")
    [said] = notes(book)
    assert "it is to go into the cook of tomorrow, and no later" in said


def test_of_a_cook_planned_away_it_is_said(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    job_store.withdraw([jobs["load"]], NOW)
    assert len(notes(book)) == 1
    assert "no cook takes it" in notes(book)[0]


def test_a_cook_taken_back_on_the_list_silences_it(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    dropped = drop(jobs)
    assert notes(book)
    taking_back.undo(dropped.entry, person="ada", client_id=secrets.token_hex(16), reason="it runs")
    assert notes(book) == []


def test_what_was_half_filled_stands_with_what_is_soaked(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["fill"], recording.part_done, count=8)
    drop(jobs)
    assert "Straw for 20 blocks" in notes(book)[0]


def test_what_was_lost_in_filling_does_not_stand_there(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["fill"], count=18, reason="two bags burst")
    do(jobs["load"])
    assert notes(book) == []


def test_of_a_load_in_part_the_rest_stands(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["fill"])
    do(jobs["load"], count=15, reason="no more room")
    assert notes(book)[0].startswith("Straw for 5 blocks stands there wet (soak and fill done")


def test_more_than_a_cook_is_planned_with_may_go_in_too(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["soak"])
    job_store.withdraw([jobs["load"]], NOW)
    route = book.routes[0].code
    about = {
        "task": "load", "steriliser": "kettle", "cook_kind": "grain", "variety": "",
        "day": TODAY + timedelta(days=1), "step": "block",
    }  # fmt: skip
    for number, units in enumerate((5, 7)):
        feeds = (LotAmount("", units, "block", route),)
        lay(JobKind.COOK, key=f"cook:next:{number}", count=units, feeds=feeds, **about)
    later, more = notes(book)
    assert later.startswith("Straw for 12 blocks")
    assert "the cook of tomorrow, and no later" in later
    assert more.startswith("Straw for 8 blocks")
    assert "more than the cook of tomorrow is planned with: put it in, too" in more


def test_one_or_two_more_than_a_cook_takes_are_not_worth_a_word(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["soak"])
    job_store.withdraw([jobs["load"]], NOW)
    feeds = (LotAmount("", 18, "block", book.routes[0].code),)
    lay(
        JobKind.COOK, key="cook:less", task="load", steriliser="kettle", cook_kind="grain",
        variety="", step="block", count=18, feeds=feeds,
    )  # fmt: skip
    assert notes(book) == []


def test_chopped_only_it_is_dry_and_keeps(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["chop"])
    drop(jobs)
    [said] = notes(book)
    assert " wet" not in said
    assert "keep it dry" in said


def test_soaked_for_tomorrow_it_is_said_from_today(
    book: FarmBook, jobs: Jobs, lay: LayJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    step, morrow = book.routes[0].step("block"), TODAY + timedelta(days=1)
    soak = lay(
        JobKind.PREPARE, key="soak:morrow", task="soak", count=12, variety="", step="block",
        stage=step.stage.value, mix=f"straw {step.vessel}", moisture=0.7, lead_hours=120.0,
        for_day=morrow, what="blocks: soak straw",
    )  # fmt: skip
    do(soak)
    assert "cook it tomorrow at the latest" in notes(book)[0]
    monkeypatch.setenv(PRETENDED, morrow.isoformat())
    assert notes(book, morrow) == [], "the load of yesterday is still open and takes it"
    drop(jobs)
    assert "cook it today at the latest" in notes(book, morrow)[0], "nobody works on Saturday"


def test_what_no_planned_cook_takes_is_to_be_thrown_out(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["soak"])
    drop(jobs)
    [job] = thrown(book, lay)
    view = today.job_view(job)
    assert f"{view.count} {view.what}" == "20 units of straw, wet and not cooked: throw out"
    assert view.detail == "Its last day is tomorrow; no cook takes it"
    assert view.day == TODAY + timedelta(days=1)
    assert any("trolley" in caution for caution in view.cautions)
    with pytest.raises(RefusedError, match="planned for"):
        do(job)
    do(job, recording.part_done, count=5, reason=SMELLS)
    assert notes(book)[0].startswith("Straw for 15 blocks")
    last = do(job, reason=SMELLS)
    assert notes(book) == []
    assert thrown(book, lay) == []
    taking_back.undo(last.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert notes(book)[0].startswith("Straw for 15 blocks")


def test_what_was_thrown_out_is_prepared_anew_for_the_next_cook(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["soak"])
    drop(jobs)
    assert sum(waiting_for_a_cook(book, TODAY, ()).units.values()) == 20
    do(thrown(book, lay)[0], reason=SMELLS)
    assert sum(waiting_for_a_cook(book, TODAY, ()).units.values()) == 0


def test_what_was_thrown_out_takes_nothing_of_a_later_day(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["soak"])
    drop(jobs)
    do(thrown(book, lay)[0], reason=SMELLS)
    morrow = TODAY + timedelta(days=1)
    do(lay_task(book, lay, "soak", 15, morrow))
    for day in (TODAY, morrow, morrow + timedelta(days=1)):
        assert sum(waiting_for_a_cook(book, day, ()).units.values()) == 15
    assert [each[:22] for each in notes(book, morrow)] == ["Straw for 15 blocks st"]


@pytest.mark.parametrize(
    ("later", "day", "detail"),
    [
        (0, 1, "Its last day is tomorrow; no cook takes it"),
        (1, 1, "Its last day is today; no cook takes it"),
        (2, 2, "Too old to be cooked: its last day was yesterday"),
    ],
)
def test_it_is_thrown_out_on_its_last_day_and_no_sooner(
    jobs: Jobs, book: FarmBook, later: int, day: int, detail: str
) -> None:
    do(jobs["soak"])
    drop(jobs)
    [job] = throwing_out_wet((), book, TODAY + timedelta(days=later))
    assert (job.day, job.detail) == (TODAY + timedelta(days=day), detail)


def test_before_a_day_off_it_is_thrown_out_on_the_day_before(jobs: Jobs, book: FarmBook) -> None:
    morrow = TODAY + timedelta(days=1)
    closed = replace(book, farm=replace(book.farm, days_off=(morrow,)))
    do(jobs["soak"])
    drop(jobs)
    [job] = throwing_out_wet((), closed, TODAY)
    assert job.day == TODAY


@pytest.mark.parametrize(("ahead", "jobs_laid"), [(0, 0), (1, 0), (2, 1)])
def test_a_planned_cook_in_time_takes_it(
    jobs: Jobs, book: FarmBook, lay: LayJob, ahead: int, jobs_laid: int
) -> None:
    do(jobs["soak"])
    drop(jobs)
    cook = PlannedJob(
        "cook:next", JobKind.COOK, "load", TODAY + timedelta(days=ahead), 18, "units", "bags",
        "steriliser", feeds=(LotAmount("", 18, "block", book.routes[0].code),),
    )  # fmt: skip
    assert len(thrown(book, lay, cook)) == jobs_laid


def test_dry_straw_is_not_thrown_out(jobs: Jobs, book: FarmBook, lay: LayJob) -> None:
    do(jobs["chop"])
    drop(jobs)
    assert thrown(book, lay) == []


def test_while_no_steriliser_is_in_use_nobody_is_told_to_cook_it(
    jobs: Jobs, book: FarmBook
) -> None:
    do(jobs["soak"])
    drop(jobs)
    tomorrow = TODAY + timedelta(days=1)
    down = Outage("kettle-a", OutageOf.STERILISER, "kettle", TODAY, tomorrow, "no power")
    out = replace(book, outages=(down,))
    [said] = notes(out)
    assert "no cook can take it while it keeps: " in said
    assert "is out of use until tomorrow. Throw it out, unless" in said
    assert ": cook it" not in said
    back = replace(book, outages=(replace(down, until=TODAY),))
    assert "cook it tomorrow at the latest" in notes(back)[0]
    early = replace(book, outages=(replace(down, from_date=tomorrow),))
    assert "cook it today at the latest" in notes(early)[0]


def test_a_day_off_is_no_day_to_cook_it(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    drop(jobs)
    tomorrow = TODAY + timedelta(days=1)
    off = replace(book, farm=replace(book.farm, days_off=(tomorrow,)))
    assert "cook it today at the latest" in notes(off)[0]
    [said] = notes(off, tomorrow)
    assert "nobody works today" in said
