"""What ripens while nobody works for long is no harvest: in the plan, in the seasons, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations_with_replacement

import numpy as np
import pytest
import scipy.stats

from pinset.chain.register import Spread
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Move, Plan
from pinset.planning.problem import InRoom, Order, Problem, Stock, Weights
from pinset.planning.reading.new_batches import First, earliest_new, first_pick
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Bearing, Odds, VarietyOdds
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.small_farm import bought_route, small_farm

MONDAY = date(2026, 3, 2)
DAYS = 30
CLOSED = range(8, 15)
"""Days on which nobody works."""

CURVE = (Picking(3, 250.0), Picking(4, 150.0), Picking(5, 100.0))
STANDS = 2
"""Days that ripe mushrooms stand: common practice, no source."""


def hands(closed: Iterable[int], days: int = DAYS) -> tuple[float, ...]:
    off = set(closed)
    return tuple(0.0 if day in off else 600.0 for day in range(days))


def farm(
    orders: dict[int, float],
    closed: Iterable[int] = CLOSED,
    *,
    blocks: float = 4.0,
    keeps: int = 3,
    in_rooms: tuple[InRoom, ...] = (),
) -> Problem:
    """Return blocks in stock that bear 250, 150 and 100 g three to five days after their move."""
    off = set(closed)
    moves = tuple(day for day in range(DAYS) if day not in off)
    fruiting = Fruiting("fruiting", "block", moves, 6, CURVE, ("g",), pick_minutes_per_kg=0.0)
    block = Making("block", Stage.BLOCK, 7, 30, 1.0, ())
    return Problem(
        MONDAY, DAYS, DAYS, (Recipe("v", "Grey oyster", DAYS, (block,), fruiting, keeps),),
        tuple(Order(f"p{day}", "b", "v", day, grams) for day, grams in orders.items()),
        stock=(Stock("B", "v", "block", blocks, 0, 22, alive=blocks),) if blocks else (),
        in_rooms=in_rooms,
        resources=Resources(hands_minutes=hands(off), rooms=(GrowRoom("g", 500.0),)),
        weights=Weights(culture_missing=0.0, end_missing=0.0, small_move=0.0),
        has_end_stock=False,
        every_day=True,
    )  # fmt: skip


def test_what_ripens_on_closed_days_is_picked_only_just_before_somebody_comes() -> None:
    resources = Resources(hands_minutes=hands((5, 6, *range(8, 15), *range(20, DAYS))))
    picked = {day: resources.picked_on(day) for day in (5, 6, 7, 8, 12, 13, 14, 15)}
    assert picked == {5: 7, 6: 7, 7: 7, 8: None, 12: None, 13: 15, 14: 15, 15: 15}
    assert resources.picked_on(-1) == resources.picked_on(-2) == 0
    assert resources.picked_on(-3) is None, "ripe three days ago"
    assert resources.picked_on(20) is None, "nobody comes as long as is known"
    assert resources.picked_on(29) == 29, "and of the day after that it is not known"
    assert Resources().picked_on(8) == 8, "nobody's hours are known"


def test_who_is_there_for_the_rounds_only_or_has_no_hours_listed_picks_in_time() -> None:
    """Nobody's hands have time before day 15, but somebody is there on day 11 and on day 15."""
    there = tuple(day in {0, 11, 15} or day > 15 for day in range(DAYS))
    listed = Resources(hands_minutes=hands(range(1, 15)), works=there)
    assert [listed.picked_on(day) for day in (8, 9, 11, 12, 13)] == [None, 15, 15, None, 15]
    unlisted = Resources(works=there)
    assert [unlisted.picked_on(day) for day in (8, 9, 11, 12, 13)] == [None, 9, 11, None, 13]


def test_days_off_count_where_nobodys_hours_are_listed() -> None:
    book = small_farm(bought_route())
    off = tuple(MONDAY + timedelta(days=day) for day in CLOSED)
    book = replace(book, workers=(), farm=replace(book.farm, days_off=off))
    resources = build_problem(book, (), MONDAY)[0].resources
    assert resources.hands_minutes == ()
    assert [resources.picked_on(day) for day in (8, 12, 13, 14, 15)] == [None, None, 13, 14, 15]


def test_a_weekend_loses_nothing_and_a_third_day_off_one_days_share() -> None:
    """Blocks of day 2 bear on days 5, 6 and 7; with three days off, that of day 5 is lost."""
    for off, lost in (((5, 6), 0.0), ((5, 6, 7), 250.0)):
        problem = farm({8: 2000.0}, off)
        recipe = problem.recipes[0]
        assert recipe.fruiting is not None
        got = sum(pick.grams for _, pick in problem.gathered(recipe.fruiting.borne(2), 2))
        assert got == 500.0 - lost


