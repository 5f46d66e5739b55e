"""A cook that ends on the next day: its opening stands last today, and is tomorrow's work."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.services import clock, memory
from pinset.services.answers import recording
from pinset.services.day import today
from pinset.services.day.fitting import by_clock
from pinset.services.day.hours_past import without_past_hours
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import stored_jobs
from pinset.services.plans import planning_day
from pinset.services.views import JobView
from services.plans.test_replanning_at_noon import a_plan, at, jobs_of, with_cooks

TOMORROW = TODAY + timedelta(days=1)


def slow_steamer(farm: FarmBook, fill_minutes: float = 60.0) -> FarmBook:
    """The kettle is a steamer now: loaded at 10:30, opened 20 hours later."""
    book = with_cooks(farm)
    [kettle] = book.sterilisers
    slow = replace(kettle, hours_per_day=24, cooks=(replace(kettle.cooks[0], hours=20),))
    steps = tuple(
        replace(
            step,
            preparations=tuple(
                replace(each, minutes_fixed=fill_minutes if each.task == "fill" else 0.0)
                for each in step.preparations
            ),
        )
        for step in book.routes[0].steps
    )
    return replace(book, sterilisers=(slow,), routes=(replace(book.routes[0], steps=steps),))


@pytest.fixture(autouse=True)
def _a_farm(farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    assert stock
    describe(slow_steamer(farm))
    memory.forget_all()
    monkeypatch.setattr(planning_day, "searched", lambda problem, *_: a_plan(problem))
    planning_day.replan(at("05:00"))


def only(kind: str) -> JobView:
    [job] = [each for each in jobs_of(today.day_view()) if each.kind == kind]
    return job


def loaded(load: JobView, clock_time: str) -> None:
    """Fill what is to be loaded, and load it."""
    for job, hour in ((only("prepare"), "09:30"), (load, clock_time)):
        recording.done(job.job, person="ada", client_id=secrets.token_hex(16), at=at(hour))


def test_it_stands_behind_all_of_today_and_takes_none_of_its_hours() -> None:
    view = today.day_view()
    hours = [hour.at for hour in view.fixed]
    assert hours == ["10:30", "14:00", "07:30 next day"]
    assert [job.kind for job in jobs_of(view) if job.room_kind == "steriliser"] == ["cook", "open"]
    minutes = sum(job.minutes for job in jobs_of(view) if job.kind != "open")
    assert f"about {minutes // 60} h {minutes % 60} min" in view.summary
    assert only("open").suits == "", "nobody is given it today"


def test_on_the_day_itself_it_is_done_when_work_begins_and_is_not_late(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    load = only("cook")
    loaded(load, "10:30")
    monkeypatch.setenv(clock.PRETENDED, TOMORROW.isoformat())
    memory.forget_all()
    planning_day.replan(at("05:00", TOMORROW))
    opening = only("open")
    assert (opening.at, opening.due, opening.late_days) == ("07:30", "after 07:30", 0)
    assert opening.detail.startswith(
        "May be opened from 06:30 today, but nobody is there until 07:30"
    )
    assert opening.suits, "somebody is given it"
    assert not any("07:30" in each for each in today.day_view().warnings)


def test_loaded_late_it_is_opened_later(monkeypatch: pytest.MonkeyPatch) -> None:
    load = only("cook")
    loaded(load, "12:00")
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T13:00+01:00")
    memory.forget_all()
    assert only("open").at == "08:00 next day"


@pytest.mark.parametrize(
    ("hour", "at_hour", "due"), [("05:00", "08:20", "08:20"), ("08:10", "08:20", "08:20"),
                                 ("09:10", "", "08:20")],
)  # fmt: skip
def test_on_the_day_itself_it_is_not_opened_sooner_than_it_was_loaded(
    hour: str, at_hour: str, due: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Loaded at 12:20 and not at 10:30; what the next plan lays says the same hour."""
    loaded(only("cook"), "12:20")
    monkeypatch.setenv(clock.PRETENDED, f"{TOMORROW}T{hour}+01:00")
    memory.forget_all()
    planning_day.replan(at(hour, TOMORROW))
    opening = only("open")
    assert opening.due == f"after {due}"
    assert opening.fixed == bool(at_hour)
    assert opening.at == at_hour or not at_hour
    assert today.job_view(opening.job).due == f"after {due}"


def test_two_days_later_it_is_a_day_late() -> None:
    job = PlannedJob(
        "open:kettle", JobKind.OPEN, "open", TODAY, 30, "units", "vessels", "steriliser",
        fixed_at="06:30 next day", due="after 06:30 next day",
    )  # fmt: skip
    seen = without_past_hours(job, TODAY + timedelta(days=2), None)
    assert (seen.day, seen.fixed_at, seen.due) == (TOMORROW, "", "")
    assert without_past_hours(job, TODAY, None) == job


def test_hours_in_words_are_sorted_by_day_and_time() -> None:
    hours = ["05:30 next day", "", "14:00", "09:30"]
    assert sorted(hours, key=by_clock) == ["09:30", "14:00", "", "05:30 next day"]


