"""A missed delivery is asked for once more, on the next working day; a dropped one never again."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import Promise, Weekday
from pinset.farm import register_store
from pinset.services import clock, memory
from pinset.services.answers import off_plan, putting_off, recording, taking_back
from pinset.services.day import today
from pinset.services.plans import planning_day
from pinset.services.promises.promises import promises_view
from pinset.services.views import JobState, JobView
from services.conftest import FULL_BOOK

THURSDAY = TODAY  # both promises of the small farm fall due
FRIDAY, SATURDAY, SUNDAY, MONDAY, TUESDAY = (TODAY + timedelta(days=n) for n in range(1, 6))

STILL_OPEN = {JobState.OPEN, JobState.PART}

Live = Callable[[date], list[JobView]]


@pytest.fixture
def live(db: None, monkeypatch: pytest.MonkeyPatch) -> Live:  # noqa: ARG001
    """Plan on a day and return its open deliveries; nobody works from Friday to Sunday."""
    farm = replace(FULL_BOOK.farm, days_off=(FRIDAY, SATURDAY, SUNDAY))
    describe(replace(FULL_BOOK, farm=farm))

    def plan_on(day: date) -> list[JobView]:
        monkeypatch.setenv(clock.PRETENDED, day.isoformat())
        memory.forget_all()
        planning_day.replan()
        view = today.day_view()
        jobs = [job for section in view.sections for job in section.jobs] + list(view.later)
        return [j for j in jobs if j.kind in {"deliver", "pack"} and j.state in STILL_OPEN]

    return plan_on


def new_id() -> str:
    return secrets.token_hex(16)


def deliveries(jobs: list[JobView]) -> list[JobView]:
    return [job for job in jobs if job.kind == "deliver"]


def test_a_missed_delivery_comes_again_on_the_next_working_day_only(live: Live) -> None:
    assert len(deliveries(live(THURSDAY))) == 2
    for day_off in (FRIDAY, SATURDAY, SUNDAY):
        assert live(day_off) == []
    late = deliveries(live(MONDAY))
    assert [(job.late_days, "Promised" in job.detail) for job in late] == [(4, True)] * 2
    assert deliveries(live(TUESDAY)) == []


def test_not_at_all_holds(live: Live) -> None:
    for job in deliveries(live(THURSDAY)):
        putting_off.not_at_all(job.job, person="ada", client_id=new_id(), reason="buyer is closed")
    assert live(THURSDAY) == []  # nothing to pack for it either
    assert live(MONDAY) == []


def test_not_at_all_taken_back_is_asked_for_again(live: Live) -> None:
    first, second = deliveries(live(THURSDAY))
    said = [
        putting_off.not_at_all(job.job, person="ada", client_id=new_id(), reason="buyer is closed")
        for job in (first, second)
    ]
    taking_back.undo(said[0].entry, person="ada", client_id=new_id(), reason="wrong buyer")
    assert [job.what for job in deliveries(live(MONDAY))] == [first.what]


def test_put_off_from_the_late_day_it_comes_on_the_next_working_day(live: Live) -> None:
    live(THURSDAY)
    first, second = deliveries(live(MONDAY))
    said = putting_off.not_today(first.job, person="ada", client_id=new_id(), reason="no time left")
    assert said.sentence.endswith("not today, tomorrow again.")
    again = deliveries(live(TUESDAY))
    assert [job.job for job in again] == [first.job]
    assert second.job != first.job
    assert deliveries(live(TUESDAY + timedelta(days=1))) == []


def test_put_off_before_days_off_says_the_working_day(live: Live) -> None:
    job, _ = deliveries(live(THURSDAY))
    said = putting_off.not_today(job.job, person="ada", client_id=new_id(), reason="no time left")
    assert said.sentence.endswith("not today, Monday again.")
    assert live(FRIDAY) == []
    assert len(deliveries(live(MONDAY))) == 2


def test_the_plan_keeps_no_stock_for_what_was_dropped(live: Live) -> None:
    for job in deliveries(live(THURSDAY)):
        putting_off.not_at_all(job.job, person="ada", client_id=new_id(), reason="buyer is closed")
    planned = planning_day.replan()
    assert [short for short in planned.plan.short if short.day == THURSDAY] == []


def test_the_rest_of_a_delivery_is_asked_for_again(stock: dict[str, str], live: Live) -> None:
    """Of three units one was handed over; the rest stays open, and is handed over late."""
    [job] = [each for each in deliveries(live(THURSDAY)) if each.unit == "units"]
    one, two = [(stock["grain"], 1)], [(stock["grain"], 2)]
    part = recording.part_done(job.job, person="ada", client_id=new_id(), count=1, lots=one)
    [rest] = [each for each in deliveries(live(MONDAY)) if each.job == job.job]
    assert (rest.count, rest.done_count, rest.late_days) == (3, 1, 4)
    late = recording.done(job.job, person="ada", client_id=new_id(), lots=two)
    for entry in (late.entry, part.entry):
        taking_back.undo(entry, person="ada", client_id=new_id(), reason="the other buyer")
    [whole] = [each for each in deliveries(live(MONDAY)) if each.job == job.job]
    assert (whole.count, whole.done_count) == (3, 0)


def test_words_and_number_agree_where_the_rest_of_an_earlier_day_comes_first(
    stock: dict[str, str], live: Live
) -> None:
    """On Monday 5 kg of Thursday are asked for; without them what is due then were just there."""
    off_plan.pick(
        stock["fruiting"], 6000, person="ada", client_id=new_id(),
        at=NOW + timedelta(hours=1), reason="invented",
    )  # fmt: skip
    live(THURSDAY)
    live(MONDAY)
    first = planning_day.latest()
    assert first is not None
    there = 6000 + sum(each.grams for each in first.plan.picks if each.day == MONDAY)
    due = Promise("stall", "market", "grey", round(there - 1000), weekday=Weekday.MON)
    register_store.write([due], THURSDAY, "", NOW)
    assert any(job.late_days for job in deliveries(live(MONDAY)))
    [row] = [
        row
        for _, week in promises_view().weeks
        for row in week
        if (row.promise, row.day) == ("stall", MONDAY)
    ]
    planned = planning_day.latest()
    assert planned is not None
    short = sum(s.amount for s in planned.plan.short if (s.promise, s.day) == ("stall", MONDAY))
    assert short == pytest.approx(4000.0, abs=100.0)
    assert row.state in {"short", "unavoidable"}
    assert row.chance is not None
    assert row.chance < 0.1
    assert not [each for each in planned.chances.orders if "@" in each.promise]
    assert not [each for each in planned.plan.short if "@" in each.promise]