def delivered_at_best(
    problem: Problem, moves: Iterable[int], closed: Iterable[int]
) -> dict[int, float]:
    """Hand over what single blocks, moved on these days, bear: reckoned day by day."""
    off, ripe = set(closed), {}
    for entered in moves:
        for pick in CURVE:
            ripe[entered + pick.day] = ripe.get(entered + pick.day, 0.0) + pick.grams
    hanging: list[tuple[int, float]] = []
    fresh: list[list[float]] = []
    handed = {}
    for day in range(DAYS):
        hanging.append((day, ripe.get(day, 0.0)))
        if day not in off:
            fresh += [[day + 3, grams] for since, grams in hanging if day - since <= STANDS]
            hanging = []
        wanted = sum(order.amount for order in problem.orders if order.day == day)
        handed[day] = 0.0
        for lot in sorted(fresh):
            taken = min(lot[1], wanted - handed[day]) if lot[0] >= day else 0.0
            lot[1] -= taken
            handed[day] += taken
    return handed


def every_way(problem: Problem, blocks: int, closed: Iterable[int]) -> Iterator[float]:
    """Yield what is short in all, for every way of moving the blocks in. [g]"""
    off = set(closed)
    wanted = sum(order.amount for order in problem.orders)
    days = [day for day in range(23) if day not in off]
    for moves in combinations_with_replacement(days, blocks):
        yield wanted - sum(delivered_at_best(problem, moves, off).values())


@pytest.mark.parametrize("seed", range(8))
def test_no_other_days_to_move_blocks_around_a_closed_week_are_better(seed: int) -> None:
    rng = np.random.default_rng(seed)
    begins, long = int(rng.integers(5, 10)), int(rng.integers(4, 9))
    closed = range(begins, begins + long)
    days = rng.choice(range(closed.stop - 2, closed.stop + 4), 2, replace=False)
    orders = {int(day): float(rng.integers(2, 6)) * 150.0 for day in days}
    problem = farm(orders, closed, blocks=3.0)
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    short = sum(each.amount for each in plan.short)
    assert short == pytest.approx(min(every_way(problem, 3, closed)), abs=0.5)
    result = replay(problem, plan)
    assert sum(result.short.values()) == pytest.approx(short, abs=0.5)
    assert result.missing_units == pytest.approx(0.0, abs=1e-6)


def test_a_block_is_moved_so_that_it_ripens_for_the_first_day_of_work() -> None:
    """Closed on days 8 to 14: moved on day 7 it bears on days 10 to 12, which are lost."""
    problem = farm({18: 2000.0}, range(8, 15))
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    assert {(move.day - MONDAY).days for move in plan.moves} == {15}, "the first day that serves"
    assert sum(each.amount for each in plan.short) == pytest.approx(1000.0, abs=0.5)


def standing(ripe: int, grams: float = 6000.0) -> InRoom:
    return InRoom("F1", "v", "g", 10.0, 10.0, ripe + 1, (Picking(ripe, grams),), waits_days=0.0)


def test_the_reason_names_the_closed_days_and_what_ripens_on_them() -> None:
    """6 kg ripen on day 10; somebody comes on day 15, three days too late."""
    problem = farm({15: 4000.0}, blocks=0.0, in_rooms=(standing(10),), keeps=6)
    plan = solve(problem, time_limit_s=5.0)
    assert plan.picks == ()
    [short] = plan.short
    assert short.amount == pytest.approx(4000.0, abs=1.0)
    assert not short.is_unavoidable
    assert short.reason_code is ShortReason.CLOSED
    assert short.reason.startswith("6 kg ripen while nobody works from 10 March to 16 March")
    assert short.reason.endswith("They would be there if somebody came on 14 March.")
    inside = replace(problem, orders=(replace(problem.orders[0], day=11),))
    [short] = solve(inside, time_limit_s=5.0).short
    assert short.reason.endswith("if somebody came on 13 March."), "no later than the promise"
    in_time = replace(problem, in_rooms=(standing(13),))
    assert not solve(in_time, time_limit_s=5.0).short


def test_of_blocks_to_be_moved_no_more_is_told_than_is_short() -> None:
    """All days of moving that serve day 12 bear on days 8 to 12, on which nobody works."""
    problem = farm({12: 600.0}, range(8, 15), keeps=3)
    [short] = solve(problem, time_limit_s=5.0).short
    assert short.reason_code is ShortReason.CLOSED
    assert short.reason.startswith("600 g ripen while nobody works from 10 March to 16 March")


def test_blocks_that_lapse_because_nobody_is_there_to_pick_are_told_so() -> None:
    """They keep until day 6; all they bear for day 12 or 13 ripens on days 9 to 11."""
    problem = farm({13: 2000.0}, range(7, 15), keeps=6)
    stock = (replace(problem.stock[0], last_day=6),)
    [lapse] = solve(replace(problem, stock=stock), time_limit_s=5.0).lapses
    assert lapse.cause is ShortReason.CLOSED
    assert lapse.words.startswith("4 blocks of Grey oyster (B) keep until 8 March and what they")
    assert "ripens while nobody works" in lapse.words


