"""A grow room that can be kept for one variety or another, never for both on one day.

Days, climates and weights are made up and few enough to be reckoned by hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.stages import Stage
from pinset.planning.plan import Lapse, Plan
from pinset.planning.problem import InRoom, Order, Problem, Stock
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.season.plan import planned_days
from pinset.planning.season.rooms import GrowRooms
from pinset.planning.solve import solve
from planning.simulator import replay

TODAY = date(2026, 3, 2)
DAYS = 56
ROOM = GrowRoom("g", 40.0, ("cool", "warm"), name="Grow room")
STAYS = 8  # days in the room: blocks bear 500 g each on the seventh day after they moved in
OYSTER, SHIITAKE = "oyster", "shiitake"


def recipe(variety: str, name: str, climate: str, words: str, rooms: tuple[str, ...]) -> Recipe:
    block = Making("block", Stage.BLOCK, 20, 10, 1.0, (), unit_cost=1.0)
    fruiting = Fruiting(
        "fruiting",
        "block",
        tuple(range(DAYS)),
        STAYS,
        (Picking(STAYS - 1, 500.0),),
        rooms,
        climate=climate,
        climate_words=words,
    )
    return Recipe(variety, name, DAYS, (block,), fruiting)


def farm(
    *,
    ready: dict[str, tuple[float, int, int]],
    orders: dict[str, tuple[int, float]],
    inside: tuple[InRoom, ...] = (),
    rooms: tuple[GrowRoom, ...] = (ROOM,),
) -> Problem:
    """Return a farm of two varieties; ready blocks are (units, from day, last day)."""
    codes = tuple(room.code for room in rooms)
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(
            recipe(OYSTER, "Grey oyster", "cool", "cool (16 °C)", codes),
            recipe(SHIITAKE, "Shiitake", "warm", "warm (20 °C)", codes),
        ),
        orders=tuple(
            Order(f"p-{variety}", "market", variety, day, 1000.0 * kilograms)
            for variety, (day, kilograms) in orders.items()
        ),
        stock=tuple(
            Stock(variety[0].upper(), variety, "block", units, first, last, alive=units)
            for variety, (units, first, last) in ready.items()
        ),
        in_rooms=inside,
        resources=Resources(rooms=rooms),
        has_end_stock=False,
    )


def standing(variety: str, climate: str, leaves: int, room: str = "g") -> InRoom:
    picks = (Picking(leaves - 1, 10_000.0),)
    return InRoom("STANDS", variety, room, 20.0, 20.0, leaves, picks, climate)


def moved(plan: Plan, variety: str) -> dict[int, float]:
    return {(m.day - TODAY).days: m.count for m in plan.moves if m.variety == variety}


def test_the_room_is_free_for_the_other_climate_on_the_day_it_is_empty() -> None:
    """Oysters leave on day 9, shiitake blocks keep until day 11: they can all go in between."""
    problem = farm(
        ready={SHIITAKE: (40.0, 0, 11)},
        orders={SHIITAKE: (18, 20.0)},
        inside=(standing(OYSTER, "cool", 9),),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert not plan.short
    assert sum(moved(plan, SHIITAKE).values()) == 40.0
    assert all(9 <= day <= 11 for day in moved(plan, SHIITAKE))
    assert not replay(problem, plan).clashes


def test_what_stands_there_keeps_its_climate_though_nothing_more_of_it_is_moved() -> None:
    """Shiitake blocks keep until day 5 only, and oysters that nobody plans for stand until 9."""
    problem = farm(
        ready={SHIITAKE: (20.0, 0, 5)},
        orders={SHIITAKE: (12, 10.0)},
        inside=(standing(OYSTER, "cool", 9),),
    )
    plan = solve(replace(problem, recipes=problem.recipes[1:]), time_limit_s=5.0)
    assert not moved(plan, SHIITAKE)
    assert [short.reason_code for short in plan.short] == [ShortReason.CLIMATE]


def both_ready() -> Problem:
    """Return 40 blocks of each ready, of which only one kind can go in before both lapse."""
    return farm(
        ready={OYSTER: (40.0, 0, 5), SHIITAKE: (40.0, 0, 5)},
        orders={OYSTER: (12, 20.0), SHIITAKE: (12, 12.0)},
    )


def test_one_climate_at_a_time_and_the_reason_names_it() -> None:
    plan = solve(both_ready(), time_limit_s=5.0)
    assert not replay(both_ready(), plan).clashes
    assert sum(moved(plan, OYSTER).values()) == 40.0
    assert not moved(plan, SHIITAKE)
    (short,) = plan.short
    assert (short.variety, short.reason_code) == (SHIITAKE, ShortReason.CLIMATE)
    assert not short.is_unavoidable
    assert "Grow room is kept cool (16 °C) for Grey oyster until" in short.reason
    assert "Shiitake needs warm (20 °C)" in short.reason
    assert "places kept warm (20 °C)" in short.reason
    assert "What is alive now" not in short.reason
    assert "full" not in short.reason


def test_blocks_that_lapse_by_it_are_told_with_the_reason_and_what_would_help() -> None:
    (lapse,) = solve(both_ready(), time_limit_s=5.0).lapses
    assert (lapse.variety, lapse.units, lapse.lots) == (SHIITAKE, 40.0, ("S",))
    assert lapse.last_day == TODAY + timedelta(days=5)
    assert lapse.cause is ShortReason.CLIMATE
    assert "40 blocks of Shiitake (S) keep until 7 March" in lapse.words
    assert "Grow room is kept cool (16 °C) for Grey oyster until" in lapse.words
    assert "Shiitake needs warm (20 °C)" in lapse.words
    assert "would save them" in lapse.words


def test_blocks_that_nobody_needs_are_told_as_such() -> None:
    problem = farm(
        ready={OYSTER: (40.0, 0, 5), SHIITAKE: (40.0, 0, 5)}, orders={OYSTER: (12, 20.0)}
    )
    (lapse,) = solve(problem, time_limit_s=5.0).lapses
    assert lapse.cause is ShortReason.NOT_NEEDED
    assert "nothing promised needs them" in lapse.words
    assert "Grow room is kept" not in lapse.words


def test_blocks_that_find_no_place_among_their_own_climate() -> None:
    problem = farm(ready={OYSTER: (70.0, 0, 5)}, orders={OYSTER: (12, 35.0)})
    plan = solve(problem, time_limit_s=5.0)
    (short,) = plan.short
    assert short.reason_code is ShortReason.FULL
    assert "cannot be" not in short.reason
    assert "is kept" not in short.reason
    (lapse,) = plan.lapses
    assert (lapse.units, lapse.cause) == (30.0, ShortReason.FULL)
    assert "Grow room is full" in lapse.words


def test_enough_places_leave_nothing_to_lapse() -> None:
    second = replace(ROOM, code="h", name="Second room")
    problem = farm(
        ready={OYSTER: (40.0, 0, 5), SHIITAKE: (40.0, 0, 5)},
        orders={OYSTER: (12, 20.0), SHIITAKE: (12, 20.0)},
        rooms=(ROOM, second),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert (plan.short, plan.lapses) == ((), ())


def test_the_plan_says_which_climate_on_which_days() -> None:
    problem = farm(
        ready={SHIITAKE: (40.0, 0, 11)},
        orders={SHIITAKE: (18, 20.0)},
        inside=(standing(OYSTER, "cool", 9),),
    )
    first, second = solve(problem, time_limit_s=5.0).climates
    assert (first.room, first.climate, first.since) == ("g", "cool", TODAY)
    assert first.until == TODAY + timedelta(days=8)
    assert not first.is_set
    assert (second.climate, second.words) == ("warm", "warm (20 °C)")
    assert second.is_set
    assert second.varieties == ("Shiitake",)
    assert TODAY + timedelta(days=9) <= second.since <= TODAY + timedelta(days=11)


def test_rooms_without_a_list_of_climates_are_kept_for_one_at_a_time_each() -> None:
    """Two such rooms: one for each; three kinds of them do not halve a room."""
    one, two = GrowRoom("g", 40.0), GrowRoom("h", 40.0)
    problem = farm(
        ready={OYSTER: (40.0, 0, 5), SHIITAKE: (60.0, 0, 5)},
        orders={OYSTER: (12, 20.0), SHIITAKE: (12, 30.0)},
        rooms=(one, two),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert not replay(problem, plan).clashes
    assert sum(moved(plan, OYSTER).values()) == 40.0
    assert sum(moved(plan, SHIITAKE).values()) == 40.0
    assert sum(short.amount for short in plan.short) == pytest.approx(10_000.0)


def test_seasons_do_not_move_late_blocks_into_the_other_climate() -> None:
    problem = both_ready()
    plan = solve(problem, time_limit_s=5.0)
    rooms = GrowRooms(problem, 3, DAYS, planned_days(problem, plan).kept)
    assert rooms.is_open(0, 0)
    assert not rooms.is_open(1, 0)
    assert rooms.is_open(1, (plan.climates[0].until - TODAY).days + 1)


def test_a_lapse_is_kept_with_the_plan() -> None:
    plan = solve(both_ready(), time_limit_s=5.0)
    assert isinstance(plan.lapses[0], Lapse)
    assert from_plain(Plan, to_plain(plan)) == plan
