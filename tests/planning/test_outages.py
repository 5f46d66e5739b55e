"""What is out of use on a day is not planned with; the plan still comes and says what is short."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import Buyer, FarmBook, Promise, RoomKind, Weekday
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan
from pinset.planning.problem import Order, Problem
from pinset.planning.resources import GrowRoom, Resources, RoomPlaces
from pinset.planning.solve import solve
from planning.small_farm import bought_route, small_farm
from planning.test_places import DAYS, spawn_seller

THURSDAY = date(2026, 3, 12)


def on(days: int) -> date:
    return THURSDAY + timedelta(days=days)


def out(what: OutageOf, which: str, first: int, last: int) -> Outage:
    return Outage(f"{which}-{first}", what, which, on(first), on(last))


def book(*outages: Outage) -> FarmBook:
    promise = Promise("p", "kitchen", "bought", 5000, weekday=Weekday.WED)
    return replace(
        small_farm(bought_route()),
        buyers=(Buyer("kitchen", "A kitchen"),),
        promises=(promise,),
        outages=outages,
    )


def blocks(book: FarmBook, made: int) -> LivingLot:
    return LivingLot(
        code="B1",
        variety="bought",
        step="block",
        stage=Stage.BLOCK,
        alive=40,
        made_on=on(-made),
        step_since=on(-made),
        place="i",
        room="inc",
        temperature_c=22.0,
        route=book.routes[0],
    )


def problem_of(book: FarmBook, *living: LivingLot) -> tuple[Problem, tuple[str, ...]]:
    return build_problem(book, living, THURSDAY, assume_prepared=False)


def plan_of(book: FarmBook, *living: LivingLot) -> Plan:
    return solve(problem_of(book, *living)[0], time_limit_s=10.0)


def test_a_steriliser_that_is_down_cooks_nothing_and_what_is_short_says_so() -> None:
    """Blocks are started on Thursdays and vessels keep three days: no start on 19 March.

    Its blocks would be picked on 13 April; those of the week after come on the 20th, too late for
    the 5 kg of Wednesday 15 April, which hang on that start alone.
    """
    whole = plan_of(book())
    down = plan_of(book(out(OutageOf.STERILISER, "steamer", 0, 7)))
    assert any(cook.day <= on(7) for cook in whole.cooks)
    assert down.cooks
    assert min(cook.day for cook in down.cooks) > on(7)
    assert sum(s.amount for s in whole.short if s.day == date(2026, 4, 15)) <= 50.0
    [short] = [s for s in down.short if s.day == date(2026, 4, 15)]
    assert short.amount == pytest.approx(5000.0)
    assert "the steriliser has no time for block cooks" in short.reason


@pytest.mark.parametrize("what", [OutageOf.ROOM, OutageOf.STERILISER])
def test_a_steriliser_is_out_with_its_room(what: OutageOf) -> None:
    which = "inc" if what is OutageOf.ROOM else "steamer"
    problem, _ = problem_of(book(out(what, which, 4, 6)))
    [row] = problem.resources.sterilisers
    assert row.hours[:9] == (12.0, 12.0, 0.0, 0.0, 0.0, 0.0, 0.0, 12.0, 12.0)
    bench = problem.resources.bench_minutes[:9]
    is_bench_out = what is OutageOf.ROOM
    assert (bench[5] == 0.0) is is_bench_out


def test_days_on_which_everybody_is_away_are_days_off() -> None:
    problem, _ = problem_of(book(out(OutageOf.PERSON, "me", 5, 6)))
    assert problem.resources.hands_minutes[4:8] == (465.0, 0.0, 0.0, 465.0)
    assert problem.resources.laboratory_minutes[4:8] == (480.0, 0.0, 0.0, 480.0)
    [recipe] = problem.recipes
    assert not {5, 6} & {day for making in recipe.makings for day in making.start_days}


def test_another_person_s_minutes_stay() -> None:
    two = book(out(OutageOf.PERSON, "me", 5, 6))
    two = replace(two, workers=(*two.workers, replace(two.workers[0], code="ben", name="Ben")))
    problem, _ = problem_of(two)
    assert problem.resources.laboratory_minutes[4:8] == (960.0, 480.0, 480.0, 960.0)
    assert 7 in problem.recipes[0].makings[1].start_days  # Thursday, their day


def test_nothing_is_moved_into_a_grow_room_that_will_be_out_and_what_stands_there_is_said() -> None:
    ready = blocks(book(), 14)
    assert plan_of(book(), ready).moves
    closed = book(out(OutageOf.ROOM, "grow", 0, 20))
    assert not [move for move in plan_of(closed, ready).moves if move.day <= on(20)]
    _, said = problem_of(book(out(OutageOf.ROOM, "inc", 2, 3)), ready)
    assert [s for s in said if s.startswith("Incubation is out of use from 14 March")]
    assert any("40 units stand in it today" in s for s in said)
    _, said = problem_of(closed, ready)
    assert not any("stand in it" in s for s in said)  # nothing is in the grow room


def test_a_room_in_use_again_takes_what_waits() -> None:
    row = tuple(0.0 if 2 <= day <= 8 else 10.0 for day in range(DAYS))
    room = GrowRoom("grow", 10.0, (), row)
    assert [room.on(day) for day in (1, 2, 8, 9, DAYS + 5)] == [10.0, 0.0, 0.0, 10.0, 10.0]


@pytest.mark.parametrize(("first", "last", "fit"), [(0, 6, 0.0), (4, 9, 0.0), (20, 24, 2.0)])
def test_shelves_out_of_use_take_no_new_jars(first: int, last: int, fit: float) -> None:
    """Ten places, eight of them taken; ten jars wanted on day 12 stand six days before."""
    row = tuple(0.0 if first <= day <= last else 10.0 for day in range(DAYS))
    resources = Resources(places=(RoomPlaces(RoomKind.INCUBATION, 10.0, row),))
    problem = spawn_seller(keeps=25, resources=resources)
    problem = replace(problem, orders=(Order("p", "a kitchen", "rye", 12, 10.0, "unit", "grain"),))
    plan = solve(problem, time_limit_s=5.0)
    early = [start for start in plan.starts if (start.day - THURSDAY).days <= 6]
    assert sum(start.count for start in early) == pytest.approx(fit)
