"""How soon a mix that nobody has begun can be cooked, by its hours, the clock and the people."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.register import (
    CookKind,
    Farm,
    FarmBook,
    Preparation,
    RoomKind,
    Route,
    Spread,
    Step,
    StepKind,
    Steriliser,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.first_cooks import first_cooks
from pinset.planning.problem import Order, Problem, Weights
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import Begun, CookOption, FirstCook, Resources, SteriliserDays
from pinset.planning.solve import solve

MONDAY = date(2026, 3, 2)
FRIDAY = MONDAY + timedelta(days=4)
ROOM = RoomKind.PREPARATION
COOK = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
SOAKED = (
    Preparation("soak", 48.0, 0.0, 10.0, ROOM),
    Preparation("boil", 25.0, 0.0, 60.0, ROOM),
    Preparation("fill", 24.0, 0.0, 30.0, ROOM),
    COOK,
)
MIXED = (
    Preparation("mix", 26.0, 0.0, 60.0, ROOM),
    Preparation("fill", 25.0, 0.0, 90.0, ROOM),
    COOK,
)
STEP = Step(
    "grain", StepKind.TRANSFER, Stage.GRAIN, Spread(8, 10, 12), Spread(0, 0, 0), 24,
    vessel="jar", mix="rye", cook="grain",
)  # fmt: skip


def farm(
    tasks: tuple[Preparation, ...], load_at: str, *, hours: tuple[float, ...] = (8.0,) * 5 + (0, 0)
) -> FarmBook:
    """Return a farm that works from 07:00 to 15:00 from Monday to Friday."""
    days = tuple(day for day in Weekday if hours[day.number] > 0)
    return FarmBook(
        farm=Farm("F", 0.0, "Europe/Vienna", working_days=days, day_starts="07:00"),
        workers=(Worker("w", "W", hours),),
        sterilisers=(
            Steriliser("s", "S", "r", (CookKind("grain", 5, 60, 90, 60),), 10, 1, 1.0, load_at),
        ),
        routes=(Route("r", (replace(STEP, preparations=tasks),)),),
    )


def first(book: FarmBook, today: date = MONDAY, since: float = 0.0) -> int:
    found = {each.mix: each.day for each in first_cooks(book, today, since)}
    return found.get(mix_words(STEP), 0)


@pytest.mark.parametrize(
    ("load_at", "since", "day"),
    [
        # soaked at 07:00, boiled 23 h later at 07:00 (06:00 is before work), filled from 08:00
        ("08:30", 0.0, 1),
        ("08:00", 0.0, 2),  # filled until 08:30: too late for that day's load
        ("13:00", 12.0, 1),  # soaked at 12:00, boiled at 11:00 and filled by 12:30
        ("12:00", 12.0, 2),
        ("08:00", 12.0, 2),
        ("08:00", 14.75, 2),  # soaked by 14:55, boiled at 13:45, filled until 15:15: next morning
        ("07:30", 14.75, 2),  # filled from 07:00 to 07:30
        ("07:15", 14.75, 3),
        ("08:00", 15.0, 3),  # nobody is there any more: soaked on Tuesday
    ],
)
def test_soaked_boiled_and_filled_by_the_hours_of_the_route(
    load_at: str, since: float, day: int
) -> None:
    assert first(farm(SOAKED, load_at), since=since) == day


def test_over_days_off_it_soaks_until_somebody_is_there() -> None:
    """Soaked on Friday, boiled and filled on Monday morning."""
    assert first(farm(SOAKED, "08:30"), FRIDAY) == 3
    assert first(farm(SOAKED, "08:00"), FRIDAY) == 4


def test_on_a_short_day_what_must_last_is_begun_before_its_own_load_hour() -> None:
    """Saturday is 07:00 to 11:00 and loaded at 10:20, not at 13:00.

    What is soaked on Friday noon and filled on Saturday from 07:00 to 11:00 is loaded on Monday.
    """
    tasks = (
        Preparation("soak", 34.0, 0.0, 10.0, ROOM),
        Preparation("fill", 24.0, 0.0, 240.0, ROOM),
        COOK,
    )
    short = farm(tasks, "13:00", hours=(8.0,) * 5 + (4.0, 0.0))
    assert first(short, FRIDAY, 12.0) == 3
    assert first(farm(tasks, "13:00", hours=(8.0,) * 6 + (0.0,)), FRIDAY, 12.0) == 1


def test_a_load_does_not_wait_for_its_filling_until_all_have_left() -> None:
    tasks = (
        Preparation("mix", 26.0, 0.0, 60.0, ROOM),
        Preparation("fill", 25.0, 0.0, 200.0, ROOM),
        COOK,
    )
    saturday = FRIDAY + timedelta(days=1)
    all_day = (replace(tasks[0], minutes_fixed=480.0), COOK)
    assert first(farm(all_day, "13:00")) == 1
    assert first(farm(tasks, "09:00", hours=(8.0,) * 6 + (0.0,)), saturday) == 0
    assert first(farm(tasks, "09:00", hours=(8.0,) * 5 + (4.0, 0.0)), saturday) == 2


def test_a_short_day_boils_and_the_next_fills() -> None:
    """On Tuesday one hour is worked: boiling takes all of it, filling waits until Wednesday."""
    book = farm(SOAKED, "08:30", hours=(8.0, 1.0, 8.0, 8.0, 8.0, 0.0, 0.0))
    assert first(book) == 2


@pytest.mark.parametrize("load_at", ["08:00", "10:30"])
def test_what_need_not_last_may_be_cooked_today(load_at: str) -> None:
    """Its load waits until it is filled, as far as the day's hours go."""
    assert first(farm(MIXED, load_at)) == 0


