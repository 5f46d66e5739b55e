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
from pinset.planning.building.cold_places import places_for_blocks
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import KeptCold, LotShare, Move
from pinset.planning.problem import Problem
from pinset.planning.solve import solve
from pinset.services import clock, memory
from pinset.services.answers import lot_actions, putting_off, recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.day import today
from pinset.services.jobs.into_store import into_store
from pinset.services.jobs.records import INTO_STORE, JobKind, LotAmount, PlannedJob
from pinset.services.plans import planning_day
from pinset.services.store.full import full_store_notes
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
    assert job.lots == (
        LotAmount("AAAAA", 12, "grain", place="inc-1"),
        LotAmount("BBBBB", 5, "grain", place="inc-1"),
    )
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
    assert (job.count, job.lots) == (4, (LotAmount("AAAAA", 4, "grain", place="inc-1"),))
    assert laid(grain(), used_soon={"AAAAA": 12}) == ()


def test_nobody_carries_on_a_day_off() -> None:
    farm = replace(COLD_BOOK.farm, days_off=(TODAY,))
    assert laid(grain(), reader=Reader(replace(COLD_BOOK, farm=farm), TODAY)) == ()


def test_a_store_that_kills_or_has_no_place_is_not_asked_for() -> None:
    dies = replace(KEEPING, steps=tuple(replace(step, cold_min_c=10.0) for step in KEEPING.steps))
    assert laid(grain(route=dies)) == ()
    reader = Reader(replace(COLD_BOOK, rooms=BOOK.rooms), TODAY)
    assert laid(grain(), reader=reader) == ()


def standing(alive: int) -> LivingLot:
    """Return jars in the fridge, which has 30 places."""
    return grain("CCCCC", alive, room="fridge", place="fridge-1", temperature_c=4.0)


def test_only_what_finds_a_place_is_asked_for_what_keeps_shortest_first() -> None:
    fresh = grain("BBBBB", 5, step_since=TODAY - timedelta(days=11))
    [job] = laid(fresh, grain(), standing(20))
    assert (job.count, job.lots) == (10, (LotAmount("AAAAA", 10, "grain", place="inc-1"),))
    assert job.detail.endswith(
        "; 7 more find no place: the first of them keep until 22 March where they stand"
    )
    [job] = laid(fresh, grain(), standing(17))
    assert job.lots == (
        LotAmount("BBBBB", 1, "grain", place="inc-1"),
        LotAmount("AAAAA", 12, "grain", place="inc-1"),
    )
    assert job.detail.endswith("; 4 more find no place: they keep until 25 March where they stand")
    [job] = laid(grain(), standing(19))
    assert job.detail.endswith("; 1 more finds no place: it keeps until 22 March where it stands")
    [fits] = laid(grain(alive=10), standing(20))
    assert fits.detail == "Grey oyster"


@pytest.mark.parametrize("there", [30, 44])
def test_nothing_is_asked_for_where_nothing_fits(there: int) -> None:
    assert laid(grain(), standing(there)) == ()


def test_places_are_counted_not_units() -> None:
    wide = replace(KEEPING, steps=tuple(replace(step, places=3.0) for step in KEEPING.steps))
    [job] = laid(grain(route=wide), standing(20))
    assert job.count == 3
    [job] = laid(grain(route=wide), replace(standing(7), route=wide))
    assert job.count == 3


def test_what_is_lost_by_a_full_store_is_said() -> None:
    plan = replace(solve(build_problem(COLD_BOOK, (), TODAY)[0], time_limit_s=1.0), moves=())
    near = grain("BBBBB", 5, step_since=TODAY - timedelta(days=19))  # until 17 March
    full = [grain(), near, standing(30)]
    [said] = full_store_notes(full, plan, READER)
    assert said == (
        "Fridge is full: 5 grain jars Grey oyster (BBBBB) keep only until 17 March where they "
        "stand, and the plan does not use them by then. Make room there, or use or sell them "
        "before."
    )
    assert full_store_notes(full, plan, READER, {"BBBBB"}) == ()
    assert full_store_notes([grain(), near, standing(29)], plan, READER) == ()  # a job says it
    assert full_store_notes([grain(), standing(30)], plan, READER) == ()
    used = Move(TODAY, "grey", "fruiting", 5.0, "grow", lots=(LotShare("BBBBB", 5.0),))
    assert full_store_notes(full, replace(plan, moves=(used,)), READER) == ()


def test_lots_that_are_not_to_be_carried_leave_their_places_to_others() -> None:
    jobs = into_store([grain(), grain("BBBBB", 5), standing(25)], READER, {}, {"AAAAA"})
    assert [job.lots for job in jobs] == [(LotAmount("BBBBB", 5, "grain", place="inc-1"),)]


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
        tapped(job.job, lots=[(jar, 12)])
    tapped(job.job)
    assert stands(jar) == {"fridge-1": 20}, "the job asks for what stands elsewhere still"


def test_more_than_finds_a_place_is_asked_about(jar: str, stock: dict[str, str]) -> None:
    planning_day.replan()
    [job] = carrying()
    lot_actions.move(said(stock["block"]), 20, "fridge-1")
    with pytest.raises(RefusedError, match=r"Fridge has 10 places left, and what is carried take"):
        tapped(job.job, lots=[(jar, 12)])
    assert stands(jar) == {"inc-1": 20}
    tapped(job.job, lots=[(jar, 12)], reason="stacked in two layers")
    assert stands(jar) == {"inc-1": 8, "fridge-1": 12}
    assert check() == ()


