"""From a plan to Today and back: jobs, lateness, changes, promises, over several days."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.check import check
from pinset.farm.job_store import PlanRow
from pinset.farm.models import Entry
from pinset.services import clock, memory
from pinset.services.answers import lot_actions, putting_off, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.books import books, lots
from pinset.services.day import today
from pinset.services.farms import checking
from pinset.services.plans import planning_day, work
from pinset.services.promises import promises
from pinset.services.views import DayView, JobState, JobView
from services.planned import plan_body


@pytest.fixture(autouse=True)
def _a_farm(farm: FarmBook, stock: dict[str, str]) -> None:
    """Every test here starts from the small farm with stock."""


def jobs_of(view: DayView) -> list[JobView]:
    return [job for section in view.sections for job in section.jobs] + list(view.later)


def live_on(monkeypatch: pytest.MonkeyPatch, day: date) -> None:
    monkeypatch.setenv(clock.PRETENDED, day.isoformat())
    memory.forget_all()


def new_id() -> str:
    return secrets.token_hex(16)


def test_today_has_fixed_hours_rooms_in_order_and_reasons() -> None:
    planning_day.replan()
    view = today.day_view("ada")
    assert view.title == "Thursday 12 March"
    ranks = [section.title for section in view.sections]
    assert ranks.index("Grow rooms") == len(ranks) - 1
    deliver = [job for job in jobs_of(view) if job.kind == "deliver"]
    assert {job.fixed for job in deliver} == {True}
    assert any(hour.at == "14:00" for hour in view.fixed)
    assert all(job.why for job in jobs_of(view))


def test_planning_twice_keeps_codes_and_changes_nothing() -> None:
    first = planning_day.replan()
    before = {row.code for row in job_store.open_jobs()}
    second = planning_day.replan()
    assert {row.code for row in job_store.open_jobs()} == before
    assert first.changes == second.changes == ()


def test_a_job_left_undone_keeps_its_code_and_is_late(monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan()
    work_ahead = [row for row in job_store.open_jobs() if row.kind in {"move", "transfer"}]
    assert work_ahead, "the small farm has ready stock and promises: something must be planned"
    day = min(row.day for row in work_ahead)
    live_on(monkeypatch, day)
    planning_day.replan()
    due = {row.code for row in job_store.open_jobs() if row.kind in {"move", "transfer"}}
    due &= {row.code for row in job_store.open_jobs() if row.day == day}
    assert due
    live_on(monkeypatch, day + timedelta(days=1))
    planning_day.replan()
    kept = [row for row in job_store.open_jobs() if row.code in due]
    assert kept
    assert {row.body["first_day"] for row in kept} == {day.isoformat()}
    again = min(row.day for row in kept)
    live_on(monkeypatch, again)
    planning_day.replan()
    late = [job for job in jobs_of(today.day_view()) if job.job in due and job.late_days]
    assert [job.late_days for job in late] == [(again - day).days] * len(late)
    assert late
    assert all("late" in job.late_cost for job in late)


def test_done_work_is_shown_done_and_not_asked_again() -> None:
    planning_day.replan()
    job = next(j for j in jobs_of(today.day_view()) if j.kind in {"look", "round", "move"})
    recording.done(job.job, person="ada", client_id=new_id())
    shown = next(j for j in jobs_of(today.day_view()) if j.job == job.job)
    assert shown.state is JobState.DONE
    planning_day.replan()
    again = [j for j in jobs_of(today.day_view()) if j.job == job.job]
    assert [j.state for j in again] == [JobState.DONE]


def test_whoever_was_in_a_grow_room_is_warned_before_the_laboratory() -> None:
    planning_day.replan()
    rounds = next(j for j in jobs_of(today.day_view()) if j.kind == "round")
    recording.done(rounds.job, person="ada", client_id=new_id())
    laboratory = [
        j for s in today.day_view("ada").sections if s.title == "Laboratory" for j in s.jobs
    ]
    warned = today.day_view("ada").grow_room_warning
    assert bool(warned) == any(job.state is JobState.OPEN for job in laboratory)
    assert today.day_view("ben").grow_room_warning == ""


def test_a_loss_shows_as_the_reason_of_a_change(stock: dict[str, str]) -> None:
    planning_day.replan()
    before = [row for row in job_store.open_jobs() if row.kind == "move"]
    assert before
    lot_actions.lose(Saying(stock["block"], "ada", new_id()), 20, "green dust")
    planned = planning_day.replan()
    told = [change for change in planned.changes if "fruiting" in change.sentence]
    assert told
    assert all(f"20 units of {stock['block']} lost" in change.reason for change in told)


def test_promises_show_what_was_kept(stock: dict[str, str]) -> None:
    planning_day.replan()
    view = promises.promises_view()
    [row] = [r for _, rows in view.weeks for r in rows if r.promise == "spawn" and r.day == TODAY]
    assert row.delivered is None
    job = next(j for j in jobs_of(today.day_view()) if j.kind == "deliver" and j.step == "grain")
    recording.done(job.job, person="ada", client_id=new_id())
    view = promises.promises_view()
    [row] = [r for _, rows in view.weeks for r in rows if r.promise == "spawn" and r.day == TODAY]
    assert (row.delivered, row.state) == (3, "kept")
    assert lots.lot_view(stock["grain"]).line.alive == 17
    sentence = books.buyers_view()[0].sentence
    assert sentence


def test_ending_a_promise_ends_its_jobs() -> None:
    planning_day.replan()
    assert any(j.kind == "deliver" for j in jobs_of(today.day_view()))
    promises.end_promise("spawn", "ada")
    promises.end_promise("market-grey", "ada")
    planning_day.replan()
    assert not any(j.kind == "deliver" for j in jobs_of(today.day_view()))


def test_a_request_is_worked_once(monkeypatch: pytest.MonkeyPatch) -> None:
    number = work.ask_for_plan("ada")
    assert work.ask_for_plan("ben") == number
    assert work.work_once()
    found = work.how_far(number)
    assert found is not None
    assert found.is_ended
    assert found.problem == ""
    assert planning_day.latest() is not None
    monkeypatch.setattr(work, "NIGHT_HOUR", 0)
    assert not work.work_once()


def test_a_new_day_is_planned_at_night(monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan()
    monkeypatch.setattr(work, "NIGHT_HOUR", 0)
    live_on(monkeypatch, TODAY + timedelta(days=1))
    assert work.work_once()
    newest = planning_day.latest()
    assert newest is not None
    assert newest.plan.start == TODAY + timedelta(days=1)


def test_a_held_lot_is_not_offered_and_a_recount_sets_right(stock: dict[str, str]) -> None:
    lot_actions.hold(Saying(stock["grain"], "ada", new_id()), "smells sour")
    assert lots.lot_view(stock["grain"]).line.held == "smells sour"
    lot_actions.release(Saying(stock["grain"], "ada", new_id()))
    assert lots.lot_view(stock["grain"]).line.held == ""
    lot_actions.recount(Saying(stock["grain"], "ada", new_id()), 18, "two broken")
    assert lots.lot_view(stock["grain"]).line.alive == 18
    tap = new_id()
    lot_actions.cull(Saying(stock["grain"], "ada", tap), 1, "dropped")
    lot_actions.cull(Saying(stock["grain"], "ada", tap), 1, "dropped")
    assert lots.lot_view(stock["grain"]).line.alive == 17
    assert check() == ()


def test_rooms_count_places() -> None:
    rooms = {room.code: room for room in books.rooms_view()}
    assert rooms["grow"].shelves == (("grow-1", 20.0, 200),)
    assert rooms["inc"].units == 60


def test_the_check_says_how_much_it_looked_at() -> None:
    report = checking.check_farm()
    assert report.entries == Entry.objects.count()
    assert report.sentence.startswith(f"{report.entries} entries checked")
    assert NOW.date() == TODAY


def test_what_is_done_or_dropped_is_not_asked_for_again_today() -> None:
    planning_day.replan()
    jobs = [j for j in jobs_of(today.day_view()) if j.kind in {"round", "pick", "look", "deliver"}]
    rounds = next(j for j in jobs if j.kind == "round")
    recording.done(rounds.job, person="ada", client_id=new_id())
    dropped = next(j for j in jobs if j.kind == "deliver")
    putting_off.not_at_all(dropped.job, person="ada", client_id=new_id(), reason="they are closed")
    planning_day.replan()
    still_open = {row.body["key"] for row in job_store.open_jobs()}
    assert not any(key.startswith("round:") for key in still_open)
    assert (
        sum(key.startswith("deliver:") for key in still_open)
        == sum(j.kind == "deliver" for j in jobs) - 1
    )


def test_a_short_delivery_leaves_the_rest_to_be_asked_for(stock: dict[str, str]) -> None:
    planning_day.replan()
    spawn = next(j for j in jobs_of(today.day_view()) if j.kind == "deliver" and j.step == "grain")
    recording.done(spawn.job, person="ada", client_id=new_id(), count=2)
    view = promises.promises_view()
    [row] = [r for _, rows in view.weeks for r in rows if r.promise == "spawn" and r.day == TODAY]
    assert (row.delivered, row.state) == (2, "part kept")
    planning_day.replan()
    [rest] = [
        j
        for j in jobs_of(today.day_view())
        if j.kind == "deliver" and j.step == "grain" and j.state is JobState.OPEN
    ]
    assert rest.count == 1
    assert lots.lot_view(stock["grain"]).line.alive == 18


def test_on_a_day_off_nothing_is_laid_but_what_is_handed_over(
    farm: FarmBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    planning_day.replan()
    assert {"round", "deliver"} <= {job.kind for job in jobs_of(today.day_view())}
    job_store.lay(PlanRow(NOW, TODAY, 0, plan_body(), 0.0, 0.0, "x"), [], [], _codes())
    describe(replace(farm, farm=replace(farm.farm, days_off=(TODAY,))))
    live_on(monkeypatch, TODAY)
    planning_day.replan()
    assert {job.kind for job in jobs_of(today.day_view())} == {"deliver"}
    live_on(monkeypatch, TODAY + timedelta(days=1))
    planning_day.replan()
    assert "round" in {job.kind for job in jobs_of(today.day_view())}


def _codes() -> list[str]:
    return [row.code for row in job_store.open_jobs()]
