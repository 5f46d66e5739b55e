"""What stands today takes its place and its vessel whether anybody needs it or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, RoomKind, StepKind, Vessel
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.problem import Order, Problem, Stock
from pinset.planning.recipes import Arc, Making, Recipe, Stay
from pinset.planning.resources import Resources, RoomPlaces, VesselCount
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

DAYS = 30


def spawn_seller(*, keeps: int, resources: Resources, lead: int = 6) -> Problem:
    """Return eight old jars of millet that nobody ordered, and ten of rye ordered for day 12."""
    stay = (Stay("grain", RoomKind.INCUBATION, 1.0, 0, lead),)

    def recipe(variety: str) -> Recipe:
        grain = Making(
            "grain",
            Stage.GRAIN,
            lead,
            20,
            1.0,
            tuple(range(DAYS)),
            vessel="jar",
            stays=stay,
            waits_places=1.0,
            unit_cost=1.0,
            short_cost=50.0,
            cook_days_before=1,
        )
        return Recipe(variety, variety, DAYS, (grain,))

    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(recipe("millet"), recipe("rye")),
        orders=(Order("p", "a kitchen", "rye", 12, 10.0, "unit", "grain", 10.0),),
        stock=(Stock("M1", "millet", "grain", 8.0, -1, keeps),),
        resources=resources,
        has_end_stock=False,
    )


ROOM = Resources(places=(RoomPlaces(RoomKind.INCUBATION, 10.0),))
JARS = Resources(vessels=(VesselCount("jar", 10.0),))


@pytest.mark.parametrize("resources", [ROOM, JARS])
@pytest.mark.parametrize(("keeps", "fit"), [(25, 2.0), (3, 10.0)])
def test_what_nobody_ordered_is_in_the_way_until_its_time_is_over(
    resources: Resources, keeps: int, fit: float
) -> None:
    plan = solve(spawn_seller(keeps=keeps, resources=resources), time_limit_s=5.0)
    made = sum(start.count for start in plan.starts if start.day <= TODAY + timedelta(days=6))
    assert made == pytest.approx(fit)
    assert sum(short.amount for short in plan.short) == pytest.approx(10.0 - fit)


def test_a_room_fuller_than_it_is_takes_nothing_more_and_still_has_a_plan() -> None:
    full = Resources(places=(RoomPlaces(RoomKind.INCUBATION, 5.0),))
    plan = solve(spawn_seller(keeps=25, resources=full), time_limit_s=5.0)
    assert not plan.starts
    assert [short.amount for short in plan.short] == [10.0]
    assert "places in incubation" in plan.short[0].reason


def test_vessels_are_taken_from_the_day_they_are_filled() -> None:
    """Five jars cooked a day ahead: of six days' growing, only every seventh can start."""
    problem = spawn_seller(keeps=-1, resources=Resources(vessels=(VesselCount("jar", 5.0),)))
    problem = replace(problem, stock=())
    plan = solve(problem, time_limit_s=5.0)
    days = [(s.day - TODAY).days for s in plan.starts for _ in range(round(s.count))]
    for day in range(DAYS):
        assert sum(t - 1 <= day < t + 6 for t in days) <= 5


def held_farm() -> tuple[FarmBook, tuple[LivingLot, ...]]:
    book = six_variety_book()
    route = next(r for r in book.routes if any(s.vessel for s in r.steps))
    vessel = next(s.vessel for s in route.steps if s.vessel)
    own = tuple(
        replace(v, in_circulation=500) if v.code == vessel else v for v in book.vessels
    ) or (Vessel(vessel, vessel, 1.0, in_circulation=500),)
    return replace(book, vessels=own), six_variety_stock()


def test_lots_held_back_keep_their_vessels() -> None:
    book, lots = held_farm()
    before = {v.code: v.count for v in build_problem(book, lots, TODAY)[0].resources.vessels}
    code = next(iter(before))
    making = {
        (route.code, step.code) for route in book.routes for step in route.steps
        if step.vessel == code
    }  # fmt: skip
    mine = next(lot for lot in lots if (lot.route.code, lot.step) in making)
    held = tuple(replace(lot, held="a smell") if lot is mine else lot for lot in lots)
    after = {v.code: v.count for v in build_problem(book, held, TODAY)[0].resources.vessels}
    assert after[code] == before[code] - mine.alive