def test_what_was_ripe_three_days_before_somebody_comes_is_no_harvest_today() -> None:
    problem = farm({2: 4000.0}, (), blocks=0.0, in_rooms=(standing(-3),), keeps=6)
    plan = solve(problem, time_limit_s=5.0)
    assert plan.picks == ()
    [short] = plan.short
    assert short.amount == pytest.approx(4000.0, abs=1.0)
    assert short.is_unavoidable
    in_time = replace(problem, in_rooms=(standing(-2),))
    assert [pick.day for pick in solve(in_time, time_limit_s=5.0).picks] == [MONDAY]


def test_the_first_pick_of_a_new_batch_is_none_that_is_spoilt() -> None:
    """Ready on day 7 and moved that day it is lost; moved on day 15 it bears on day 18."""
    problem = farm({}, blocks=0.0)
    assert first_pick(problem, problem.recipes[0], First(0, 7)) == 18
    assert first_pick(problem, problem.recipes[0], First(0, 4)) == 7


def test_a_later_start_is_picked_first_where_the_sooner_one_bears_on_closed_days() -> None:
    """Blocks started today bear on days 8 and 18, those of tomorrow on days 9 and 19, and so on.

    They are moved on the day they are ready. Nobody is there on days 8 to 12: of the fourth day's
    the first flush hangs two days only, until day 13; of today's the second comes on day 18.
    """
    bears = (Picking(3, 250.0, 1), Picking(13, 150.0, 2))
    block = Making("block", Stage.BLOCK, 5, 1, 1.0, tuple(range(DAYS)))
    fruiting = Fruiting("fruiting", "block", tuple(range(DAYS)), 14, bears, ("g",))
    problem = farm({13: 1000.0}, range(8, 13), blocks=0.0)
    recipe = Recipe("v", "Grey oyster", DAYS, (block,), fruiting, 3)
    problem = replace(problem, recipes=(recipe,))
    assert [first_pick(problem, recipe, First(t, 5 + t)) for t in range(4)] == [18, 19, 20, 13]
    found = earliest_new(problem, recipe, "picked")
    assert found is not None
    assert found.day == 13
    assert found.waits_for == (
        "the first mushrooms of what is started before 5 March ripen while nobody works"
    )
    early = replace(problem, orders=(Order("p", "b", "v", 7, 1000.0),))
    (short,) = solve(early, time_limit_s=5).short
    assert "can be picked on 15 March at the earliest, since the first mushrooms" in short.reason


def carried_out(
    problem: Problem, moves: dict[int, float], bearing: Bearing | None, seasons: int
) -> np.ndarray:
    plan = Plan(
        MONDAY, DAYS, DAYS, (),
        tuple(
            Move(MONDAY + timedelta(days=day), "v", "fruiting", units, "g")
            for day, units in moves.items()
        ),
        (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven",
    )  # fmt: skip
    draws = Expected() if bearing is None else ByChance(seeded(3), seasons)
    odds = Odds({"v": VarietyOdds({}, bearing)})
    return carry_out(problem, plan, odds, draws).delivered


def test_a_season_as_expected_loses_what_the_plan_loses() -> None:
    """Moved on day 8, it bears 250 g on day 11, 150 g on day 12 and 100 g on day 13.

    Closed until day 12 nothing is lost; with each day more the next of them hangs three days.
    """
    for last, handed in ((12, 500.0), (13, 250.0), (14, 100.0), (15, 0.0)):
        problem = farm({last + 1: 2000.0}, range(9, last + 1), blocks=1.0)
        found = carried_out(problem, {8: 1.0}, None, 1)
        assert found[0, 0] == pytest.approx(handed), last


def test_by_chance_a_flush_is_sold_if_it_ripens_late_enough() -> None:
    """A first flush of 4, 10 or 16 days (least, usual, most) in a farm closed on days 8 to 13.

    What is in the room ripens on one whole day. It keeps two days, and the order is of day 14: what
    ripens on day 12, 13 or 14 is sold. Its share is that of the triangle between 11 and 14.
    """
    seasons = 40_000
    spread = Spread(4, 10, 16)
    room = InRoom("F", "v", "g", 1.0, 1.0, 11, (Picking(10, 1000.0),), waits_days=0.0)
    problem = farm({14: 1000.0}, range(8, 14), blocks=0.0, keeps=2, in_rooms=(room,))
    bearing = Bearing(spread, (), (Picking(10, 1000.0),), 0.0)
    got = carried_out(problem, {}, bearing, seasons)[0]
    triangle = scipy.stats.triang(0.5, loc=4, scale=12)
    share = triangle.cdf(14) - triangle.cdf(11)
    error = np.sqrt(share * (1.0 - share) / seasons)
    assert set(np.unique(got)) == {0.0, 1000.0}
    assert (got > 0).mean() == pytest.approx(share, abs=4 * error)