@pytest.mark.parametrize(
    ("minutes", "loaded", "opened"),
    [(180.0, "10:30", "07:30 next day"), (242.0, "11:35", "07:35 next day")],
)
def test_in_the_morning_too_a_load_waits_for_what_is_filled(
    farm: FarmBook, minutes: float, loaded: str, opened: str
) -> None:
    describe(slow_steamer(farm, minutes))
    memory.forget_all()
    planning_day.replan(at("05:00"))
    load, fill = only("cook"), only("prepare")
    assert (load.at, only("open").at, fill.due) == (loaded, opened, f"before {loaded}")
    assert ("not at 10:30: filling takes until then" in load.detail) == (loaded == "11:35")
    assert not any("fill" in each for each in today.day_view().warnings)


@pytest.mark.parametrize(
    ("loaded", "opened"),
    [("17:00", "13:00 next day"), ("02:00", "22:00"), ("10:30", "07:30 next day")],
)
def test_loaded_a_day_before_its_day_it_is_opened_so_long_after_its_load(
    loaded: str, opened: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Too late in the day for the plan, which says tomorrow; somebody puts it in all the same."""
    load, opening = only("cook"), only("open")
    for each in (load, opening):
        row = job_store.job_by_code(each.job)
        assert row is not None
        job_store.move(each.job, TOMORROW, {**row.body, "day": TOMORROW.isoformat()})
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T20:00+01:00")
    memory.forget_all()
    recording.done(
        load.job,
        person="ada",
        client_id=secrets.token_hex(16),
        at=at(loaded),
        reason="filled, and somebody is here",
    )
    memory.forget_all()
    moved = only("open")
    assert (moved.day, moved.at) == (TODAY, opened)
    planning_day.replan(at("20:00"))
    memory.forget_all()
    kept = only("open")
    assert (kept.job, kept.day, kept.at) == (opening.job, TODAY, opened)


def test_what_was_loaded_early_is_opened_early(
    farm: FarmBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cook of five hours, planned for 10:30 and loaded at 09:10."""
    book = slow_steamer(farm, fill_minutes=10.0)
    [kettle] = book.sterilisers
    quick = replace(kettle, cooks=(replace(kettle.cooks[0], hours=5),))
    describe(replace(book, sterilisers=(quick,)))
    memory.forget_all()
    planning_day.replan(at("05:00"))
    assert only("open").at == "15:30"
    monkeypatch.setenv(clock.PRETENDED, at("09:10").isoformat())
    for kind, hour in (("prepare", "08:30"), ("cook", "09:10")):
        recording.done(only(kind).job, person="ada", client_id=secrets.token_hex(16), at=at(hour))
    memory.forget_all()
    assert only("open").at == "14:10"


def before_a_day_off(farm: FarmBook, hours: float) -> FarmBook:
    """A cook of so many hours that nobody comes back for; it is Thursday, and Friday is off."""
    book = slow_steamer(farm, fill_minutes=10.0)
    [kettle] = book.sterilisers
    short = replace(kettle, opened_until="", cooks=(replace(kettle.cooks[0], hours=hours),))
    free = replace(book.farm, days_off=(*book.farm.days_off, TOMORROW))
    return replace(book, farm=free, sterilisers=(short,))


def opening_job() -> PlannedJob:
    [row] = [row for row in job_store.open_jobs() if row.kind == JobKind.OPEN.value]
    [stored] = stored_jobs((row,))
    return stored.job


@pytest.mark.parametrize(
    ("hours", "clock_time", "planned", "moved"),
    [
        (20.0, "10:30", (4, "07:30"), (4, "07:30")),
        (20.0, "12:00", (4, "07:30"), (4, "07:30")),
        (4.0, "10:30", (0, "14:30"), (0, "14:30")),
        (4.0, "12:30", (0, "14:30"), (4, "07:30")),  # 16:30, when all have gone home
        (5.0, "09:10", (4, "07:30"), (0, "14:10")),  # for 15:30, and too soon for that
    ],
)
def test_a_load_that_ends_when_all_have_left_is_work_of_the_day_after_the_day_off(
    farm: FarmBook,
    monkeypatch: pytest.MonkeyPatch,
    hours: float,
    clock_time: str,
    planned: tuple[int, str],
    moved: tuple[int, str],
) -> None:
    describe(before_a_day_off(farm, hours))
    memory.forget_all()
    planning_day.replan(at("05:00"))
    before = opening_job()
    assert (before.day, before.fixed_at) == (TODAY + timedelta(days=planned[0]), planned[1])
    is_today = any(job.kind == "open" for job in jobs_of(today.day_view()))
    assert is_today == (planned[0] == 0), "it stands on the page of its own day"
    monkeypatch.setenv(clock.PRETENDED, at(clock_time).isoformat())
    for kind, hour in (("prepare", "08:30"), ("cook", clock_time)):
        recording.done(only(kind).job, person="ada", client_id=secrets.token_hex(16), at=at(hour))
    memory.forget_all()
    after = opening_job()
    assert after.day == TODAY + timedelta(days=moved[0])
    if moved[0]:
        assert (after.fixed_at, after.due) == (moved[1], f"after {moved[1]}")
        monkeypatch.setenv(clock.PRETENDED, at("05:00", after.day).isoformat())
        memory.forget_all()
        planning_day.replan(at("05:00", after.day))
        memory.forget_all()
        shown = only("open")
        assert (shown.at, shown.late_days) == (moved[1], 0)
    else:
        assert only("open").at == moved[1]
