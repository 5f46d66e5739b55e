"""Spawn that stands ready and is taken by no start in its time: told in the plan, and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from pinset.chain.stages import Stage
from pinset.planning.building.from_stock import first_out_first
from pinset.planning.plan import Lapse, Plan
from pinset.planning.problem import Order, Problem, Stock
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.recipes import Arc, Fruiting, Making, Picking, Recipe
from pinset.planning.resources import FirstCook, GrowRoom, Resources
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

DAYS = 40
LASTS = 3
"""Last day of the spawn that is here; blocks take 7 days and are picked 3 days later."""


COOKED_LATE = Resources(is_sterile_counted=True, first_cook=(FirstCook("block", 6),))
"""Vessels for blocks can be cooked from day 6 on."""


def farm(
    *,
    here: float = 3.0,
    starts: tuple[int, ...] = (2, 8, 10),
    orders: dict[int, float] | None = None,
    on_order: float = 3.0,
    stage: Stage = Stage.GRAIN,
    resources: Resources = Resources(),  # noqa: B008  (frozen)
) -> Problem:
    """Return bags here until day 3 and bags to come on day 8; a bag makes 10 blocks of 500 g."""
    bought = Making("spawn", stage, 5, 10, 1.0, (), is_purchase=stage is Stage.GRAIN)
    block = Making(
        "block", Stage.BLOCK, 7, 10, 1.0, starts, arcs=(Arc("spawn", 10.0, part_use=True),),
        cook="block" if resources.is_sterile_counted else "", litres=5.0, unit_cost=1.0,
    )  # fmt: skip
    fruiting = Fruiting("fruiting", "block", tuple(range(DAYS)), 5, (Picking(3, 500.0),), ("g",))
    stock = (
        Stock("HERE", "v", "spawn", here, -5, LASTS, alive=here, place="shelf"),
        Stock("order 1", "v", "spawn", on_order, 8, 18, alive=on_order),
    )
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(Recipe("v", "Pink oyster", DAYS, (bought, block), fruiting, 2),),
        orders=tuple(
            Order(f"p{day}", "market", "v", day, grams)
            for day, grams in ({24: 5_000.0} if orders is None else orders).items()
        ),
        stock=tuple(each for each in stock if each.units),
        resources=replace(resources, rooms=(GrowRoom("g", 500.0),)),
        has_end_stock=False,
    )


def planned(problem: Problem) -> Plan:
    return solve(problem, time_limit_s=5.0)


def the_lapse(problem: Problem) -> Lapse:
    (lapse,) = planned(problem).lapses
    assert (lapse.variety, lapse.step, lapse.lots) == ("v", "spawn", ("HERE",))
    assert lapse.last_day == TODAY + timedelta(days=LASTS)
    return lapse


def test_spawn_that_nothing_needs_is_told_with_what_is_taken_later_in_its_place() -> None:
    """What is promised for day 24 is started on day 8 or 10; blocks of day 2 keep until 18."""
    lapse = the_lapse(farm())
    assert (lapse.units, lapse.cause) == (3.0, ShortReason.NOT_NEEDED)
    assert lapse.words.startswith(
        "3 spawn bags of Pink oyster (HERE) keep until 15 March and nothing in the plan needs them "
        "by then; the next start after that, 10 blocks on "
    )
    assert "takes what is on order" in lapse.words
    assert "a buyer for the spawn bags, would save them." in lapse.words


def test_what_is_ordered_only_now_is_named_with_its_day() -> None:
    problem = farm(on_order=0.0)
    (recipe,) = problem.recipes
    bought = replace(recipe.makings[0], start_days=(1,), ready_days=(8,))
    problem = replace(problem, recipes=(replace(recipe, makings=(bought, recipe.makings[1])),))
    assert "takes what is to be ordered on 13 March" in the_lapse(problem).words


def test_no_start_day_before_its_end_is_named() -> None:
    """Blocks started by day 3 would bear for what is short on day 13; none may be."""
    lapse = the_lapse(farm(starts=(8, 10), orders={13: 5_000.0, 24: 5_000.0}))
    assert lapse.cause is ShortReason.SET_DAYS
    assert "no day for starting blocks falls before that" in lapse.words
    assert "Blocks started on another day by then" in lapse.words


def test_no_vessels_before_its_end_are_named() -> None:
    problem = farm(orders={13: 5_000.0, 24: 5_000.0}, resources=COOKED_LATE)
    lapse = the_lapse(problem)
    assert lapse.cause is ShortReason.FULL
    assert "no vessels are prepared by then" in lapse.words
    assert "started by then all the same" not in lapse.words


def test_a_shortage_does_not_say_that_none_is_usable_before_the_next_comes() -> None:
    (short,) = planned(farm(orders={9: 5_000.0}, resources=COOKED_LATE)).short
    assert (
        "since no vessels are prepared while the 3 spawn bags here keep (until 15 March), and no "
        "other spawn bag is usable before 20 March"
    ) in short.reason


def test_spawn_that_is_used_in_time_or_is_still_on_order_does_not_lapse() -> None:
    used = planned(farm(here=1.0, orders={13: 5_000.0}, on_order=0.0))
    assert (used.short, used.lapses) == ((), ())
    assert planned(farm(here=0.0, orders={})).lapses == ()


def test_whole_units_that_are_left_beside_a_part_that_is_used_are_told() -> None:
    lapse = the_lapse(farm(orders={13: 2_500.0}, on_order=0.0))
    assert lapse.units == 2.0
    assert lapse.words.startswith("2 spawn bags of Pink oyster (HERE) keep until 15 March")


def test_plates_are_told_and_tubes_have_their_own_shelf() -> None:
    assert "3 plates of Pink oyster (HERE)" in the_lapse(farm(stage=Stage.PLATE)).words
    assert planned(farm(stage=Stage.TUBE)).lapses == ()


def test_the_day_told_is_the_one_it_keeps_to_not_the_one_the_plan_counts_on() -> None:
    """Older bags that keep longer than those to come are counted on for as long as those only."""
    problem = farm(orders={}, on_order=1.0)
    longer = replace(problem.stock[0], last_day=19)
    sooner = replace(problem.stock[1], last_day=12)
    stock = tuple(first_out_first((longer, sooner), problem.recipes))
    assert stock[0].last_day == 12
    (lapse,) = planned(replace(problem, stock=stock)).lapses
    assert "keep until 31 March" in lapse.words
    assert lapse.last_day == TODAY + timedelta(days=19)
