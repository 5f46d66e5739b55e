"""Packing and handing over: early hours are packed the day before, late ones are not forgotten."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import (
    WORKING_WEEK,
    Buyer,
    Farm,
    FarmBook,
    Promise,
    Route,
    Spread,
    Step,
    StepKind,
    Variety,
    Weekday,
)
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import Picked
from pinset.planning.plan import Short
from pinset.services.book_reader import Reader
from pinset.services.day.lateness import late_cost
from pinset.services.jobs.of_selling import handing_over, packing, setting_ready
from pinset.services.jobs.records import PlannedJob, VarietyGrams
from pinset.services.promises.allotment import Allotment, allot
from pinset.services.promises.due_deliveries import DueDelivery, due_on
from pinset.services.promises.units_there import units_given, units_there

FRIDAY = date(2026, 3, 13)
PROMISES = (
    Promise("early", "market", "grey", 34_000, weekday=Weekday.SAT),
    Promise("noon", "kitchen", "grey", 5_000, weekday=Weekday.FRI),
    Promise("spawn", "kitchen", "grey", 2, "unit", "grain", weekday=Weekday.FRI),
)
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r", picked_keeps_days=5),),
    buyers=(Buyer("market", "Market", "06:30"), Buyer("kitchen", "Kitchen", "11:00")),
    promises=PROMISES,
)


def due(day: date, delivered: dict[tuple[str, date], int] | None = None) -> list[DueDelivery]:
    days = [day + timedelta(days=n) for n in range(-1, 4)]
    return [each for d in days for each in due_on(PROMISES, d, delivered or {})]


def allotted(
    each: list[DueDelivery],
    day: date,
    store: int = 0,
    expected: float = 90_000,
    picked_days: int = 1,
    book: FarmBook = BOOK,
) -> Allotment:
    """Allot what was picked so many days before a day, and what is expected of the day itself."""
    picked = (Picked("grey", day - timedelta(days=picked_days), store),)
    return allot(each, picked, {"grey": expected}, Reader(book, day))


def packed(
    each: list[DueDelivery], day: date, store: int = 0, expected: float = 90_000
) -> list[PlannedJob]:
    return list(packing(each, Reader(BOOK, day), allotted(each, day, store, expected)))


def test_early_market_is_packed_the_day_before_and_noon_on_the_day() -> None:
    jobs = packed(due(FRIDAY), FRIDAY)
    assert [(job.grams, job.due, job.for_day) for job in jobs] == [
        (5000, "before 11:00", FRIDAY),
        (34_000, "", FRIDAY + timedelta(days=1)),
    ]
    assert packed(due(FRIDAY + timedelta(days=1)), FRIDAY + timedelta(days=1)) == []


def test_over_a_weekend_it_is_packed_on_the_last_working_day() -> None:
    monday = replace(PROMISES[0], weekday=Weekday.MON)
    ahead = [DueDelivery(monday, FRIDAY + timedelta(days=3), 0)]
    assert [job.grams for job in packed(ahead, FRIDAY)] == [34_000]
    assert packed(ahead, FRIDAY - timedelta(days=1)) == []


def test_what_is_handed_over_is_what_is_left() -> None:
    each = due(FRIDAY, {("noon", FRIDAY): 1200})
    jobs = handing_over(each, Reader(BOOK, FRIDAY), allotted(each, FRIDAY), {})
    assert [(job.promise, job.grams, job.count, job.fixed_at) for job in jobs] == [
        ("noon", 3800, 4, "11:00"),
        ("spawn", 0, 2, "11:00"),
    ]


@pytest.mark.parametrize("late", [1])
def test_what_was_due_yesterday_is_still_asked_for(late: int) -> None:
    today = FRIDAY + timedelta(days=late)

    def handed(day: date) -> tuple[PlannedJob, ...]:
        return handing_over(due(day), Reader(BOOK, day), allotted(due(day), day), {})

    [noon] = [j for j in handed(today) if j.promise == "noon"]
    assert (noon.day, noon.fixed_at, noon.stake) == (FRIDAY, "", "5 kg")


@pytest.mark.parametrize(
    ("store", "expected", "picked_days", "said", "short"),
    [
        (1500, 2500, 1, "4 kg Grey oyster", "; short by 1 kg Grey oyster"),
        (1500, 2500, 6, "2.5 kg Grey oyster", "; short by 2.5 kg Grey oyster"),
        (7000, 2500, 1, "5 kg Grey oyster", ""),
    ],
)
def test_what_there_will_be_is_packed_and_what_is_short_is_said(
    store: int, expected: float, picked_days: int, said: str, short: str
) -> None:
    noon = [DueDelivery(PROMISES[1], FRIDAY, 0)]
    there = allotted(noon, FRIDAY, store, expected, picked_days)
    [job] = packing(noon, Reader(BOOK, FRIDAY), there)
    assert job.what == f"kg to pack: {said}"
    assert job.detail == f"Packed before 11:00{short}"
    assert job.weights == (VarietyGrams("grey", job.grams),)
    [handed] = handing_over(noon, Reader(BOOK, FRIDAY), there, {})
    assert handed.grams == 5000
    assert handed.detail == "Promised 5 kg" + (
        f"; {said[:-12]} or so will be there" if short else ""
    )


def test_what_goes_today_is_not_packed_for_tomorrow_too() -> None:
    jobs = packed(due(FRIDAY), FRIDAY, 3000, 6000)
    assert [job.grams for job in jobs] == [5000, 4000]
    assert jobs[1].detail.endswith("kept cold overnight; short by 30 kg Grey oyster")


def test_nothing_is_packed_of_nothing() -> None:
    assert packed(due(FRIDAY), FRIDAY, 0, 0) == []


def test_a_van_in_the_early_morning_takes_nothing_of_todays_picking() -> None:
    early = [DueDelivery(replace(PROMISES[0], weekday=Weekday.FRI), FRIDAY, 0)]
    there = allotted(early, FRIDAY, 3000, 6000)
    [job] = handing_over(early, Reader(BOOK, FRIDAY), there, {})
    assert job.detail == "Promised 34 kg; 3 kg or so will be there"


SATURDAY = FRIDAY + timedelta(days=1)
AT_NOON = replace(PROMISES[1], code="saturday", weekday=Weekday.SAT)


def test_what_is_due_on_a_day_off_is_packed_on_the_last_working_day_before() -> None:
    """The farm works from Monday to Friday; at 11:00 it would be packed on Saturday itself."""
    off = [DueDelivery(AT_NOON, SATURDAY, 0)]
    [job] = packed(off, FRIDAY)
    assert (job.grams, job.for_day, job.due) == (5000, SATURDAY, "")
    assert job.detail == "For tomorrow 11:00, a day off, kept cold overnight"
    assert job.why == (
        "Promised for tomorrow, a day off: nobody packs then, so it is packed on the last working "
        "day before."
    )
    assert packed(off, FRIDAY - timedelta(days=1)) == []
    assert packed(off, SATURDAY) == []


def test_a_holiday_between_working_days_is_packed_for_the_day_before() -> None:
    thursday = FRIDAY - timedelta(days=1)
    book = replace(BOOK, farm=replace(BOOK.farm, days_off=(FRIDAY,)))
    off = [DueDelivery(PROMISES[1], FRIDAY, 0)]
    there = allotted(off, thursday, book=book)
    [job] = packing(off, Reader(book, thursday), there)
    assert (job.for_day, job.grams) == (FRIDAY, 5000)


def test_on_the_day_off_the_delivery_stands_and_says_so() -> None:
    off = [DueDelivery(AT_NOON, SATURDAY, 0)]
    there = allotted(off, SATURDAY, 5000, 0)
    [job] = handing_over(off, Reader(BOOK, SATURDAY), there, {})
    assert (job.day, job.fixed_at) == (SATURDAY, "11:00")
    assert job.detail == "Promised 5 kg; today is a day off: it was to be packed yesterday"


def test_one_kilogram_is_not_said_to_two_buyers() -> None:
    """Of 6 kg the one promised first gets its 5 kg and the other the kilogram that is left."""
    also = replace(PROMISES[1], code="later", amount=4000)
    both = [DueDelivery(also, FRIDAY, 0), DueDelivery(PROMISES[1], FRIDAY, 0)]
    there = allotted(both, FRIDAY, 6000, 0)
    jobs = {job.promise: job for job in handing_over(both, Reader(BOOK, FRIDAY), there, {})}
    assert jobs["noon"].detail == "Promised 5 kg"
    assert jobs["later"].detail == "Promised 4 kg; 1 kg or so will be there"
    [pack] = packing(both, Reader(BOOK, FRIDAY), there)
    assert (pack.grams, pack.detail) == (6000, "Packed before 11:00; short by 3 kg Grey oyster")


GRAIN = Step(
    "grain", StepKind.TRANSFER, Stage.GRAIN, Spread(9, 10, 11), Spread(0, 0, 0), 23.0, vessel="jar",
    keeps_days_warm=14.0,
)  # fmt: skip
SELLS_SPAWN = replace(
    BOOK, routes=(Route("r", (GRAIN,)),), farm=replace(BOOK.farm, working_days=WORKING_WEEK)
)


def jars(alive: int = 2, age: int = 12, **more: object) -> LivingLot:
    """Return grain jars of so many days on Friday; they are ready after ten."""
    made = FRIDAY - timedelta(days=age)
    given = {
        "code": "AAAAA", "variety": "grey", "step": "grain", "stage": Stage.GRAIN,
        "made_on": made, "step_since": made, "place": "inc-1", "room": "inc",
        "temperature_c": 23.0, "route": SELLS_SPAWN.routes[0],
    } | more  # fmt: skip
    return LivingLot(alive=alive, **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("due_on_day", "hour", "today", "said"),
    [
        (Weekday.SAT, "11:00", FRIDAY, "For tomorrow 11:00, a day off"),
        (Weekday.SUN, "11:00", FRIDAY, "For Sunday 11:00, a day off"),
        (Weekday.FRI, "06:30", FRIDAY - timedelta(days=1), "For tomorrow 06:30"),
        (Weekday.FRI, "11:00", FRIDAY, ""),
        (Weekday.SAT, "11:00", FRIDAY - timedelta(days=1), ""),
    ],
)
def test_units_are_set_ready_before_a_day_off_or_an_early_hour(
    due_on_day: Weekday, hour: str, today: date, said: str
) -> None:
    spawn = replace(PROMISES[2], weekday=due_on_day)
    book = replace(SELLS_SPAWN, buyers=(Buyer("kitchen", "Kitchen", hour),), promises=(spawn,))
    ahead = [each for n in range(4) for each in due_on((spawn,), today + timedelta(days=n), {})]
    reader = Reader(book, today)
    jobs = setting_ready(ahead, reader, units_there(ahead, [jars()], reader))
    assert [job.detail for job in jobs] == ([said] if said else [])
    for job in jobs:
        assert (job.count, job.unit) == (2, "units")
        assert job.what == "grain jars Grey oyster to set ready for Kitchen"
    handed = [replace(each, delivered=2) for each in ahead]
    assert setting_ready(handed, reader, units_there(handed, [jars()], reader)) == ()


BY_UNIT = replace(PROMISES[2], code="jars", weekday=Weekday.SAT, amount=5)


@pytest.mark.parametrize(
    ("lots", "asked", "said"),
    [
        ([jars(9)], 5, ""),
        ([jars(3)], 3, "; short by 2"),
        ([jars(3), jars(9, age=9)], 5, ""),  # ready tomorrow
        ([jars(3), jars(9, age=8)], 3, "; short by 2"),  # the day after
        ([jars(9, age=30)], 0, ""),  # past their time
        ([jars(9, held="smells sour")], 0, ""),
        ([jars(9, stage=Stage.PREPARED)], 0, ""),
        ([jars(9, variety="shii")], 0, ""),
        ([jars(9, step="block")], 0, ""),
        ([], 0, ""),
    ],
)
def test_only_units_that_will_be_usable_are_set_ready(
    lots: list[LivingLot], asked: int, said: str
) -> None:
    block = Step("block", StepKind.TRANSFER, Stage.BLOCK, Spread(9, 10, 11), Spread(0, 0, 0), 23.0)
    lots = [replace(lot, route=Route("r", (GRAIN, block))) for lot in lots]
    ahead, reader = [DueDelivery(BY_UNIT, SATURDAY, 0)], Reader(SELLS_SPAWN, FRIDAY)
    jobs = setting_ready(ahead, reader, units_there(ahead, lots, reader))
    assert [job.count for job in jobs] == ([asked] if asked else [])
    assert [job.detail for job in jobs] == [f"For tomorrow 11:00, a day off{said}"] * len(jobs)
    assert [job.stake for job in jobs] == [f"{asked} units"] * len(jobs)


def test_a_delivery_says_if_the_plan_uses_its_units_for_something_else() -> None:
    """Of 5 promised 3 will be there; the plan leaves 5 short, or 4 of them."""
    reader = Reader(SELLS_SPAWN, FRIDAY)
    today = [DueDelivery(replace(PROMISES[2], amount=5), FRIDAY, 0)]
    there = units_there(today, [jars(3)], reader)
    for lack, given, hangs in ((5.0, "none", ""), (4.0, "1", "1 unit")):
        lacks = [Short("spawn", FRIDAY, "grey", lack, "unit", 5, "", is_unavoidable=False)]
        [job] = handing_over(today, reader, Allotment(), there, units_given(there, today, lacks))
        said = f"3 or so will be there, but the plan gives it {given} of them: Promises says why"
        assert (job.detail, job.stake) == (f"Promised 5 units; {said}", hangs)


@pytest.mark.parametrize(
    ("alive", "said", "hangs"),
    [
        (9, "", "5 units"),
        (3, "; 3 or so will be there", "3 units"),
        (0, "; nothing of it will be there", ""),
    ],
)
def test_a_delivery_of_units_says_how_many_there_will_be(alive: int, said: str, hangs: str) -> None:
    today = [DueDelivery(replace(BY_UNIT, weekday=Weekday.FRI), FRIDAY, 0)]
    reader = Reader(SELLS_SPAWN, FRIDAY)
    there = units_there(today, [jars(alive)], reader)
    [job] = handing_over(today, reader, Allotment(), there)
    assert (job.count, job.detail, job.stake) == (5, f"Promised 5 units{said}", hangs)


def test_a_late_delivery_of_which_nothing_is_there_has_nothing_hang_on_it() -> None:
    late = [DueDelivery(PROMISES[1], FRIDAY - timedelta(days=1), 0)]
    reader = Reader(BOOK, FRIDAY)
    [job] = handing_over(late, reader, allotted(late, FRIDAY, 4, 0.0), {})
    assert job.detail.endswith("; nothing of it will be there"), "4 g are nothing to hand over"
    assert late_cost(job, 1, FRIDAY) == "1 day late: nothing is there for it"
    [some] = handing_over(late, reader, allotted(late, FRIDAY, 900, 0.0), {})
    assert late_cost(some, 1, FRIDAY) == "1 day late: 0.9 kg hang on doing it today"


def test_one_jar_is_not_said_to_two_buyers() -> None:
    first = DueDelivery(replace(BY_UNIT, code="first", weekday=Weekday.FRI), FRIDAY, 1)
    both = [DueDelivery(BY_UNIT, SATURDAY, 0), first]
    there = units_there(both, [jars(6)], Reader(SELLS_SPAWN, FRIDAY))
    assert there == {("first", FRIDAY): 4, ("jars", SATURDAY): 2}


@pytest.mark.parametrize(
    ("arrives", "there"), [(-1, 0), (0, 5), (1, 0)]
)  # it is set ready today, for tomorrow
def test_spawn_on_order_counts_if_it_arrives_in_time(arrives: int, there: int) -> None:
    bought = replace(SELLS_SPAWN.routes[0].steps[0], kind=StepKind.BUY, days=Spread(0, 0, 0))
    lot = jars(9, age=-arrives, order="o1", route=Route("r", (bought,)))
    ahead = [DueDelivery(BY_UNIT, SATURDAY, 0)]
    found = units_there(ahead, [lot], Reader(SELLS_SPAWN, FRIDAY))
    assert found == {("jars", SATURDAY): there}
