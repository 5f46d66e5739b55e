"""What is soaked goes into whichever cook can take it before it is too old, sooner or later."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import CookKind, FarmBook, Preparation, RoomKind, Steriliser, Weekday
from pinset.chain.stages import Stage
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.plan import Plan, PlannedCook, Start
from pinset.services import clock
from pinset.services.day.today import job_view
from pinset.services.jobs.from_plan import jobs_from_plan
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.throwing_out import throwing_out_wet
from pinset.services.loads.begun import begun_vessels
from pinset.services.loads.loaded import loaded_since
from pinset.services.loads.standing_wet import wet_notes
from pinset.services.loads.uncooked import THROW_OUT, waiting_for_a_cook
from services.conftest import LayJob
from services.straw import do

MONDAY = TODAY + timedelta(days=(7 - TODAY.weekday()) % 7)
TUESDAY, WEDNESDAY, THURSDAY = (MONDAY + timedelta(days=n) for n in (1, 2, 3))
ROOM = RoomKind.PREPARATION
TASKS = (
    Preparation("soak", 46.0, 0.3, 10.0, ROOM),
    Preparation("fill", 24.0, 0.3, 10.0, ROOM),
    Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER),
)
"""Soaked 24 hours before it is loaded at 10:30, filled on that morning."""


@pytest.fixture
def book(farm: FarmBook) -> FarmBook:
    """The farm, whose grain jars of rye are soaked a day before their cook of twenty."""
    steps = tuple(
        replace(s, cook="grain", mix="rye", fill_moisture=0.5, fill_g=500, preparations=TASKS)
        if s.code == "grain"
        else s
        for s in farm.routes[0].steps
    )
    litres = 20 * litres_of(farm, next(s for s in steps if s.code == "grain"))
    kind = CookKind("grain", 5, 60, 60, litres)
    kettle = Steriliser("kettle", "Kettle", "lab", (kind,), 10, 1, 1.0)
    changed = replace(
        farm,
        routes=(replace(farm.routes[0], steps=steps),),
        sterilisers=(replace(kettle, load_at="10:30"),),
        farm=replace(farm.farm, working_days=tuple(Weekday)),
    )
    describe(changed)
    return changed


def soak(lay: LayJob, monkeypatch: pytest.MonkeyPatch, at: str, for_day: date, units: int) -> None:
    """Write down that so many jars' rye went into the soak on Monday."""
    code = lay(
        JobKind.PREPARE, key=f"prepare:soak:rye:jar:0.5:{for_day}", task="soak", count=units,
        step="grain", stage="grain", mix="rye jar", moisture=0.5, lead_hours=46.0, variety="",
        day=MONDAY, for_day=for_day, minutes=10, what=f"{units} grain jars: soak rye",
    )  # fmt: skip
    monkeypatch.setenv(clock.PRETENDED, f"{MONDAY}T{at}+01:00")
    do(code)


