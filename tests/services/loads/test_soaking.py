"""What must soak lies so early that its hours are there before it is filled."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook, Preparation, RoomKind, Worker
from pinset.chain.stages import Stage
from pinset.farm import job_store
from pinset.planning.plan import Start
from pinset.services import clock
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads import soaking
from pinset.services.loads.soaking import chain_minutes, soaked_until
from pinset.services.loads.what_waits import Waiting, mix_of
from services.conftest import LayJob
from services.jobs.test_jobs_of_cooks import BOOK, GRAIN, MONDAY

ROOM = RoomKind.PREPARATION
SOAK = Preparation("soak", 30.0, 0.0, 20.0, ROOM)
FILL = Preparation("fill", 26.0, 0.0, 30.0, ROOM)
COOK = Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER)
RYE = replace(GRAIN, mix="rye", preparations=(SOAK, FILL, COOK))
FARM = replace(
    BOOK,
    routes=(replace(BOOK.routes[0], steps=(RYE,)),),
    workers=(Worker("ada", "Ada", (9.0,) * 7),),
)
COOKED = MONDAY + timedelta(days=2)
FOR = COOKED + timedelta(days=1)
START = Start(FOR, "grey", "grain", Stage.GRAIN, 18, (), 18, FOR, (), "why")


def laid(load_at: str) -> dict[str, PlannedJob]:
    jobs = preparation_jobs([START], COOKED, load_at, Reader(FARM, MONDAY))
    return {job.task: job for job in jobs}


def test_a_load_in_the_evening_leaves_the_day_to_soak() -> None:
    jobs = laid("17:00")
    assert (jobs["soak"].day, jobs["fill"].day) == (COOKED, COOKED)


def test_before_a_load_in_the_morning_it_is_begun_the_day_before() -> None:
    jobs = laid("10:30")
    assert (jobs["soak"].day, jobs["fill"].day) == (COOKED - timedelta(days=1), COOKED)
    assert jobs["soak"].detail.endswith("the day before: 4 h must pass before fill")
    assert jobs["soak"].due == ""


@pytest.mark.parametrize(("since", "is_today"), [(time(12), True), (time(17, 30), False)])
def test_nothing_is_begun_today_when_all_have_left(since: time, is_today: bool) -> None:  # noqa: FBT001
    """Planned in the evening before the cook: it is begun on the day of the cook, and late."""
    evening = Reader(FARM, COOKED - timedelta(days=1))
    jobs = preparation_jobs([START], COOKED, "10:30", evening, None, since)
    [soak] = [job for job in jobs if job.task == "soak"]
    assert (soak.day == evening.today) == is_today


def test_what_soaks_overnight_is_not_boiled_before_it() -> None:
    """Soaked 12 h before it is boiled, and that 2 h before it is filled: boiled on the cook's day.

    Filling may end after the hour of loading; the load waits then. Boiled today it would be dry.
    """
    boil = Preparation("boil", 28.0, 1.0, 30.0, ROOM)
    fill = Preparation("fill", 26.0, 4.0, 10.0, ROOM)
    cook = Preparation("cook", 25.0, 0.0, 0.0, RoomKind.STERILISER)
    step = replace(RYE, preparations=(replace(SOAK, lead_hours=40.0), boil, fill, cook))
    book = replace(FARM, routes=(replace(BOOK.routes[0], steps=(step,)),))
    today = COOKED - timedelta(days=1)
    jobs = {
        job.task: job.day for job in preparation_jobs([START], COOKED, "10:30", Reader(book, today))
    }
    assert jobs == {"soak": today, "boil": COOKED, "fill": COOKED}


@pytest.mark.parametrize(("soaked", "boiled_today"), [(8, False), (-16, True)])
def test_what_was_soaked_is_boiled_when_it_has_lasted(soaked: int, boiled_today: bool) -> None:  # noqa: FBT001
    """Soaked 20 h before it is boiled, on the morning before the cook or on the day before that."""
    boil = Preparation("boil", 28.0, 0.0, 60.0, ROOM)
    fill = Preparation("fill", 26.0, 0.0, 90.0, ROOM)
    cook = Preparation("cook", 25.0, 0.0, 0.0, RoomKind.STERILISER)
    step = replace(RYE, preparations=(replace(SOAK, lead_hours=48.0), boil, fill, cook))
    book = replace(FARM, routes=(replace(BOOK.routes[0], steps=(step,)),))
    today = COOKED - timedelta(days=1)
    key = (mix_of(step), "soak", COOKED)
    waiting = Waiting()
    waiting.add(*key, 18)
    waiting.began[key] = datetime.combine(today, time(0)) + timedelta(hours=soaked)
    jobs = preparation_jobs([START], COOKED, "10:30", Reader(book, today), waiting, time(9))
    days = {job.task: job.day for job in jobs}
    assert (days["boil"] == today) == boiled_today


def test_a_chain_takes_its_hours() -> None:
    assert chain_minutes(laid("17:00").values()) == 4 * 60 + 30


@pytest.mark.usefixtures("farm")
def test_what_was_begun_today_is_known(
    farm: FarmBook, lay: LayJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    monkeypatch.setattr(soaking, "hour_is_known", lambda: True)
    codes = {
        task: lay(
            JobKind.PREPARE, key=task, task=task, mix="rye jar", variety="", count=18,
            lead_hours=lead, for_day=TODAY, minutes=20, what=f"grain jars: {task} rye",
        )
        for task, lead in (("soak", 30.0), ("fill", 26.0))
    }  # fmt: skip
    begun = NOW - timedelta(hours=1)
    recording.done(codes["soak"], person="ada", client_id=secrets.token_hex(16), at=begun)
    stored = stored_jobs(job_store.open_jobs())
    local = farm_time(begun, farm.farm.time_zone).replace(tzinfo=None)
    lasts: datetime = local + timedelta(hours=3, minutes=40)
    assert soaked_until(stored, farm, TODAY) == {codes["fill"]: lasts}