def test_grain_that_is_only_soaked_soaks_until_it_is_loaded() -> None:
    tasks = (Preparation("soak", 48.0, 0.0, 10.0, ROOM), COOK)
    assert first(farm(tasks, "09:00")) == 1, "26 h after 07:00"
    assert first(farm(tasks, "08:59")) == 2


def test_what_is_soaked_on_the_day_of_its_load_waits_for_no_other_day() -> None:
    """Straw soaks for two hours before it is loaded: the load waits until then."""
    tasks = (
        Preparation("chop", 26.0, 0.0, 30.0, ROOM),
        Preparation("soak", 24.0, 0.0, 10.0, ROOM),
        COOK,
    )
    assert first(farm(tasks, "07:30")) == 0
    assert first(farm(tasks, "10:30")) == 0


def two_mixes(*begun: Begun, oats_first: int = 1, rye_first: int = 2) -> Problem:
    """Return ten jars each of oats and rye, wanted on day 8: started on days 1 to 3."""
    oats, rye = (
        Making(
            "grain", Stage.GRAIN, 5, 10, 1.0, (1, 2, 3), unit_cost=3.0, short_cost=50.0,
            cook="grain", litres=2.0, mix=mix,
        )
        for mix in ("oats", "rye")
    )  # fmt: skip
    kettle = SteriliserDays(
        "kettle", (CookOption("grain", 5.0, 300.0, cost=1.0),), (9.0,) * 14, (1.0,) * 14
    )
    return Problem(
        start=MONDAY,
        days=14,
        whole_days=14,
        recipes=(Recipe("o", "O", 14, (oats,), None), Recipe("r", "R", 14, (rye,), None)),
        orders=tuple(Order(v, "b", v, 8, 10.0, "unit", "grain") for v in ("o", "r")),
        resources=Resources(
            sterilisers=(kettle,),
            is_sterile_counted=True,
            first_cook=(
                FirstCook("grain", oats_first, "oats"),
                FirstCook("grain", rye_first, "rye"),
            ),
            begun=begun,
        ),
        weights=Weights(culture_missing=0.0, end_missing=0.0),
    )


def started(problem: Problem, variety: str, until: int) -> float:
    """Return what is started of a variety up to a day."""
    plan = solve(problem, time_limit_s=5.0)
    last = MONDAY + timedelta(days=until)
    return sum(s.count for s in plan.starts if s.variety == variety and s.day <= last)


def test_what_is_begun_of_one_mix_cooks_none_of_another() -> None:
    soaked = Begun("grain", 20.0, 0, 1, "oats")
    assert started(two_mixes(soaked), "r", 2) == 0.0
    assert started(two_mixes(soaked, oats_first=4, rye_first=4), "o", 3) == pytest.approx(10.0)
    assert started(two_mixes(soaked, oats_first=4, rye_first=4), "r", 3) == 0.0


@pytest.mark.parametrize(("jars", "made"), [(8.0, 8.0), (0.0, 0.0), (12.0, 10.0)])
def test_a_batch_is_started_as_far_as_it_was_begun(jars: float, made: float) -> None:
    """Eight of ten jars of rye are soaked for today; no new soak is in time for day 3."""
    begun = Begun("grain", 2.0 * jars, 0, 1, "rye")
    assert started(two_mixes(begun, rye_first=3), "r", 3) == pytest.approx(made)


def test_what_is_begun_is_counted_once_though_it_keeps_for_two_days() -> None:
    begun = Begun("grain", 8.0, 0, 1, "rye")
    assert started(two_mixes(begun, oats_first=4, rye_first=4), "r", 3) == pytest.approx(4.0)


def test_a_cook_of_a_day_holds_no_mix_that_cannot_be_ready_on_it() -> None:
    """Oats can be cooked from day 1, rye from day 2: a cook of day 1 gives no rye on day 2."""
    assert started(two_mixes(), "r", 2) == 0.0
    assert started(two_mixes(), "r", 3) == pytest.approx(10.0)
