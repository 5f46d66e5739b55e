"""Living lots as the planner sees them: when usable, how long, what still comes of them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot, Stood
from pinset.chain.register import FarmBook, Route, Spread, Weekday
from pinset.chain.stages import Stage
from pinset.planning.building.cold_places import with_places
from pinset.planning.building.from_book import build_problem
from pinset.planning.building.from_stock import first_out_first
from pinset.planning.problem import InRoom, Problem, Stock
from pinset.planning.reading.explain import day_in_words
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book

BOOK = six_variety_book()


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def route(code: str) -> Route:
    return next(each for each in BOOK.routes if each.code == code)


def lot(step: str, since: int, *, variety: str = "grey-oyster", alive: int = 10) -> LivingLot:
    stage = route(variety).step(step).stage
    return LivingLot(
        code="LOT",
        variety=variety,
        step=step,
        stage=stage,
        alive=alive,
        made_on=ago(since),
        step_since=ago(since),
        place="",
        room="g1" if step == "fruiting" else "inc",
        temperature_c=22.0,
        route=route(variety),
        made=alive,
    )


def problem_with(
    *lots: LivingLot, not_carried: Collection[str] = ()
) -> tuple[Problem, tuple[str, ...]]:
    return build_problem(BOOK, lots, TODAY, not_carried=not_carried)


def only_stock(one: LivingLot) -> Stock:
    problem, _ = problem_with(one)
    (found,) = problem.stock
    return found


def only_room(one: LivingLot) -> InRoom:
    problem, _ = problem_with(one)
    (found,) = problem.in_rooms
    return found


def test_a_growing_lot_is_ready_when_its_days_are_over_and_loses_the_rest() -> None:
    found = only_stock(lot("block", 10))
    assert found.ready_day == 7  # 17 days from then
    assert 10 * 0.95 < found.units < 10
    assert found.last_day <= found.ready_day + 7
    assert found.stays[0].until_day == 7


def test_a_person_s_judgement_overrules_the_route() -> None:
    found = only_stock(replace(lot("block", 10), expected_ready_on=TODAY + timedelta(days=2)))
    assert found.ready_day == 2


def test_what_is_to_be_used_first_is_marked_and_keeps_as_long_as_before() -> None:
    spawn = lot("grain", 20)
    first = only_stock(replace(spawn, use_by=TODAY + timedelta(days=4)))
    assert first == replace(only_stock(spawn), is_first=True)


def test_ripening_still_to_come_is_added() -> None:
    found = only_stock(lot("block", 18, variety="shiitake"))
    assert found.ready_day == 85
    assert found.step == "block"
    assert found.stays[-1].step == "ripening"
    assert found.stays[-1].is_move


def test_spawn_that_waited_warm_takes_its_share_of_life_into_the_cold() -> None:
    fresh = only_stock(lot("grain", 11))
    half = only_stock(lot("grain", 18))
    assert fresh.last_day == 42
    assert 15 <= half.last_day <= 21
    assert half.ready_day == -7


@pytest.mark.parametrize(
    ("keeps", "since", "is_offered"), [(10, 95, True), (10, 105, False), (0, 105, True)]
)
def test_blocks_that_stood_too_long_are_not_made_young_by_ripening(
    keeps: float, since: int, *, is_offered: bool
) -> None:
    """Colonised on day 90 and then good for so many days; 0: the route says nothing of it."""
    old = lot("block", since, variety="shiitake")
    steps = tuple(
        replace(step, days=Spread(90, 90, 90), keeps_days_warm=keeps)
        if step.code == "block"
        else step
        for step in old.route.steps
    )
    problem, remarks = problem_with(replace(old, route=replace(old.route, steps=steps)))
    assert bool(problem.stock) is is_offered
    assert any("past its time" in remark for remark in remarks) is not is_offered


def test_past_its_time_is_said() -> None:
    problem, remarks = problem_with(lot("block", 40))
    assert not problem.stock
    assert any("past its time" in remark for remark in remarks)


def test_too_cold_is_said() -> None:
    problem, remarks = problem_with(
        replace(lot("grain", 12, variety="pink-oyster"), temperature_c=4.0)
    )
    assert not problem.stock
    assert any("too cold" in remark for remark in remarks)


def test_an_opened_vessel_keeps_shorter_and_the_sealed_ones_do_not() -> None:
    own = route("grey-oyster")
    steps = tuple(
        replace(step, opened_keeps_days=5.0) if step.code == "grain" else step for step in own.steps
    )
    sealed = replace(lot("grain", 12), route=replace(own, steps=steps), temperature_c=4.0)
    parts = (replace(sealed, alive=1, opened_on=ago(2)), replace(sealed, alive=9))
    problem, _ = problem_with(*parts)
    short, rest = sorted(problem.stock, key=lambda each: each.last_day)
    assert (short.units, short.last_day) == (1.0, 3)
    assert rest.units == pytest.approx(9.0)


def test_no_lot_is_kept_longer_than_one_that_comes_after_it() -> None:
    problem, _ = problem_with()
    stock = [
        Stock("old", "grey-oyster", "block", 5.0, -2, 60),
        Stock("new", "grey-oyster", "block", 5.0, 4, 9),
        Stock("ready-too", "grey-oyster", "block", 5.0, 0, 3),
    ]
    kept = {each.lot: each.last_day for each in first_out_first(stock, problem.recipes)}
    assert kept == {"old": 9, "new": 9, "ready-too": 3}


def test_units_without_a_pick_bring_their_whole_curve() -> None:
    found = only_room(lot("fruiting", 3))
    grams = sum(pick.grams for pick in found.picks)
    assert grams == pytest.approx(10 * 650 * 0.95 * (0.65 * 0.98 + 0.35 * 0.94))
    assert found.picks[0].day == 4
    assert found.leaves_day == found.picks[-1].day + 1


def test_a_late_first_flush_is_expected_today_and_a_stale_one_not_at_all() -> None:
    late = only_room(lot("fruiting", 12))
    assert late.picks[0].day == 0
    problem, remarks = problem_with(lot("fruiting", 60))
    assert not problem.in_rooms[0].picks
    assert any("should have been picked" in remark for remark in remarks)


@pytest.mark.parametrize(("ahead", "first"), [(1, 1), (9, 9), (-3, 0)])
def test_a_person_s_day_for_the_first_flush_overrules_the_route(ahead: int, first: int) -> None:
    usual = only_room(lot("fruiting", 3)).picks
    expected = TODAY + timedelta(days=ahead)
    found = only_room(replace(lot("fruiting", 3), expected_ready_on=expected))
    assert found.picks[0].day == first
    moved = [pick.day - found.picks[0].day for pick in found.picks]
    assert moved == [pick.day - usual[0].day for pick in usual], "later flushes follow it"
    assert found.waits_days is None, "its day is known"


def test_a_day_for_the_first_flush_that_is_long_past_is_stale() -> None:
    long_ago = replace(lot("fruiting", 40), expected_ready_on=ago(20))
    assert only_room(long_ago).picks == ()


@pytest.mark.parametrize("ahead", [2, 6, 20])
def test_a_person_s_day_for_the_next_flush_overrules_the_gap(ahead: int) -> None:
    """The first flush was picked two days ago; by its route the second comes in ten."""
    done = replace(lot("fruiting", 12), flush=1, last_picked_on=ago(2), picked_g=4100, flush_g=4100)
    expected = TODAY + timedelta(days=ahead)
    picks = only_room(replace(done, expected_ready_on=expected)).picks
    usual = only_room(done).picks
    assert picks[0].day == ahead
    assert sum(p.grams for p in picks) == pytest.approx(sum(p.grams for p in usual))


def test_what_a_flush_still_has_is_picked_before_the_next_one_that_a_person_expects() -> None:
    partly = replace(
        lot("fruiting", 8), flush=1, last_picked_on=ago(0), picked_g=1300, flush_g=1300
    )
    picks = only_room(replace(partly, expected_ready_on=TODAY + timedelta(days=3))).picks
    assert [pick.day for pick in picks if pick.flush == 1] == [1, 2], "a day's picking was taken"
    assert next(pick.day for pick in picks if pick.flush == 2) == 3


def test_what_was_picked_is_not_expected_again() -> None:
    done = replace(lot("fruiting", 12), flush=1, last_picked_on=ago(2), picked_g=4100, flush_g=4100)
    found = only_room(done)
    assert {pick.flush for pick in found.picks} == {2}
    assert found.picks[0].day == 12 - 2
    partly = replace(
        lot("fruiting", 8), flush=1, last_picked_on=ago(0), picked_g=1300, flush_g=1300
    )
    picks = only_room(partly).picks
    assert picks[0].flush == 1
    assert picks[0].day == 1
    assert 0 < picks[0].grams < 4100 - 1300


def test_what_hung_over_days_off_is_there_on_the_next_working_day() -> None:
    """Monday, last picked on Friday; the flush ran to Saturday or Sunday, when nobody was there."""
    curve = [pick.day for pick in only_room(lot("fruiting", 0)).picks if pick.flush == 1]
    monday = TODAY + timedelta(days=(7 - TODAY.weekday()) % 7)
    days_in = curve[-1] + 1  # its last day was yesterday
    left = replace(
        lot("fruiting", 0),
        step_since=monday - timedelta(days=days_in),
        flush=1,
        last_picked_on=monday - timedelta(days=3),
        flush_g=1000,
        picked_g=1000,
    )

    def first_flush(book: FarmBook) -> set[int]:
        problem, _ = build_problem(book, (left,), monday)
        gathered = problem.gathered(problem.in_rooms[0].picks)
        return {day for day, pick in gathered if pick.flush == 1}

    assert first_flush(BOOK) == {0}
    always = replace(BOOK, farm=replace(BOOK.farm, working_days=tuple(Weekday)))
    at_work = tuple(replace(worker, hours=(8.0,) * 7) for worker in BOOK.workers)
    # whoever was there on Saturday and left it: what ripened then stands for two days
    assert first_flush(replace(always, workers=at_work)) == {0}


def test_a_rich_first_flush_takes_nothing_from_the_second() -> None:
    second = replace(
        lot("fruiting", 20), flush=2, last_picked_on=ago(1), picked_g=9000, flush_g=400
    )
    picks = only_room(second).picks
    assert {pick.flush for pick in picks} == {2}
    brings = 10 * 650 * 0.95 * 0.35
    assert 500 < sum(pick.grams for pick in picks) <= brings - 400
    assert picks[0].day == 0


def test_flushes_picked_before_the_lot_was_written_down_are_not_expected_again() -> None:
    told = replace(lot("fruiting", 12), flush=1, picked_g=4100)
    assert {pick.flush for pick in only_room(told).picks} == {2}


def test_lots_of_an_unknown_step_are_said() -> None:
    other = replace(
        route("grey-oyster"), steps=(replace(route("grey-oyster").steps[3], code="old"),)
    )
    strange = replace(lot("sawdust", 5), step="old", route=other, stage=Stage.SAWDUST)
    _, remarks = problem_with(strange)
    assert any("no longer has" in remark for remark in remarks)


def test_units_that_came_after_the_last_pick_have_all_their_flushes_to_come() -> None:
    new = lot("fruiting", 2)
    others = replace(new, flush=1, flush_g=900, picked_g=900, last_picked_on=ago(3))
    assert only_room(others).picks == only_room(new).picks
    assert only_room(replace(others, last_picked_on=ago(1))).picks != only_room(new).picks


def test_spawn_that_was_carried_late_has_the_rest_of_its_life_in_the_cold() -> None:
    """It stood ready for a week of its 14 days at 23 °C before it was carried to 4 °C."""
    own = lot("grain", 25)
    at_once = replace(own, temperature_c=4.0, room="cold", stood=(Stood(ago(14), 23.0),))
    late = replace(own, temperature_c=4.0, room="cold", stood=(Stood(ago(7), 23.0),))
    [first, second] = [only_stock(each) for each in (at_once, late)]
    keeps = first.last_day + 14
    assert keeps == 42
    assert second.last_day == -7 + keeps // 2


def cold(alive: int, since: int = 18) -> LivingLot:
    """Return jars in the cold store, which has 240 places: 0.3 of one for each jar."""
    stands = replace(lot("grain", since), code="IN", room="cold", place="c1", alive=alive)
    return replace(stands, temperature_c=4.0, stood=(Stood(ago(since - 12), 22.0),))


def test_what_finds_no_place_in_the_cold_keeps_as_long_as_where_it_stands() -> None:
    problem, remarks = problem_with(lot("grain", 12, alive=24), cold(780))
    here, there = sorted((each for each in problem.stock if each.lot == "LOT"), key=last_day)
    assert (here.units, there.units) == (4, 20)
    assert here.last_day == 13  # 14 days from the day it was ready
    assert there.last_day > 30
    [said] = [remark for remark in remarks if "Cold store" in remark]
    assert said == (
        "Cold store has 240 places, and 241.2 are wanted by what stands there and by what is ready "
        "and keeps longer there: 4 units keep in the plan only as long as where they stand, until "
        f"{day_in_words(TODAY + timedelta(days=13))} the first of them."
    )
    assert [each.units for each in problem.stock if each.lot == "IN"] == [780]


def test_opened_jars_that_find_no_place_stay_opened() -> None:
    own = route("grey-oyster")
    steps = tuple(
        replace(step, opened_keeps_days=20.0) if step.code == "grain" else step
        for step in own.steps
    )
    opened = replace(lot("grain", 12, alive=24), route=replace(own, steps=steps), opened_on=ago(2))
    parts, _ = with_places(BOOK, (opened, cold(780)), TODAY)
    of_lot = [(part, is_left_out) for part, is_left_out in parts if part.code == "LOT"]
    assert [(part.alive, is_left_out) for part, is_left_out in of_lot] == [(20, False), (4, True)]
    assert {part.opened_on for part, _ in of_lot} == {ago(2)}


def last_day(stock: Stock) -> int:
    return stock.last_day


def test_a_cold_store_with_places_for_all_changes_nothing() -> None:
    problem, remarks = problem_with(lot("grain", 12, alive=20), cold(780))
    assert [each.units for each in problem.stock] == [20, 780]
    assert not any("Cold store" in remark for remark in remarks)


def test_what_keeps_shortest_where_it_stands_gets_the_places() -> None:
    older = replace(lot("grain", 16), code="OLD")
    problem, _ = problem_with(lot("grain", 12), older, cold(790))
    last = {each.lot: each.last_day for each in problem.stock}
    assert last["LOT"] == 13
    assert last["OLD"] > 13


def test_what_is_not_to_be_carried_keeps_as_long_as_where_it_stands() -> None:
    """It wants no place either: what would find none beside it does."""
    other = replace(lot("grain", 12), code="OTHER")
    problem, remarks = problem_with(lot("grain", 12), other, cold(790), not_carried={"LOT"})
    last = {each.lot: each.last_day for each in problem.stock}
    assert last["LOT"] == 13  # 14 days from the day it was ready
    assert last["OTHER"] > 30
    assert not any("Cold store" in remark for remark in remarks)


def test_what_is_ready_later_finds_no_place_in_a_full_store_either() -> None:
    growing = lot("grain", 5)
    problem, remarks = problem_with(growing, cold(800))
    last = {each.lot: each.last_day - each.ready_day for each in problem.stock}
    assert last["LOT"] == 14  # as long as it keeps warm
    [said] = [remark for remark in remarks if "Cold store" in remark]
    until = day_in_words(TODAY + timedelta(days=6 + 14))
    assert said == (
        "Cold store has no place left for 10 of the units that are ready later: in the plan they "
        f"keep only as long as without it, until {until} the first of them."
    )
    problem, remarks = problem_with(growing, cold(780))
    [found] = [each for each in problem.stock if each.lot == "LOT"]
    assert found.last_day - found.ready_day > 30
    assert not any("Cold store" in remark for remark in remarks)


def test_what_is_ready_goes_before_what_is_ready_later() -> None:
    soon, later = (replace(lot("grain", n), code=f"IN{n}") for n in (9, 5))
    problem, _ = problem_with(later, soon, lot("grain", 12), cold(780))
    keeps = {each.lot: each.last_day - max(0, each.ready_day) > 14 for each in problem.stock}
    assert keeps == {"LOT": True, "IN9": True, "IN5": False, "IN": True}


def test_an_overfull_cold_store_is_said_and_is_at_its_limit() -> None:
    problem, remarks = problem_with(cold(840))
    assert "Cold store has 240 places, and 252 are taken: nothing more fits in." in remarks
    plan = solve(problem, time_limit_s=3.0, explains=False)
    full = {each.day: each.used for each in plan.at_limit if each.resource == "places in cold"}
    assert full[TODAY + timedelta(days=1)] == pytest.approx(252)