def laid(book: FarmBook, *cooks: tuple[date, int], today: date = MONDAY) -> list[PlannedJob]:
    """Return the jobs of a plan with cooks of so many jars on some days."""
    starts = tuple(
        Start(
            day + timedelta(days=2), "grey", "grain", Stage.GRAIN, units, (), units, day, (), "why"
        )
        for day, units in cooks
    )
    planned = tuple(PlannedCook(day, "kettle", "grain", 1, 48.0, 5.0) for day, _ in cooks)
    plan = Plan(today, 56, 14, starts, (), planned, (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    waiting = waiting_for_a_cook(book, today, ())
    last = today + timedelta(days=8)
    found = jobs_from_plan(plan, book, today, last, {}, waiting=waiting)
    return [*found.jobs, *throwing_out_wet(found.jobs, book, today)]


def preparing(jobs: list[PlannedJob]) -> dict[tuple[str, date | None], int]:
    """Return the units of each task of preparation by the day of its cook."""
    found = [job for job in jobs if job.kind is JobKind.PREPARE]
    return {(job.task, job.for_day): job.count for job in found}


Patch = pytest.MonkeyPatch


def test_a_cook_moved_forward_takes_what_is_soaking(
    book: FarmBook, lay: LayJob, monkeypatch: Patch
) -> None:
    """In the soak since Monday 08:00 for Wednesday: on Tuesday at 10:30 it has had its 24 hours."""
    soak(lay, monkeypatch, "08:10", WEDNESDAY, 20)
    assert preparing(laid(book, (TUESDAY, 20))) == {("fill", TUESDAY): 20}
    assert preparing(laid(book, (TUESDAY, 30))) == {("soak", TUESDAY): 10, ("fill", TUESDAY): 30}
    [begun] = begun_vessels(book, MONDAY, waiting_for_a_cook(book, MONDAY, ()), 9.0)
    assert (begun.first_day, begun.last_day, begun.meant_day) == (1, 2, 2)


def test_a_cook_that_is_there_still_keeps_its_own(
    book: FarmBook, lay: LayJob, monkeypatch: Patch
) -> None:
    soak(lay, monkeypatch, "08:10", WEDNESDAY, 20)
    assert preparing(laid(book, (TUESDAY, 20), (WEDNESDAY, 20))) == {
        ("soak", TUESDAY): 20, ("fill", TUESDAY): 20, ("fill", WEDNESDAY): 20,
    }  # fmt: skip
    assert preparing(laid(book, (TUESDAY, 20), (WEDNESDAY, 12))) == {
        ("soak", TUESDAY): 12, ("fill", TUESDAY): 20, ("fill", WEDNESDAY): 12,
    }  # fmt: skip


def test_soaked_late_it_goes_into_the_cook_after_next(
    book: FarmBook, lay: LayJob, monkeypatch: Patch
) -> None:
    """Since Monday 14:00 for that day's cook, which is gone: by Wednesday 10:30 it is 44 hours."""
    soak(lay, monkeypatch, "14:10", MONDAY, 20)
    assert preparing(laid(book, (WEDNESDAY, 26))) == {
        ("soak", WEDNESDAY): 6, ("fill", WEDNESDAY): 26,
    }  # fmt: skip
    [begun] = begun_vessels(book, MONDAY, waiting_for_a_cook(book, MONDAY, ()), 15.0)
    assert (begun.first_day, begun.last_day) == (2, 2)
    monkeypatch.setenv(clock.PRETENDED, f"{WEDNESDAY}T07:00+01:00")
    assert preparing(laid(book, (WEDNESDAY, 20), today=WEDNESDAY)) == {("fill", WEDNESDAY): 20}


def test_what_no_cook_takes_in_time_is_thrown_out_with_its_last_day(
    book: FarmBook, lay: LayJob, monkeypatch: Patch
) -> None:
    soak(lay, monkeypatch, "08:10", TUESDAY, 20)
    jobs = laid(book, (THURSDAY, 20))
    assert preparing(jobs) == {
        ("soak", THURSDAY): 20, ("fill", THURSDAY): 20, (THROW_OUT, None): 20,
    }  # fmt: skip
    [gone] = [job for job in jobs if job.task == THROW_OUT]
    assert gone.day == WEDNESDAY
    assert gone.detail == "Its last day is Wednesday; no cook takes it"
    assert "wet since Monday" in gone.why
    assert "keeps until Wednesday 18 March" in gone.why
    monkeypatch.setenv(clock.PRETENDED, f"{THURSDAY}T07:00+01:00")
    [late] = wet_notes(book, THURSDAY)
    assert "too old to be cooked now; throw it out" in late


def test_filled_for_the_day_it_moved_to_it_is_carried_and_loaded(
    book: FarmBook, lay: LayJob, monkeypatch: Patch
) -> None:
    soak(lay, monkeypatch, "08:10", WEDNESDAY, 20)
    monkeypatch.setenv(clock.PRETENDED, f"{TUESDAY}T08:30+01:00")
    fill = lay(
        JobKind.PREPARE, key=f"prepare:fill:rye:jar:0.5:{TUESDAY}", task="fill", count=26,
        step="grain", stage="grain", mix="rye jar", moisture=0.5, lead_hours=24.0, variety="",
        day=TUESDAY, for_day=TUESDAY, minutes=10, what="26 grain jars: fill rye",
    )  # fmt: skip
    assert job_view(fill).count == 20, "so many are soaked"
    do(fill)
    load = lay(
        JobKind.COOK, key=f"cook:kettle:grain:{TUESDAY}", task="load", day=TUESDAY, count=26,
        steriliser="kettle", cook_kind="grain", variety="",
        feeds=(LotAmount("", 26, "grain", "oyster-straw"),),
    )  # fmt: skip
    assert job_view(load).count == 20
    do(load)
    waiting = waiting_for_a_cook(book, TUESDAY, loaded_since(MONDAY, book.farm.time_zone))
    assert sum(waiting.units.values()) == 0
