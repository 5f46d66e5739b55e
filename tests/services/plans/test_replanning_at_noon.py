"""Planning again in the middle of a day: hours that have passed are over, what was done is done.

The planner's search is replaced by one that cooks 30 jars on the first day that still holds a cook
and inoculates them two days later, so that what is tested is the laying out.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from farm.small_farm import NOW, TODAY, Taps, describe
from pinset.chain.register import FarmBook, Preparation, Room, RoomKind, Shelf
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import door, job_store, trade
from pinset.farm.queries.alive import prepared
from pinset.planning.plan import Plan, PlannedCook, Start
from pinset.planning.problem import Problem
from pinset.services import clock, memory
from pinset.services.answers import putting_off, recording
from pinset.services.day import today
from pinset.services.plans import planning_day
from pinset.services.views import DayView, JobState, JobView

TOMORROW = TODAY + timedelta(days=1)
HOURS = 5.0  # a cook of the small farm's kettle, loaded at 10:30 and used until 18:30

Planner = Callable[[], None]


def at(clock_time: str, day: date = TODAY) -> datetime:
    """Return the moment at which the farm's clock (Vienna, winter) shows that time."""
    hour = datetime.combine(day, time.fromisoformat(clock_time), UTC)
    return hour - timedelta(hours=1)


def with_cooks(book: FarmBook) -> FarmBook:
    """The small farm, its grain filled two hours before the cook."""
    steps = tuple(
        replace(
            step,
            cook="grain",
            mix="rye",
            preparations=(
                Preparation("fill", 26.0, 0.0, 60.0, RoomKind.PREPARATION),
                Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
            ),
        )
        if step.code == "grain"
        else step
        for step in book.routes[0].steps
    )
    shop = Room("shop", "Shop", RoomKind.PREPARATION, 18.0, (Shelf("shop-1", 50),))
    watched = tuple(replace(each, opened_until="22:00") for each in book.sterilisers)
    return replace(
        book,
        routes=(replace(book.routes[0], steps=steps),),
        rooms=(*book.rooms, shop),
        sterilisers=watched,
    )


def a_plan(problem: Problem) -> Plan:
    kettle = problem.resources.sterilisers[0]
    day = next(
        problem.date_of(n)
        for n in range(problem.days)
        if kettle.hours[n] >= HOURS and kettle.count[n] >= 1
    )
    ready = sum(lot.alive for lot in prepared())
    start = Start(
        day + timedelta(days=2), "grey", "grain", Stage.GRAIN, 30, (), 30,
        day + timedelta(days=12), ("market-grey",), "It feeds the market.",
        at_stake=12_000, slack_days=1,
    )  # fmt: skip
    cooks = () if ready >= 30 else (PlannedCook(day, "kettle", "grain", 1, 48, HOURS),)
    return Plan(
        start=problem.start, days=56, whole_days=21, starts=(start,), moves=(), cooks=cooks,
        picks=(), short=(), at_limit=(), weeks=(), gap=0.0, seconds=0.1, objective=0.0, bound=0.0,
        status="proven",
    )  # fmt: skip


