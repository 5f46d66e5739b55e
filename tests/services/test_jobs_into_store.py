"""Ready spawn is carried into the cold store, as the plan counts on; what is used soon is not."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, ROUTE, TODAY, describe
from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf, Spread, Step, StepKind
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import whereabouts
from pinset.farm.check import check
from pinset.farm.queries.alive import living
from pinset.services import clock, lot_actions, planning_day, recording, taking_back, today
from pinset.services.book_reader import Reader
from pinset.services.job_records import INTO_STORE, JobKind, LotAmount, PlannedJob
from pinset.services.jobs_into_store import into_store
from pinset.services.views import JobState, JobView

LayJob = Callable[..., str]
FRIDGE = Room("fridge", "Fridge", RoomKind.COLD, 4.0, (Shelf("fridge-1", 30),))
KEEPING = replace(
    ROUTE,
    steps=tuple(
        replace(step, keeps_days_warm=14.0, keeps_days_cold=90.0) if step.code == "grain" else step
        for step in ROUTE.steps
    ),
)
COLD_BOOK = replace(BOOK, routes=(KEEPING,), rooms=(*BOOK.rooms, FRIDGE))
READER = Reader(COLD_BOOK, TODAY)
READY = TODAY - timedelta(days=4)


def grain(code: str = "AAAAA", alive: int = 12, **more: object) -> LivingLot:
    """Return jars that have been ready for four days at 24 °C."""
    given = {
        "variety": "grey", "step": "grain", "stage": Stage.GRAIN, "room": "inc", "place": "inc-1",
        "temperature_c": 24.0, "made_on": READY - timedelta(days=10),
        "step_since": READY - timedelta(days=10), "route": KEEPING,
    } | more  # fmt: skip
    return LivingLot(code=code, alive=alive, **given)  # type: ignore[arg-type]


def laid(
    *lots: LivingLot, reader: Reader = READER, used_soon: dict[str, int] | None = None
) -> tuple[PlannedJob, ...]:
    return into_store(lots, reader, used_soon or {})


def test_ready_jars_are_carried_and_the_page_says_what_that_gives() -> None:
    [job] = laid(grain(), grain("BBBBB", 5))
    assert (job.kind, job.count, job.place, job.to_room) == (JobKind.MOVE, 17, "Fridge", "fridge")
    assert job.what == "grain jars into Fridge, AAAAA and BBBBB"
    assert job.lots == (LotAmount("AAAAA", 12, "grain"), LotAmount("BBBBB", 5, "grain"))
    warm, cold = READY + timedelta(days=14), TODAY + timedelta(days=64)  # 10/14 of 90 days
    assert f"keeps until {warm.day} " in job.why
    assert f"until {cold.day} " in job.why


@pytest.mark.parametrize(
    "changes",
    [
        {"room": "fridge", "place": "fridge-1", "temperature_c": 4.0},  # it stands there
        {"step_since": TODAY - timedelta(days=9)},  # not ready
        {"step_since": TODAY - timedelta(days=60)},  # past its time: a person judges it first
        {"held": "looked odd"},
        {"step": "plate", "stage": Stage.PLATE},  # the route gives it no time in the cold
        {"order": "x"},
    ],
)
def test_what_gains_nothing_or_may_not_is_left(changes: dict[str, object]) -> None:
    assert laid(grain(**changes)) == ()


def test_what_the_plan_uses_soon_stays() -> None:
    [job] = laid(grain(), used_soon={"AAAAA": 8})
    assert (job.count, job.lots) == (4, (LotAmount("AAAAA", 4, "grain"),))
    assert laid(grain(), used_soon={"AAAAA": 12}) == ()


def test_nobody_carries_on_a_day_off() -> None:
    farm = replace(COLD_BOOK.farm, days_off=(TODAY,))
    assert laid(grain(), reader=Reader(replace(COLD_BOOK, farm=farm), TODAY)) == ()


def test_a_store_that_kills_or_has_no_place_is_not_asked_for() -> None:
    dies = replace(KEEPING, steps=tuple(replace(step, cold_min_c=10.0) for step in KEEPING.steps))
    assert laid(grain(route=dies)) == ()
    reader = Reader(replace(COLD_BOOK, rooms=BOOK.rooms), TODAY)
    assert laid(grain(), reader=reader) == ()


def test_a_crowded_store_is_said() -> None:
    there = grain("CCCCC", 20, room="fridge", place="fridge-1", temperature_c=4.0)
    [job] = laid(grain(), there)
    assert job.detail.endswith("Fridge has 10 places left: make room first")
    [fits] = laid(grain(alive=10), there)
    assert "make room" not in fits.detail


def test_spawn_that_still_ripens_is_not_carried() -> None:
    ripens = Step(
        "rest", StepKind.STAND, Stage.GRAIN, Spread(5, 5, 5), Spread(0, 0, 0), 24.0,
        keeps_days_warm=14.0, keeps_days_cold=90.0,
    )  # fmt: skip
    steps = tuple(
        each
        for step in KEEPING.steps
        for each in ((step, ripens) if step.code == "grain" else (step,))
    )
    route = replace(KEEPING, steps=steps)
    assert laid(grain(route=route)) == ()
    resting = grain(route=route, step="rest", step_since=TODAY - timedelta(days=6))
    [job] = laid(resting)
    assert job.step == "rest"


# Recorded


@pytest.fixture
def cold(farm: FarmBook) -> FarmBook:
    """Let the farm have a fridge, and its grain keep long in it."""
    route = replace(
        farm.routes[0],
        steps=tuple(
            replace(step, keeps_days_cold=90.0) if step.code == "grain" else step
            for step in farm.routes[0].steps
        ),
    )
    book = replace(farm, routes=(route,), rooms=(*farm.rooms, FRIDGE))
    describe(book)
    return book


@pytest.fixture
def jar(cold: FarmBook, stock: dict[str, str]) -> str:  # noqa: ARG001 - the fridge must be there
    """Return the code of 20 jars ready four days ago, made under the route with the cold."""
    return stock["grain"]


def carrying() -> list[JobView]:
    """Return the jobs of the newest plan that carry something into the fridge."""
    jobs = [job for section in today.day_view().sections for job in section.jobs]
    return [job for job in jobs if job.task == INTO_STORE]


def tapped(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


def stands(code: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([code])[code]}


def test_done_puts_them_there_and_they_keep(jar: str) -> None:
    planning_day.replan()
    [job] = carrying()
    count = job.count
    assert 10 <= count <= 20
    done = tapped(job.job)
    assert stands(jar).get("fridge-1") == count
    [cold] = [each for each in living(TODAY, lots=[jar]) if each.room == "fridge"]
    assert keeps_until(cold) == TODAY + timedelta(days=54)  # 6/10 of 90 days
    planning_day.replan()
    assert [job.state for job in carrying()] == [JobState.DONE]
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="not done")
    assert stands(jar) == {"inc-1": 20}
    [warm] = living(TODAY, lots=[jar])
    assert keeps_until(warm) == READY + timedelta(days=10)
    assert check() == ()


def test_a_part_leaves_the_rest_and_nothing_is_carried_twice(jar: str) -> None:
    planning_day.replan()
    [job] = carrying()
    recording.part_done(job.job, person="ada", client_id=secrets.token_hex(16), count=5)
    assert stands(jar) == {"inc-1": 15, "fridge-1": 5}
    planning_day.replan()
    [rest] = carrying()
    assert (rest.job, rest.left) == (job.job, job.count - 5)
    tapped(rest.job)
    assert stands(jar)["fridge-1"] == job.count


def test_carrying_what_is_there_already_is_asked_about(jar: str) -> None:
    planning_day.replan()
    [job] = carrying()
    lot_actions.move(lot_actions.Saying(jar, "ada", secrets.token_hex(16)), 18, "fridge-1")
    with pytest.raises(RefusedError, match="18 of it stand there already"):
        tapped(job.job)


def test_what_was_left_yesterday_is_late_today(jar: str, monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan()
    [job] = carrying()
    tomorrow = TODAY + timedelta(days=1)
    monkeypatch.setenv(clock.PRETENDED, tomorrow.isoformat())
    planning_day.replan()
    [later] = carrying()
    assert (later.job, later.late_days) == (job.job, 1)
    assert jar in later.what
