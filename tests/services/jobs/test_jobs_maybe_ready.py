"""Lots that may be ready before their middle day are looked at once: one light job a room."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.living import LivingLot
from pinset.chain.readiness import may_be_ready, ready_on, state
from pinset.chain.register import FarmBook, Flush, Spread, Variety
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.models import Entry, Mention
from pinset.services import clock, memory
from pinset.services.answers import lot_actions, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lot_view, lots_view
from pinset.services.day import today
from pinset.services.jobs.from_state import jobs_from_state
from pinset.services.jobs.maybe_ready import early_looks
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.promises.allotment import Allotment
from pinset.services.views import JobState, JobView

GOLD = Variety("gold", "Golden oyster", "Pleurotus citrinopileatus", ROUTE.code)
READER = Reader(replace(BOOK, varieties=(*BOOK.varieties, GOLD)), TODAY)


def standing(code: str, days: int, step: str = "grain", **more: object) -> LivingLot:
    """A lot of 20 that many days old; its step takes 8 to 12 days, most likely 10."""
    since = TODAY - timedelta(days=days)
    given = {"variety": "grey", "place": "inc-1", "room": "inc", "stage": Stage.GRAIN} | more
    return LivingLot(
        code=code, step=step, alive=20, made_on=since, step_since=since, temperature_c=24.0,
        route=ROUTE, **given,
    )  # fmt: skip  # type: ignore[arg-type]


def test_from_the_day_one_in_ten_is_ready_to_the_day_half_are() -> None:
    # Triangular 8, 10, 12: a tenth is ready at 8 + sqrt(0.1 * 4 * 2) = 8.89 days, half at 10.
    ready = ready_on(standing("A", 0))
    assert [(day - TODAY).days for day in (ready.p10, ready.p50)] == [9, 10]
    assert [may_be_ready(standing("A", days), TODAY) for days in (8, 9, 10)] == [False, True, False]


@pytest.mark.parametrize(
    "other",
    [
        {"step": "fruiting"},  # the morning round looks at it
        {"stage": Stage.PREPARED},
        {"order": "ab" * 16},
        {"held": "smells sour"},
        {"expected_ready_on": TODAY + timedelta(days=3)},  # somebody judged it
    ],
)
def test_what_is_not_looked_at(other: dict[str, object]) -> None:
    assert not may_be_ready(standing("A", 9, **other), TODAY)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({}, "ready 12 March to 15 March, may be ready: look"),
        ({"held": "smells sour"}, "ready 12 March to 15 March, may be ready"),
        ({"order": "ab" * 16}, "ready 12 March to 15 March, may be ready"),
        ({"step": "fruiting"}, ", may be ready: look on the morning round"),
    ],
)
def test_a_lot_says_look_only_where_a_look_is_asked_for(
    other: dict[str, object], words: str
) -> None:
    part = standing("A", 9, **other)  # type: ignore[arg-type]
    first = ready_on(part).p10  # the day on which one in ten is ready
    assert state(part, first).words.endswith(words)
    asked = bool(early_looks([part], Reader(READER.book, first), ()))
    assert asked == state(part, first).words.endswith("may be ready: look")
    assert not state(part, first, is_looked_at=True).words.endswith(": look")


def codes(looks: Iterable[object]) -> list[list[str]]:
    return [[each.lot for each in job.lots] for job in looks]  # type: ignore[attr-defined]


def test_one_job_a_room_whatever_stands_there() -> None:
    living = [
        standing("AAAAA", 9),
        standing("BBBBB", 9, variety="gold", place="inc-2"),
        standing("AAAAA", 9, place="inc-2"),  # the same lot on another shelf
        standing("CCCCC", 9, room="lab", place="lab-1", stage=Stage.PLATE),
        standing("DDDDD", 5),
    ]
    shelves, laboratory = early_looks(living, READER, ())
    assert codes([shelves, laboratory]) == [["AAAAA", "BBBBB"], ["CCCCC"]]
    assert (shelves.count, shelves.place, shelves.room_kind) == (60, "Incubation", "incubation")
    assert shelves.what == "grain jars may be ready: look, AAAAA and BBBBB"
    assert shelves.detail == "Grey oyster and Golden oyster, expected 13 March"
    assert (laboratory.what, laboratory.stage) == ("plates may be ready: look, CCCCC", "plate")


def test_what_somebody_watches_is_looked_at_beside_it() -> None:
    living = [standing("AAAAA", 9), replace(standing("BBBBB", 5), look_on=TODAY)]
    ready, watched = early_looks(living, READER, ())
    assert codes([ready, watched]) == [["AAAAA"], ["BBBBB"]]
    assert watched.what == "grain jars to be looked at again, BBBBB"
    assert ready.key != watched.key
    assert early_looks(living, READER, {"AAAAA", "BBBBB"}) == ()


def test_not_again_once_somebody_looked_and_not_on_a_day_off() -> None:
    living = [standing("AAAAA", 9), standing("BBBBB", 9)]
    assert codes(early_looks(living, READER, {"AAAAA"})) == [["BBBBB"]]
    assert early_looks(living, READER, {"AAAAA", "BBBBB"}) == ()
    closed = replace(BOOK, farm=replace(BOOK.farm, days_off=(TODAY,)))
    assert early_looks(living, Reader(closed, TODAY), ()) == ()


def new_id() -> str:
    return secrets.token_hex(16)


def looks_on(day: date, monkeypatch: pytest.MonkeyPatch) -> list[JobView]:
    monkeypatch.setenv(clock.PRETENDED, day.isoformat())
    memory.forget_all()
    planning_day.replan()
    jobs = [job for section in today.day_view().sections for job in section.jobs]
    return [job for job in jobs if job.kind == "look" and "may be ready" in job.what]


@pytest.fixture
def young(farm: FarmBook) -> tuple[str, str]:  # noqa: ARG001
    """Two lots of grain that become ready from 10 to 16 days after they were made."""
    tap = Taps(start=20_000)
    made = [
        lot(CODES[170 + n], Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=8))
        for n in range(2)
    ]
    door.record([trade.opening(tap(hours=-30), each, 20, "inc-1") for each in made], now=NOW)
    return made[0].code, made[1].code


def test_a_look_is_an_entry_like_any_other_and_is_not_asked_for_again(
    young: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert looks_on(TODAY, monkeypatch) == []
    tomorrow = TODAY + timedelta(days=1)
    [job] = looks_on(tomorrow, monkeypatch)
    assert {use.lot for use in job.from_lots} == set(young)
    assert said_of(young) == {"may be ready: look"}
    recording.done(job.job, person="ada", client_id=(tap := new_id()))
    entry = Entry.objects.get(client_id=tap)
    seen = Mention.objects.filter(entry=entry, role="looked").values_list("lot__code", "count")
    assert (entry.kind, set(seen)) == ("look", {(code, 20) for code in young})
    planning_day.replan()
    assert [j.state for j in looks_on(tomorrow, monkeypatch)] == [JobState.DONE]
    assert said_of(young) == {"may be ready: looked at"}


def said_of(lots: Iterable[str]) -> set[str]:
    """Return what the list of lots and the pages of these lots say after their days."""
    listed = {line.lot: line.ready for line in lots_view().lots}
    pages = {code: lot_view(code).line.ready for code in lots}
    return {said.split(", ", 1)[1] for code in lots for said in (listed[code], pages[code])}


def wide(book: FarmBook) -> FarmBook:
    """The small farm with steps whose ready day is less sure: a tenth on day 14, half on day 20."""
    route = book.routes[0]
    steps = tuple(replace(step, days=Spread(8.0, 20.0, 32.0)) for step in route.steps)
    return replace(book, routes=(replace(route, steps=steps),))


def test_it_is_asked_for_each_day_until_somebody_looks_and_is_never_late(
    farm: FarmBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    describe(wide(farm))
    memory.forget_all()
    tap = Taps(start=30_000)
    made = [
        lot(CODES[180 + n], Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=14))
        for n in range(2)
    ]
    door.record([trade.opening(tap(hours=-30), each, 20, "inc-1") for each in made], now=NOW)
    first, other = (each.code for each in made)
    [job] = looks_on(TODAY, monkeypatch)
    [again] = looks_on(TODAY + timedelta(days=1), monkeypatch)
    assert {use.lot for use in again.from_lots} == {first, other}
    assert (again.late_days, again.job == job.job) == (0, False)
    recording.part_done(again.job, person="ada", client_id=new_id(), lots=[(first, 20)])
    [rest] = looks_on(TODAY + timedelta(days=1), monkeypatch)
    assert (rest.job, rest.state, rest.done_count) == (again.job, JobState.PART, 20)
    assert [use.lot for use in rest.from_lots] == [other]
    monday = TODAY + timedelta(days=4)
    [after] = looks_on(monday, monkeypatch)
    assert [use.lot for use in after.from_lots] == [other], "the first was looked at on Friday"
    lot_actions.expect_ready(Saying(other, "ada", new_id()), monday)
    assert looks_on(monday, monkeypatch) == [], "judged: nothing is open"


FLUSHING = replace(
    ROUTE,
    steps=tuple(
        replace(
            step,
            flushes=(Flush(Spread(0, 0, 0), 0.7, 3, 0.0), Flush(Spread(8, 10, 12), 0.3, 3, 0.0)),
        )
        if step.code == "fruiting"
        else step
        for step in ROUTE.steps
    ),
)


def fruiting(days: int, **more: object) -> LivingLot:
    """Units that many days in a grow room; the first pick comes after 8 to 12 days, for 3 days."""
    given = {"route": FLUSHING, "stage": Stage.BLOCK, "room": "grow", "place": "grow-1"} | more
    return replace(standing("F", days, "fruiting"), **given)  # type: ignore[arg-type]


def asked_of(*lots: LivingLot) -> list[str]:
    jobs = early_looks(lots, READER, ())
    assert all(job.key.startswith("look:flush:") for job in jobs)
    return [job.what for job in jobs]


def test_a_first_flush_nobody_told_of_is_asked_about() -> None:
    # Triangular 8, 10, 12: one in ten comes after 12 - sqrt(0.1 * 4 * 2) = 11.1 days, on the 12th;
    # picked for three days it is over on the 14th, and asked about three days later.
    assert [bool(asked_of(fruiting(days))) for days in (13, 16, 17, 40)] == [
        False,
        False,
        True,
        True,
    ]
    [job] = early_looks([fruiting(17)], READER, ())
    assert job.what.startswith("blocks of which no pick is written down: ripe, picked untold, or ")
    assert (
        job.detail
        == "Grey oyster, the first flush was expected to be over by 9 March at the latest"
    )
    assert (job.kind.value, job.count, job.room_kind, job.cautions) == (
        "look", 20, "growing", ("spores",),
    )  # fmt: skip
    assert early_looks([fruiting(17)], READER, {"F"}) == (), "somebody looked"


@pytest.mark.parametrize(
    "said",
    [
        {"flush": 1, "last_picked_on": TODAY - timedelta(days=5)},
        {"given_up_on": TODAY - timedelta(days=5)},
        {"expected_ready_on": TODAY - timedelta(days=4)},  # over 2 days ago
        {"expected_ready_on": TODAY + timedelta(days=4)},
        {"held": "smells sour"},
        {"alive": 0},
    ],
)
def test_what_somebody_said_of_it_ends_the_asking(said: dict[str, object]) -> None:
    assert asked_of(fruiting(20, **said)) == []


def test_a_day_that_a_person_expected_is_asked_about_too_when_it_is_long_past() -> None:
    assert asked_of(fruiting(30, expected_ready_on=TODAY - timedelta(days=5)))


def flushes_asked_on(day: date, monkeypatch: pytest.MonkeyPatch) -> list[JobView]:
    looks_on(day, monkeypatch)
    jobs = [job for section in today.day_view().sections for job in section.jobs]
    return [job for job in jobs if "no pick is written down" in job.what]


def test_a_look_or_a_judgement_answers_it(
    stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The blocks stand in the grow room since a week, and bear after 10 to 16 days."""
    monday = TODAY + timedelta(days=11)
    assert flushes_asked_on(TODAY + timedelta(days=5), monkeypatch) == []
    [job] = flushes_asked_on(monday, monkeypatch)
    assert [use.lot for use in job.from_lots] == [stock["fruiting"]]
    recording.done(job.job, person="ada", client_id=new_id())
    assert [each.state for each in flushes_asked_on(monday, monkeypatch)] == [JobState.DONE]
    tomorrow = monday + timedelta(days=1)
    assert flushes_asked_on(tomorrow, monkeypatch) == [], "somebody looked"
    saying = Saying(stock["fruiting"], "ada", new_id())
    lot_actions.expect_ready(saying, tomorrow)
    assert flushes_asked_on(tomorrow + timedelta(days=3), monkeypatch) == []
    assert flushes_asked_on(tomorrow + timedelta(days=7), monkeypatch), "that day is past, too"


def test_blocks_are_not_sent_out_before_their_first_flush_is_asked_about(
    farm: FarmBook,  # noqa: ARG001
) -> None:
    """By their age they are spent; with nothing written down they may be bearing all the same."""
    old = fruiting(60)

    def kinds(*looked: str) -> list[JobKind]:
        given = {"allotted": Allotment(), "looked": looked}
        jobs = jobs_from_state(READER, [old], (), (), lambda _: None, **given)  # type: ignore[arg-type]
        return [job.kind for job in jobs if any(each.lot == old.code for each in job.lots)]

    assert JobKind.LOOK in kinds()
    assert JobKind.CLEAR not in kinds()
    assert JobKind.CLEAR in kinds(old.code), "somebody looked, and told of nothing to pick"
    assert JobKind.LOOK not in kinds(old.code)