@pytest.fixture(autouse=True)
def _a_farm(farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    describe(with_cooks(farm))
    memory.forget_all()
    monkeypatch.setattr(planning_day, "searched", lambda problem, *_: a_plan(problem))
    assert stock


def jobs() -> list[JobView]:
    return jobs_of(today.day_view())


def jobs_of(view: DayView) -> list[JobView]:
    return [job for section in view.sections for job in section.jobs] + list(view.later)


def waiting(kind: str) -> list[JobView]:
    open_states = {JobState.OPEN, JobState.PART}
    return [job for job in jobs() if job.kind == kind and job.state in open_states]


def do(job: JobView, moment: str, **more: object) -> None:
    recording.done(job.job, person="ada", client_id=secrets.token_hex(16), at=at(moment), **more)  # type: ignore[arg-type]


def test_before_work_begins_the_day_is_laid_out_as_ever() -> None:
    planning_day.replan()
    as_ever = [(job.job, job.at, job.due, job.what) for job in jobs()]
    planned = planning_day.replan(at("05:00"))
    assert [(job.job, job.at, job.due, job.what) for job in jobs()] == as_ever
    assert (planned.laid_from, planned.late) == ("", ())
    [load] = waiting("cook")
    assert (load.at, load.fixed, load.late_cost) == ("10:30", True, "")


def test_before_its_hour_a_cook_stays_where_it_is() -> None:
    planning_day.replan(at("05:00"))
    planned = planning_day.replan(at("09:00"))
    assert [job.at for job in waiting("cook")] == ["10:30"]
    assert planned.late == ()
    assert min(job.at for job in jobs() if job.at) >= "09:00"


def test_at_noon_nothing_is_laid_to_hours_that_have_passed() -> None:
    planning_day.replan(at("05:00"))
    assert min(job.at for job in jobs() if job.at) == "07:30"
    planned = planning_day.replan(at("12:20"))
    assert planned.laid_from == "12:20"
    assert min(job.at for job in jobs() if job.at) == "12:20"
    assert all(hour.at >= "12:20" for hour in today.day_view().fixed)


def test_a_cook_goes_to_the_next_hour_at_which_its_vessels_are_filled() -> None:
    planning_day.replan(at("05:00"))
    [before] = waiting("cook")
    planned = planning_day.replan(at("12:20"))
    [load], [opening], [fill] = waiting("cook"), waiting("open"), waiting("prepare")
    assert (load.job, load.at, load.fixed) == (before.job, "13:20", True)
    assert (opening.at, opening.due) == ("18:20", "after 18:20")
    assert (fill.at, fill.due) == ("12:20", "before 13:20")
    assert planned.late == (
        "30 grain vessels into Kettle were not loaded at 10:30; they still fit at 13:20.",
    )
    assert today.day_view().notes[0] == planned.late[0]


def test_where_they_are_filled_it_goes_in_at_once() -> None:
    planning_day.replan(at("05:00"))
    [fill] = waiting("prepare")
    do(fill, "09:30")
    planning_day.replan(at("12:18"))
    assert [job.at for job in waiting("cook")] == ["12:20"]
    assert waiting("prepare") == []


def test_a_cook_that_no_longer_ends_in_time_is_late_and_says_what_that_costs() -> None:
    planning_day.replan(at("05:00"))
    [before], [fill] = waiting("cook"), waiting("prepare")
    do(fill, "09:30")
    planned = planning_day.replan(at("14:00"))
    assert waiting("cook") == waiting("open") == []
    [said] = planned.late
    assert said == (
        "30 grain vessels into Kettle were not loaded at 10:30. Loaded now they would be done at "
        "19:00, later than 18:30. Now tomorrow at 10:30; 1 day late: costs nothing yet, 12 kg from "
        "Monday."
    )
    row = job_store.job_by_code(before.job)
    assert row is not None
    assert (row.day, row.body["first_day"]) == (TOMORROW, TODAY.isoformat())
    assert waiting("prepare") == [], "the jars are filled: nobody fills others for tomorrow"
    again = planning_day.replan(at("14:30"))
    assert [text.replace("19:30", "19:00") for text in again.late] == [said]


def test_a_cook_whose_vessels_cannot_be_filled_in_time_is_planned_without() -> None:
    planning_day.replan(at("05:00"))
    planned = planning_day.replan(at("13:00"))  # filled at 14:00, it would end at 19:00
    assert waiting("cook") == []
    assert planned.plan.cooks[0].day == TOMORROW
    assert planned.late[0].startswith(
        "30 grain vessels into Kettle were not loaded at 10:30. They cannot be filled in time. "
        "Now tomorrow at 10:30; 1 day late:"
    )


def test_the_day_after_it_stands_there_as_late(monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan(at("05:00"))
    [before], [fill] = waiting("cook"), waiting("prepare")
    do(fill, "09:30")
    planning_day.replan(at("14:00"))
    monkeypatch.setenv(clock.PRETENDED, TOMORROW.isoformat())
    memory.forget_all()
    planning_day.replan()
    [load] = waiting("cook")
    assert (load.job, load.at, load.late_days) == (before.job, "10:30", 1)
    assert load.late_cost == "1 day late: costs nothing yet, 12 kg from Monday"
    assert waiting("prepare") == []


def test_what_was_loaded_this_morning_is_opened_and_not_loaded_again() -> None:
    planning_day.replan(at("05:00"))
    [fill], [load], [opening] = waiting("prepare"), waiting("cook"), waiting("open")
    do(fill, "09:30")
    do(load, "10:30")
    planned = planning_day.replan(at("12:20"))
    assert waiting("cook") == waiting("prepare") == []
    assert [(job.job, job.at) for job in waiting("open")] == [(opening.job, "15:30")]
    assert planned.late == ()


def test_jars_that_are_still_missing_are_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan(at("05:00"))
    [fill] = waiting("prepare")
    do(fill, "09:30", count=20)
    planning_day.replan(at("10:00"))
    assert [(job.count, job.done_count) for job in waiting("prepare")] == [(10, 0)]
    [rest] = waiting("prepare")
    recording.part_done(rest.job, person="ada", client_id=secrets.token_hex(16), count=4)
    planning_day.replan(at("10:05"))
    assert [(job.count, job.done_count) for job in waiting("prepare")] == [(10, 4)]
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T10:10+01:00")
    putting_off.not_at_all(
        rest.job, person="ada", client_id=secrets.token_hex(16), reason="no jars"
    )
    planning_day.replan(at("10:15"))
    assert waiting("prepare") == []


def test_a_load_that_nobody_opened_is_opened_the_day_after(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    planning_day.replan(at("05:00"))
    [fill], [load], [opening] = waiting("prepare"), waiting("cook"), waiting("open")
    do(fill, "09:30")
    do(load, "10:30")
    monkeypatch.setenv(clock.PRETENDED, TOMORROW.isoformat())
    memory.forget_all()
    planning_day.replan()
    [job] = waiting("open")
    assert (job.job, job.fixed, job.due) == (opening.job, False, "")


def test_a_door_is_not_opened_sooner_than_the_cook_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan(at("05:00"))
    [fill], [load] = waiting("prepare"), waiting("cook")
    do(fill, "09:30")
    do(load, "11:40")
    assert [job.at for job in waiting("open")] == ["15:30"], "the hour of the day is not known"
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T11:45+01:00")
    memory.forget_all()
    [opening] = waiting("open")
    assert (opening.at, opening.due) == ("16:40", "after 16:40")


def pick_yesterday(stock: dict[str, str]) -> None:
    """Six kilograms in the cold store."""
    picked = trade.pick(Taps(start=70_000)(hours=-24), stock["fruiting"], 6000, 1, "cold-1")
    door.record([picked], now=NOW)


def test_a_van_that_should_have_left_is_late_and_not_at_its_hour(stock: dict[str, str]) -> None:
    pick_yesterday(stock)
    planning_day.replan(at("05:00"))
    assert {job.at for job in waiting("deliver")} == {"14:00"}
    planning_day.replan(at("14:40"))
    late = waiting("deliver")
    assert {job.fixed for job in late} == {False}
    assert {job.late_cost for job in late} == {
        "was for 14:00: 5 kg hang on doing it today",
        "was for 14:00: 3 units hang on doing it today",
    }
    [pack] = waiting("pack")
    assert (pack.due, pack.late_cost) == ("", "was for 14:00: 5 kg hang on doing it today")
    assert all(hour.at >= "14:40" for hour in today.day_view().fixed)


def test_what_was_packed_in_part_is_not_packed_again(stock: dict[str, str]) -> None:
    pick_yesterday(stock)
    planning_day.replan(at("05:00"))
    [pack] = waiting("pack")
    recording.part_done(pack.job, person="ada", client_id=secrets.token_hex(16), count=2)
    planning_day.replan(at("12:20"))
    [again] = waiting("pack")
    assert (again.job, again.count, again.done_count) == (pack.job, 5, 2)


def test_what_is_left_of_the_day_is_what_the_planner_sees(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two people, 8 h from 07:30, and a round of 15 min; jars filled for an hour this morning."""
    seen: list[Problem] = []

    def planner(problem: Problem, *_: object) -> Plan:
        seen.append(problem)
        return a_plan(problem)

    monkeypatch.setattr(planning_day, "searched", planner)
    planning_day.replan(at("05:00"))
    [fill], [walk] = waiting("prepare"), waiting("round")
    do(fill, "09:30")
    planning_day.replan(at("12:30"))
    do(walk, "12:35")
    planning_day.replan(at("12:40"))
    today_s = [problem.resources for problem in seen]
    assert [each.hands_minutes[0] for each in today_s] == [945.0, 345.0, 340.0]
    assert [each.laboratory_minutes[0] for each in today_s] == [960.0, 360.0, 340.0]
    assert {each.hands_minutes[1] for each in today_s} == {945.0}
    assert [each.prepared_minutes for each in today_s] == [0.0, fill.minutes, fill.minutes]
    assert fill.minutes == 60


def test_where_no_hour_is_left_that_is_said() -> None:
    planning_day.replan(at("05:00"))
    planning_day.replan(at("15:25"))
    view = today.day_view()
    assert any("to the next working day" in warning for warning in view.warnings)
    last = view.sections[-1]
    assert (last.title, last.note) == ("For tomorrow", "no hours are left for it today")
    assert {job.at for job in last.jobs} == {""}
    assert {job.at for job in jobs_of(view) if job.kind == "round"} == {""}


def test_the_evening_lays_no_cook_into_the_night() -> None:
    planned = planning_day.replan(at("20:00"))
    assert waiting("cook") == []
    assert planned.late == (), "it was never planned for today"


def test_a_pretended_day_has_no_hour_and_a_pretended_moment_has(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert planning_day.replan().laid_from == ""
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T12:18+01:00")
    assert clock.now_utc() == at("12:18")
    assert planning_day.replan().laid_from == "12:20"


@pytest.mark.parametrize("wrong", ["2026-03-12T12:20", "12:20", "2026-02-30", "soon"])
def test_a_moment_without_its_offset_is_refused(
    wrong: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.PRETENDED, wrong)
    with pytest.raises(InputError, match=r"2026-03-12T12:20\+01:00"):
        clock.now_utc()
