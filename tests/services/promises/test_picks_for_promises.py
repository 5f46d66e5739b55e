"""Whom today's picking is for: what is in store goes first, then what is picked, by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import (
    Buyer,
    Farm,
    FarmBook,
    Promise,
    Room,
    RoomKind,
    Route,
    Shelf,
    Spread,
    Step,
    StepKind,
    Variety,
    Weekday,
)
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import Picked
from pinset.planning.plan import ExpectedPick, LotShare
from pinset.services.book_reader import Reader
from pinset.services.day.lateness import late_cost, spoilt_words
from pinset.services.jobs.in_grow_rooms import expected_today, picking
from pinset.services.jobs.records import PlannedJob
from pinset.services.promises.allotment import allot
from pinset.services.promises.due_deliveries import DueDelivery
from pinset.services.promises.picks_for_promises import GoesTo, goes_to

THURSDAY = date(2026, 3, 12)
FRIDAY, SATURDAY = THURSDAY + timedelta(days=1), THURSDAY + timedelta(days=2)
FRUITING = Step(
    "fruiting", StepKind.FRUIT, Stage.BLOCK, Spread(5, 6, 7), Spread(0, 0, 0), 16.0,
    pick_minutes_per_kg=3.0, yield_g=600.0,
)  # fmt: skip
ROUTE = Route("r", (FRUITING,))
KITCHEN = Promise("kitchen", "kitchen", "grey", 4_000, weekday=Weekday.THU)
INN = Promise("inn", "inn", "grey", 3_000, weekday=Weekday.FRI)
MARKET = Promise("market", "market", "grey", 9_000, weekday=Weekday.SAT)
SPAWN = Promise("spawn", "inn", "grey", 2, "unit", "grain", weekday=Weekday.THU)
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    rooms=(Room("west", "West room", RoomKind.GROWING, 15.0, (Shelf("west-1", 90),)),),
    routes=(ROUTE,),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r", picked_keeps_days=5),),
    buyers=(
        Buyer("kitchen", "Terrace kitchen"),
        Buyer("inn", "The inn", "11:30"),
        Buyer("market", "Market stall", "06:30"),
    ),
    promises=(KITCHEN, INN, MARKET, SPAWN),
)
READER = Reader(BOOK, THURSDAY)
DUE = (
    DueDelivery(KITCHEN, THURSDAY, 0),
    DueDelivery(SPAWN, THURSDAY, 0),
    DueDelivery(INN, FRIDAY, 0),
    DueDelivery(MARKET, SATURDAY, 0),
)


def stored(grams: int, days: int = 1) -> tuple[Picked, ...]:
    return (Picked("grey", THURSDAY - timedelta(days=days), grams),)


def going(grams: float, due: Sequence[DueDelivery], store: Sequence[Picked] = ()) -> GoesTo:
    return goes_to("grey", due, allot(due, store, {"grey": grams}, READER), READER)


def test_what_todays_van_must_take_is_said_with_its_hour() -> None:
    goes = going(3_500, DUE, ())
    assert goes.serves == ("4 kg Grey oyster for Terrace kitchen, due today",)
    assert (goes.due, goes.said) == ("before 14:00", "Terrace kitchen (today)")


def test_several_promises_are_named_with_their_dates() -> None:
    goes = going(12_000, DUE, ())
    assert goes.serves == (
        "4 kg Grey oyster for Terrace kitchen, due today",
        "3 kg Grey oyster for The inn, due tomorrow",
        "9 kg Grey oyster for Market stall, due Saturday 14 March",
    )
    assert goes.said == "Terrace kitchen (today), The inn (tomorrow) and 1 more"


def test_what_is_in_store_goes_first_and_nothing_has_to_hurry_then() -> None:
    goes = going(2_000, DUE, stored(4_000))
    assert goes.serves == ("3 kg Grey oyster for The inn, due tomorrow",)
    assert goes.due == ""


def test_what_no_longer_keeps_is_not_counted_on() -> None:
    assert going(2_000, DUE, stored(4_000, days=6)).due == "before 14:00"


def test_a_van_that_left_early_took_nothing_of_todays_picking() -> None:
    early = (DueDelivery(replace(MARKET, weekday=Weekday.THU), THURSDAY, 0),)
    assert going(2_000, early, ()).serves == ()


def test_what_is_handed_over_or_due_after_it_keeps_is_not_served() -> None:
    done = (DueDelivery(KITCHEN, THURSDAY, 4_000),)
    assert going(2_000, done, ()).serves == ()
    far = (DueDelivery(INN, THURSDAY + timedelta(days=6), 0),)
    assert going(2_000, far, ()).serves == ()


def test_the_pick_job_says_it() -> None:
    lot = LivingLot(
        "AAAAA", "grey", "fruiting", Stage.BLOCK, 20, THURSDAY - timedelta(days=20),
        THURSDAY - timedelta(days=7), "west-1", "west", 15.0, ROUTE,
    )  # fmt: skip
    picks = [ExpectedPick(THURSDAY, "grey", 5_000.0, (LotShare("AAAAA", 20.0),))]
    allotted = allot(DUE, (), expected_today(picks, [lot], READER), READER)
    [job] = picking(picks, [lot], READER, DUE, allotted)
    assert (job.due, len(job.serves)) == ("before 14:00", 2)
    assert job.detail == "Grey oyster, flush 1; for Terrace kitchen (today) and The inn (tomorrow)"
    [job] = picking(picks, [lot], READER)
    assert (job.due, job.serves, job.detail) == ("", (), "Grey oyster, flush 1")


def standing(alive: int, room: str, step: str, days: int) -> LivingLot:
    route = Route("r", (replace(FRUITING, code="block", kind=StepKind.TRANSFER), FRUITING))
    return LivingLot(
        "AAAAA", "grey", step, Stage.BLOCK, alive, THURSDAY - timedelta(days=30),
        THURSDAY - timedelta(days=days), f"{room}-1", room, 15.0, route,
    )  # fmt: skip


def test_only_what_stands_in_a_grow_room_is_picked() -> None:
    picks = [ExpectedPick(THURSDAY, "grey", 3_000.0, (LotShare("AAAAA", 10.0),))]
    parts = [standing(10, "west", "fruiting", 7), standing(40, "loft", "block", 30)]
    for living in (parts, parts[::-1]):
        [job] = picking(picks, living, READER)
        assert [(lot.units, lot.step) for lot in job.lots] == [(10, "fruiting")]
        assert (job.place, job.count) == ("West room", 3)
    assert picking(picks, parts[1:], READER) == ()


def test_what_came_in_lately_is_not_picked_with_the_rest() -> None:
    shares = (LotShare("AAAAA", 10.0), LotShare("AAAAA", 20.0))
    picks = [ExpectedPick(THURSDAY, "grey", 3_000.0, shares)]
    parts = [standing(10, "west", "fruiting", 7), standing(20, "west", "fruiting", 2)]
    [job] = picking(picks, parts, READER)
    assert ([lot.units for lot in job.lots], job.count) == ([10], 1)
    assert picking(picks, parts[1:], READER) == ()


def hanging(ripe: date, reader: Reader) -> PlannedJob:
    lots = (LotShare("AAAAA", 10.0),)
    picks = [ExpectedPick(reader.today, "grey", 3_000.0, lots, ripe_on=ripe, hung=1_200.0)]
    [job] = picking(picks, [standing(10, "west", "fruiting", 12)], reader)
    return job


def test_what_was_left_on_a_day_of_work_is_late_and_says_when_it_is_spoilt() -> None:
    """It ripened the day before yesterday, stands today, and is spoilt tomorrow."""
    reader = Reader(BOOK, FRIDAY)
    job = hanging(FRIDAY - timedelta(days=1), reader)
    assert late_cost(job, 1, FRIDAY) == "1 day late: 1.2 kg of it are spoilt from Sunday"
    job = hanging(FRIDAY - timedelta(days=2), reader)
    assert job.first_day == FRIDAY - timedelta(days=2)
    assert late_cost(job, 2, FRIDAY) == "2 days late: 1.2 kg of it are spoilt from tomorrow"


@pytest.mark.parametrize(("ripe", "stands"), [(SATURDAY, 0), (FRIDAY + timedelta(days=2), 1)])
def test_what_ripened_on_days_off_is_not_late_and_is_spoilt_all_the_same(
    ripe: date, stands: int
) -> None:
    """On Monday; what ripened on Saturday is spoilt on Tuesday."""
    monday = FRIDAY + timedelta(days=3)
    job = hanging(ripe, Reader(BOOK, monday))
    assert (job.first_day, job.slack_days, job.stake) == (None, stands, "1.2 kg")
    from_day = "tomorrow" if stands == 0 else "Wednesday"
    assert spoilt_words(job, monday) == f"1.2 kg of it are spoilt from {from_day}"
    assert late_cost(job, 0, monday) == ""


def test_several_promises_of_a_start_say_when_they_are_due() -> None:
    assert READER.promise_words(["inn"]) == ("3 kg Grey oyster for The inn",)
    once = replace(MARKET, weekday=None, on_date=SATURDAY)
    reader = Reader(replace(BOOK, promises=(INN, once)), THURSDAY)
    assert reader.promise_words(["inn", "market", "inn"]) == (
        "3 kg Grey oyster for The inn, every Friday",
        "9 kg Grey oyster for Market stall, 14 March",
    )