def test_a_second_shelf_takes_what_the_first_has_no_place_for(
    cold: FarmBook, stock: dict[str, str]
) -> None:
    wide = replace(FRIDGE, shelves=(Shelf("fridge-1", 22), Shelf("fridge-2", 21)))
    rooms = tuple(wide if room.code == "fridge" else room for room in cold.rooms)
    route = replace(
        cold.routes[0],
        steps=tuple(
            replace(step, keeps_days_cold=90.0) if step.code == "plate" else step
            for step in cold.routes[0].steps
        ),
    )
    describe(replace(cold, rooms=rooms, routes=(route,)))
    memory.forget_all()
    planning_day.replan()
    [job] = carrying()
    lots = [(stock["grain"], 20), (stock["plate"], 20)]
    tapped(job.job, lots=lots)
    assert {code: stands(code) for code, _ in lots} == {
        stock["grain"]: {"fridge-1": 20},
        stock["plate"]: {"fridge-2": 20},
    }
    assert check() == ()


def test_what_was_left_yesterday_is_late_today(jar: str, monkeypatch: pytest.MonkeyPatch) -> None:
    planning_day.replan()
    [job] = carrying()
    tomorrow = TODAY + timedelta(days=1)
    monkeypatch.setenv(clock.PRETENDED, tomorrow.isoformat())
    planning_day.replan()
    [later] = carrying()
    assert (later.job, later.late_days) == (job.job, 1)
    assert jar in later.what


def tomorrow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(clock.PRETENDED, (TODAY + timedelta(days=1)).isoformat())
    planning_day.replan()


def said(code: str) -> lot_actions.Saying:
    return lot_actions.Saying(code, "ada", secrets.token_hex(16))


def drop_the_carrying() -> None:
    planning_day.replan()
    [job] = carrying()
    putting_off.not_at_all(
        job.job, person="ada", client_id=secrets.token_hex(16), reason="used on Monday"
    )


def test_the_plan_counts_on_it_where_it_stands_then(
    jar: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def last_days() -> set[int]:
        built: list[Problem] = []
        keep = planning_day.searched
        with monkeypatch.context() as patched:
            patched.setattr(
                planning_day, "searched", lambda p, *rest: (built.append(p), keep(p, *rest))[1]
            )
            planning_day.replan()
        return {each.last_day for each in built[0].stock if each.lot == jar}

    [cold] = last_days()
    drop_the_carrying()
    [here] = last_days()
    [lot] = [each for each in living(TODAY) if each.code == jar]
    until = keeps_until(lot)
    assert until is not None
    assert TODAY + timedelta(days=here) == until < TODAY + timedelta(days=cold)


@pytest.mark.usefixtures("jar")
def test_not_at_all_holds_the_next_day(monkeypatch: pytest.MonkeyPatch) -> None:
    drop_the_carrying()
    tomorrow(monkeypatch)
    assert carrying() == []


def test_it_is_asked_again_once_it_was_moved(jar: str, monkeypatch: pytest.MonkeyPatch) -> None:
    drop_the_carrying()
    tomorrow(monkeypatch)
    lot_actions.move(said(jar), 20, "lab-1")
    planning_day.replan()
    [job] = carrying()
    assert jar in job.what


def test_it_is_asked_again_once_the_store_has_more_room(
    jar: str, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lot_actions.move(said(stock["block"]), 10, "fridge-1")
    drop_the_carrying()
    tomorrow(monkeypatch)
    assert carrying() == []
    lot_actions.move(said(stock["block"]), 20, "inc-1")
    planning_day.replan()
    [job] = carrying()
    assert jar in job.what


BLOCKS = replace(
    KEEPING,
    steps=tuple(
        replace(step, keeps_days_warm=9.0, keeps_days_cold=30.0) if step.code == "block" else step
        for step in KEEPING.steps
    ),
)


def blocks(alive: int = 20, **more: object) -> LivingLot:
    """Return blocks that have been ready for a day."""
    days = BLOCKS.step("block").days.mean
    since = TODAY - timedelta(days=1 + round(days))
    given = {
        "step": "block", "stage": Stage.BLOCK, "route": BLOCKS, "step_since": since,
        "made_on": since,
    } | more  # fmt: skip
    return grain("CCCCC", alive, **given)


def test_blocks_are_carried_only_where_the_plan_needs_them_late() -> None:
    cold = KeptCold(
        "CCCCC", "grey", "block", 14.0, "fridge", TODAY, TODAY + timedelta(3), TODAY + timedelta(20)
    )
    assert into_store([blocks()], READER, {}) == ()
    [job] = into_store([blocks()], READER, {}, (), [cold])
    assert (job.task, job.count, job.to_room) == (INTO_STORE, 14, "fridge")
    assert job.lots == (LotAmount("CCCCC", 14, "block", place="inc-1"),)
    assert into_store([blocks()], READER, {}, {"CCCCC"}, [cold]) == ()


def test_blocks_get_the_places_that_spawn_leaves() -> None:
    free = places_for_blocks(COLD_BOOK, [grain(alive=12), blocks()], TODAY)
    assert [(each.room, each.places) for each in free] == [("fridge", 18.0)]
    free = places_for_blocks(COLD_BOOK, [grain(alive=40)], TODAY)
    assert [each.places for each in free] == [0.0]