def test_nothing_is_delivered_on_a_day_off() -> None:
    book = six_variety_book()
    ordinary, _ = build_problem(book, (), TODAY)

    def deliveries(problem: Problem) -> set[date]:
        return {
            problem.date_of(making.ready(day))
            for recipe in problem.recipes
            for making in recipe.makings
            if making.is_purchase
            for day in making.start_days
        }

    off = min(deliveries(ordinary))
    closed, _ = build_problem(replace(book, farm=replace(book.farm, days_off=(off,))), (), TODAY)
    assert off not in deliveries(closed)
    assert deliveries(closed)


def test_parents_used_up_make_room() -> None:
    """Jars opened for blocks leave the shelf; what is not opened stays."""
    stays = (Stay("block", RoomKind.INCUBATION, 1.0, 0, 5),)
    grain = Making("grain", Stage.GRAIN, 6, 20, 1.0, (), waits_places=1.0)
    block = Making(
        "block", Stage.BLOCK, 5, 9, 1.0, tuple(range(DAYS)), arcs=(Arc("grain", 2.0),),
        stays=stays, waits_places=1.0, unit_cost=1.0, short_cost=50.0,
    )  # fmt: skip
    problem = Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(Recipe("rye", "rye", DAYS, (grain, block)),),
        orders=(Order("p", "a kitchen", "rye", 8, 10.0, "unit", "block", 10.0),),
        stock=(Stock("R1", "rye", "grain", 8.0, 0, 25),),
        resources=ROOM,
        has_end_stock=False,
    )
    plan = solve(problem, time_limit_s=5.0)
    for day in range(9):  # blocks under way and kept until they are sold on day 8
        begun = [s for s in plan.starts if (s.day - TODAY).days <= day]
        jars = 8.0 - sum(parent.units for s in begun for parent in s.parents)
        assert jars + (sum(s.count for s in begun) if day < 8 else 0.0) <= 10.0
    # without opening anything two fit, with half as many jars opened four, more with jars half used
    assert 4.0 <= sum(s.count for s in plan.starts) <= 8.0


def test_a_part_of_a_tube_can_be_taken_in_the_first_days() -> None:
    """Plates from a slant: whole plates, a part of the tube, on any day."""
    tube = Making("tube", Stage.TUBE, 15, 100, 1.0, ())
    plate = Making(
        "plate", Stage.PLATE, 5, 30, 1.0, tuple(range(DAYS)), unit_cost=1.0, short_cost=50.0,
        arcs=(Arc("tube", 8.0, part_use=True),),
    )  # fmt: skip
    problem = Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(Recipe("rye", "rye", DAYS, (tube, plate)),),
        orders=(Order("p", "a laboratory", "rye", 7, 5.0, "unit", "plate", 5.0),),
        stock=(Stock("T1", "rye", "tube", 1.0, 0, 90),),
        has_end_stock=False,
    )
    plan = solve(problem, time_limit_s=5.0)
    assert not plan.short
    (start,) = plan.starts
    assert start.count == 5.0
    assert start.parents[0].units == pytest.approx(5.0 / 8.0)


@pytest.mark.parametrize(
    ("floor_c", "store_c", "waits"),
    [(10.0, 4.0, RoomKind.INCUBATION), (10.0, 12.0, RoomKind.COLD), (None, 4.0, RoomKind.COLD)],
)
def test_bought_spawn_does_not_wait_in_a_store_that_kills_it(
    floor_c: float | None, store_c: float, waits: RoomKind
) -> None:
    book = six_variety_book()
    rooms = tuple(
        replace(room, temperature_c=store_c) if room.kind is RoomKind.COLD else room
        for room in book.rooms
    )
    bought = next(
        (variety, step)
        for variety in book.varieties
        for route in book.routes
        if route.code == variety.route
        for step in route.steps
        if step.kind is StepKind.BUY
    )
    variety, step = bought
    route = next(route for route in book.routes if route.code == variety.route)
    changed = replace(step, cold_min_c=floor_c, keeps_days_cold=60.0, room=RoomKind.COLD)
    steps = tuple(changed if each is step else each for each in route.steps)
    routes = tuple(replace(r, steps=steps) if r is route else r for r in book.routes)
    problem, _ = build_problem(replace(book, rooms=rooms, routes=routes), (), TODAY)
    recipe = next(r for r in problem.recipes if r.variety == variety.code)
    making = recipe.making(step.code)
    assert making is not None
    assert making.waits_in is waits
