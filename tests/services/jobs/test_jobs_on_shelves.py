"""Little work of one room is one card; what stands too long is asked about, vessels too."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, describe
from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Variety
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.entries import NewLot
from pinset.farm.models import Entry, Mention
from pinset.services import clock, memory
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.cooks.judge.verdict_entries import judge_by_hand
from pinset.services.day import today
from pinset.services.jobs.from_state import thrown_out_whole
from pinset.services.jobs.on_shelves import by_age, past_their_time
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.plans import planning_day
from pinset.services.views import JobState, JobView

LayJob = Callable[..., str]

SHAKEN = replace(
    ROUTE,
    steps=tuple(
        replace(step, shake_days=(6,), look_days=(6,), hands_minutes=0.5) for step in ROUTE.steps
    ),
)
BOOK_OF_TWO = replace(
    BOOK,
    routes=(SHAKEN,),
    varieties=(
        *BOOK.varieties,
        Variety("gold", "Golden oyster", "Pleurotus citrinopileatus", SHAKEN.code),
    ),
)
READER = Reader(BOOK_OF_TWO, TODAY)


def standing(code: str, alive: int, **more: object) -> LivingLot:
    since = TODAY - timedelta(days=6)
    given = {
        "variety": "grey", "step": "grain", "stage": Stage.GRAIN, "room": "inc", "place": "inc-1",
        "temperature_c": 24.0, "made_on": since, "step_since": since,
    } | more  # fmt: skip
    return LivingLot(code=code, alive=alive, route=SHAKEN, **given)  # type: ignore[arg-type]


LITTLE = (
    standing("AAAAA", 5),
    standing("BBBBB", 3, variety="gold"),
    standing("CCCCC", 4, step="plate", stage=Stage.PLATE),
)


def test_little_shaking_of_a_room_is_one_job_that_names_its_lots() -> None:
    [job] = by_age(LITTLE, READER, JobKind.SHAKE)
    assert (job.count, job.minutes) == (12, 6)
    assert job.what == "units to shake in Incubation"
    assert job.detail == "Grain jars AAAAA and BBBBB; plates CCCCC"
    assert [(lot.lot, lot.units) for lot in job.lots] == [("AAAAA", 5), ("BBBBB", 3), ("CCCCC", 4)]


def test_much_shaking_stays_by_itself_and_so_does_what_is_alone_in_its_room() -> None:
    much, alone = standing("DDDDD", 40), standing("EEEEE", 2, variety="gold", room="lab")
    jobs = by_age((*LITTLE[1:], much, alone), READER, JobKind.SHAKE)
    assert [[lot.lot for lot in job.lots] for job in jobs] == [
        ["DDDDD"],
        ["BBBBB", "CCCCC"],
        ["EEEEE"],
    ]
    assert jobs[0].what == "grain jars to shake, DDDDD"
    assert jobs[2].what == "grain jars to shake, EEEEE"


def test_looks_go_together_only_where_the_same_is_looked_at() -> None:
    grain, plates = by_age(LITTLE, READER, JobKind.LOOK)
    assert (grain.what, grain.detail) == (
        "grain jars to look over in Incubation",
        "AAAAA and BBBBB",
    )
    assert (grain.stage, plates.stage) == ("grain", "plate")


def test_a_lot_on_two_shelves_is_named_once() -> None:
    [job] = by_age(
        [standing("AAAAA", 5), standing("AAAAA", 2, place="inc-2")], READER, JobKind.SHAKE
    )
    assert job.lots == (LotAmount("AAAAA", 7, "grain"),)


def new_id() -> str:
    return secrets.token_hex(16)


def shaking(lay: LayJob, stock: dict[str, str]) -> str:
    return lay(
        JobKind.SHAKE,
        count=40,
        variety="",
        room="inc",
        lots=(LotAmount(stock["plate"], 20, "plate"), LotAmount(stock["grain"], 20, "grain")),
    )


def shaken() -> dict[str, int]:
    rows = Mention.objects.filter(role="shaken", is_cancelled=False)
    return {code: sum(n for c, n in rows.values_list("lot__code", "count") if c == code)
            for code in set(rows.values_list("lot__code", flat=True))}  # fmt: skip


def test_one_tap_shakes_every_lot(lay: LayJob, stock: dict[str, str]) -> None:
    recording.done(shaking(lay, stock), person="ada", client_id=new_id())
    assert shaken() == {stock["plate"]: 20, stock["grain"]: 20}
    assert check() == ()


def test_a_lot_that_differs_is_recorded_by_itself_and_the_rest_after_it(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = shaking(lay, stock)
    plate, grain = stock["plate"], stock["grain"]
    recording.part_done(
        job, person="ada", client_id=new_id(), lots=[(plate, 18)], reason="two broken"
    )
    assert shaken() == {plate: 18}
    left = {use.lot: use.units for use in today.job_view(job).from_lots}
    assert left == {plate: 2, grain: 20}
    recording.done(job, person="ada", client_id=new_id())
    assert shaken() == {plate: 20, grain: 20}
    assert today.job_view(job).state is JobState.DONE


def test_taking_a_part_back_leaves_it_to_be_done(lay: LayJob, stock: dict[str, str]) -> None:
    job = shaking(lay, stock)
    part = recording.part_done(job, person="ada", client_id=new_id(), lots=[(stock["plate"], 20)])
    taking_back.undo(part.entry, person="ada", client_id=new_id(), reason="the other shelf")
    recording.done(job, person="ada", client_id=new_id())
    assert shaken() == {stock["plate"]: 20, stock["grain"]: 20}


COOKED = replace(
    SHAKEN,
    steps=tuple(
        replace(step, cook={"grain": "grain", "block": "straw"}.get(step.code, ""))
        for step in SHAKEN.steps
    ),
)


def vessels(code: str, step: str, days: int, **more: object) -> LivingLot:
    made = TODAY - timedelta(days=days)
    lot = standing(code, 13, step=step, stage=Stage.PREPARED, variety="", made_on=made, **more)
    return replace(lot, step_since=made, route=COOKED)


def kept(lot: LivingLot) -> None:  # noqa: ARG001  (no living lot here is past its time)
    return None


def over(*lots: LivingLot) -> tuple[PlannedJob, ...]:
    return past_their_time(lots, READER, kept)


def yesterday(lot: LivingLot) -> date:  # noqa: ARG001  (all lots kept until then)
    return TODAY - timedelta(days=1)


def test_what_is_thrown_out_whole_is_not_looked_over_as_well() -> None:
    old = [standing("AAAAA", 5), standing("AAAAA", 2, place="inc-2"), standing("BBBBB", 3)]
    jobs = past_their_time(old, READER, yesterday)
    assert thrown_out_whole(jobs, old, ()) == {"AAAAA", "BBBBB"}
    # judged good, they are looked at as any; and where the plan uses some, the rest is looked at
    assert thrown_out_whole(jobs, old, {"discard:AAAAA"}) == {"BBBBB"}
    some = past_their_time(old, READER, yesterday, {"BBBBB": 2})
    assert thrown_out_whole(some, old, ()) == {"AAAAA"}


@pytest.mark.parametrize(("step", "keeps"), [("grain", 14), ("block", 1)])
def test_prepared_vessels_keep_a_fortnight_and_pasteurised_straw_a_day(
    step: str, keeps: int
) -> None:
    assert over(vessels("AAAAA", step, keeps)) == ()
    [job] = over(vessels("AAAAA", step, keeps + 1))
    assert job.kind is JobKind.DISCARD
    assert (job.count, job.what) == (
        13,
        "prepared vessels AAAAA: past their time, judge and throw out",
    )
    assert f"keep {keeps} day" in job.why


def test_vessels_of_one_cook_on_two_shelves_are_one_job() -> None:
    [job] = over(vessels("AAAAA", "block", 3), vessels("AAAAA", "block", 3, place="inc-2"))
    shelves = {(each.lot, each.units, each.place) for each in job.lots}
    assert (job.count, shelves) == (26, {("AAAAA", 13, "inc-1"), ("AAAAA", 13, "inc-2")})


def test_throwing_prepared_vessels_out_takes_them_off_the_books(farm: FarmBook) -> None:
    route = farm.routes[0]
    steps = tuple(
        replace(step, cook="straw") if step.code == "block" else step for step in route.steps
    )
    describe(replace(farm, routes=(replace(route, steps=steps),)))
    memory.forget_all()
    made = NewLot(CODES[190], Stage.PREPARED, "", "block", route.code, TODAY - timedelta(days=3))
    cook = trade.cook(
        Taps(start=40_000)(hours=-72), "kettle-1", [(made, 30)], "inc-1",
        steriliser="kettle", cook_kind="straw",
    )  # fmt: skip
    door.record([cook], now=NOW - timedelta(hours=71))
    planning_day.replan()
    [job] = discards(made.code)
    tap = new_id()
    recording.done(job.job, person="ada", client_id=tap)
    assert Entry.objects.get(client_id=tap).details["cause"] == "past its time"
    planning_day.replan()
    assert [job.state for job in discards(made.code)] == [JobState.DONE]
    assert check() == ()


def discards(code: str) -> list[JobView]:
    jobs = [job for section in today.day_view().sections for job in section.jobs]
    return [job for job in jobs if job.kind == "discard" and code in job.what]


@pytest.fixture
def failed(farm: FarmBook) -> str:
    """Return the code of thirty vessels whose cook failed yesterday."""
    route = farm.routes[0]
    steps = tuple(
        replace(step, cook="grain") if step.code == "block" else step for step in route.steps
    )
    describe(replace(farm, routes=(replace(route, steps=steps),)))
    memory.forget_all()
    made = NewLot(CODES[191], Stage.PREPARED, "", "block", route.code, TODAY - timedelta(days=1))
    cook = trade.cook(
        Taps(start=41_000)(hours=-24), "kettle-2", [(made, 30)], "inc-1",
        steriliser="kettle", cook_kind="grain",
    )  # fmt: skip
    door.record([cook], now=NOW - timedelta(hours=23))
    planning_day.replan()
    assert discards(made.code) == []
    judge_by_hand(new_id(), "ada", "kettle-2", "fail", "the gauge fell to nothing")
    planning_day.replan()
    return made.code


def test_vessels_of_a_failed_cook_are_asked_about_until_they_are_gone(failed: str) -> None:
    [job] = discards(failed)
    assert "cook again or throw out" in job.what
    assert "kettle-2: failed" in job.detail
    tap = new_id()
    recording.done(job.job, person="ada", client_id=tap)
    assert Entry.objects.get(client_id=tap).details["cause"] == "its cook failed"
    assert check() == ()


def test_not_at_all_holds_for_vessels_of_a_failed_cook(
    failed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    [job] = discards(failed)
    putting_off.not_at_all(job.job, person="ada", client_id=new_id(), reason="for the compost")
    for days, asked in ((1, 0), (29, 0), (32, 1)):  # all of them days of work
        monkeypatch.setenv(clock.PRETENDED, (TODAY + timedelta(days=days)).isoformat())
        planning_day.replan()
        assert len(discards(failed)) == asked
