"""One more batch for a weak promise: it must find parents, a cook and time, and do something.

Blocks of the small farm are started on Thursdays; the 5 kg of Wednesday 15 April hang on those of
19 March.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.register import RoomKind
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.by_hand import with_pins
from pinset.planning.reading.in_vain import InVain, Vain
from pinset.planning.reading.repair_batches import batches_for
from pinset.planning.reading.repair_trials import Repair, Trials
from pinset.planning.reading.repairs import LEAST_GAIN, Looked, repairs
from pinset.planning.reading.within_reach import WithinReach
from pinset.planning.season.chances import FarmChances, chances_of
from pinset.planning.season.odds import odds_of
from pinset.planning.solve import solve
from pinset.services.plans.plan_search import CHANGE_COST
from planning.test_by_hand import BLOCK_DAY, farm, pin, started
from planning.test_outages import THURSDAY, book, on

ODDS = odds_of(book(), (), THURSDAY)
WEDNESDAY = date(2026, 4, 15)


def looked(problem: Problem, plan: Plan, chances: FarmChances | None = None) -> Looked:
    told = chances or chances_of(problem, plan, ODDS, seasons=400, seed=3)
    return repairs(problem, plan, told, ODDS, seed=3, goes_on=lambda: True, plan_anew=anew(plan))


def anew(plan: Plan) -> Callable[[Problem], Plan]:
    """Return how the farm is planned again by a grower who has this plan."""
    return lambda asked: solve(
        asked, time_limit_s=30.0, previous=plan, change_cost=CHANGE_COST, explains=False
    )


def found(problem: Problem, plan: Plan, chances: FarmChances | None = None) -> tuple[Repair, ...]:
    return looked(problem, plan, chances).found


def vain_of(problem: Problem, plan: Plan, due: date = WEDNESDAY) -> InVain:
    [vain] = [each for each in looked(problem, plan).in_vain if each.due == due]
    return vain


def halved() -> tuple[Problem, Plan]:
    """Return the plan with half the blocks of 19 March, and the cook and spawn of all of them."""
    problem, plan = farm()
    units = started(plan, "block", BLOCK_DAY)
    return problem, with_pins(problem, plan, (pin("block", BLOCK_DAY, units // 2),))


def test_the_batch_that_is_missing_is_found_and_does_what_it_says() -> None:
    problem, plan = halved()
    first = found(problem, plan)[0]
    assert (first.due, first.step, first.on) == (date(2026, 4, 15), "block", on(BLOCK_DAY))
    assert first.after >= first.before + LEAST_GAIN
    assert chances_with(problem, plan, first)[first.due] == pytest.approx(first.after)


def chances_with(problem: Problem, plan: Plan, batch: Repair | InVain) -> dict[date, float]:
    """Return the chances after the grower pinned a batch and planned again."""
    assert batch.on is not None
    day = (batch.on - THURSDAY).days
    asked = replace(
        problem, pins=(pin(batch.step, day, started(plan, batch.step, day) + batch.units),)
    )
    again = chances_of(asked, anew(plan)(asked), ODDS, seasons=400, seed=3)
    return {each.day: each.chance for each in again.orders}


def quick(problem: Problem, plan: Plan, batch: InVain) -> Repair:
    """Return what a batch would do with all else of the plan as it is."""
    number = next(n for n, o in enumerate(problem.orders) if problem.date_of(o.due) == batch.due)
    reach = WithinReach(problem, plan, {number: 1000.0})
    recipe = problem.recipes[0]
    making = recipe.making(batch.step)
    assert making is not None
    assert batch.on is not None
    day = (batch.on - THURSDAY).days
    tried = Trials(problem, plan, ODDS, 3, reach).of(number, recipe, making, day, batch.units)
    assert tried is not None
    return tried


def test_what_is_told_is_what_planning_anew_brings() -> None:
    """Every Wednesday is met in about two seasons of three. Planned anew, three blocks more for
    29 April serve the 22nd, and fewer are started for the 29th."""
    problem, plan = farm()
    told = looked(problem, plan)
    for each in told.found:
        assert chances_with(problem, plan, each)[each.due] == pytest.approx(each.after)
    [vain] = [each for each in told.in_vain if each.due == date(2026, 4, 29)]
    before = {c.day: c.chance for c in chances_of(problem, plan, ODDS, seasons=400, seed=3).orders}
    after = chances_with(problem, plan, vain)
    assert quick(problem, plan, vain).after > before[vain.due], "with all else as it is"
    assert vain.after == pytest.approx(after[vain.due])
    assert vain.after < vain.before == pytest.approx(before[vain.due])
    assert vain.surer is not None
    assert (vain.surer.due, vain.surer.after) == (date(2026, 4, 22), after[date(2026, 4, 22)])


def test_a_batch_that_takes_as_much_from_another_promise_is_no_cure() -> None:
    problem, plan = farm()
    told = looked(problem, plan)
    assert not [each for each in told.found if each.due == WEDNESDAY]
    [vain] = [each for each in told.in_vain if each.due == WEDNESDAY]
    assert vain.weaker is not None
    assert vain.weaker.by() >= vain.after - vain.before >= LEAST_GAIN
    assert chances_with(problem, plan, vain)[vain.weaker.due] == pytest.approx(vain.weaker.after)


def test_a_plan_that_was_not_searched_well_tells_nothing() -> None:
    problem, plan = halved()
    told = chances_of(problem, plan, ODDS, seasons=400, seed=3)
    poor = repairs(
        problem, plan, told, ODDS, seed=3, goes_on=lambda: True,
        plan_anew=lambda asked: replace(anew(plan)(asked), gap=0.3),
    )  # fmt: skip
    assert poor.found == ()
    assert not [each for each in poor.in_vain if each.after > 0.0]


def test_nothing_is_told_that_cannot_be_cooked() -> None:
    """Without hours of the steriliser no vessel more is cooked; the plan's own cooks are full."""
    problem, plan = halved()
    cooks = tuple(
        replace(cook, litres=started(plan, "block", BLOCK_DAY) * 4.0) for cook in plan.cooks
    )
    idle = tuple(
        replace(each, hours=(0.0,) * problem.days) for each in problem.resources.sterilisers
    )
    shut = replace(problem, resources=replace(problem.resources, sterilisers=idle))
    full = replace(plan, cooks=tuple(c for c in cooks if (c.day - THURSDAY).days > BLOCK_DAY))
    assert not [each for each in found(shut, full) if each.on == on(BLOCK_DAY)]


def test_one_more_cook_is_named_with_its_day() -> None:
    problem, plan = halved()
    none = replace(plan, cooks=())
    first = found(problem, none)[0]
    assert first.is_more_cook
    assert first.cook_on is not None
    assert first.cook_on < first.on
    asked = replace(
        problem, pins=(pin("block", BLOCK_DAY, started(plan, "block", BLOCK_DAY) + first.units),)
    )
    assert first.cook_on in {cook.day for cook in anew(none)(asked).cooks}


def test_spawn_that_is_missing_is_ordered_with_it() -> None:
    """Of the spawn that comes on 18 March half is left out, as of the blocks of the 19th."""
    problem, plan = halved()
    spawn = next(
        each for each in plan.starts if each.step == "spawn" and each.ready_on <= on(BLOCK_DAY)
    )
    day = (spawn.day - THURSDAY).days
    few = with_pins(problem, plan, (pin("spawn", day, spawn.count // 2),))
    first = found(problem, few)[0]
    assert (first.step, first.on) == ("block", on(BLOCK_DAY))
    [parents] = first.parents
    assert (parents.step, parents.on) == ("spawn", spawn.day)
    goes = problem.recipes[0].makings[1].arcs[0].units_per_parent
    assert first.units <= parents.units * goes + goes
    assert first.after >= first.before + LEAST_GAIN


def test_nothing_is_told_without_spawn_for_it() -> None:
    problem, plan = halved()
    bare = replace(plan, starts=tuple(each for each in plan.starts if each.step != "spawn"))
    assert found(problem, bare) == ()
    vain = vain_of(problem, bare)
    assert (vain.cause, vain.units) == (Vain.LITTLE, 0)
    assert vain.because == "there are too few spawn bags for it"


def test_sure_promises_and_no_time_are_left_alone() -> None:
    problem, plan = halved()
    assert found(problem, plan, FarmChances(400)) == ()
    told = chances_of(problem, plan, ODDS, seasons=400)
    never = repairs(problem, plan, told, ODDS, seed=3, goes_on=lambda: False, plan_anew=anew(plan))
    assert never == Looked()


def test_a_full_shelf_is_named_and_no_batch() -> None:
    """Half as many places on the shelves as its blocks take: none for a block more."""
    problem, whole = farm()
    places = tuple(
        replace(each, places=float(started(whole, "block", BLOCK_DAY) // 2), by_day=())
        if each.room is RoomKind.INCUBATION
        else each
        for each in problem.resources.places
    )
    tight = replace(problem, resources=replace(problem.resources, places=places))
    plan = solve(tight, time_limit_s=10.0)
    vain = vain_of(tight, plan)
    assert vain.cause is Vain.FULL
    assert "all places in incubation are taken on" in vain.because
    assert not [each for each in found(tight, plan) if each.due == WEDNESDAY]


def test_a_steriliser_without_hours_is_named() -> None:
    problem, _ = farm()
    idle = tuple(
        replace(each, hours=(0.0,) * problem.days, count=(0.0,) * problem.days)
        for each in problem.resources.sterilisers
    )
    shut = replace(problem, resources=replace(problem.resources, sterilisers=idle))
    vain = vain_of(shut, solve(shut, time_limit_s=10.0))
    assert vain.cause is Vain.FULL
    assert "the steriliser has no time for block cooks" in vain.because


def test_what_is_too_near_for_any_batch_is_late() -> None:
    """Blocks of 19 March bear on 13 April at the soonest: nothing does anything for the 8th."""
    problem, plan = halved()
    near = date(2026, 4, 8)
    assert vain_of(problem, plan, near).cause is Vain.LATE


def test_what_is_started_later_is_told_with_its_day() -> None:
    """The units of 20 May are started on 23 April, and 21 days are planned day by day."""
    problem, plan = halved()
    none = replace(plan, starts=tuple(s for s in plan.starts if s.step != "block"))
    vains = {each.due: each for each in looked(problem, none).in_vain}
    later = vains[date(2026, 5, 20)]
    assert later.cause is Vain.NOT_YET
    assert later.on is not None
    assert later.on >= on(problem.whole_days)


def test_days_on_which_nobody_could_make_it_are_passed_over() -> None:
    problem, plan = halved()
    told = chances_of(problem, plan, ODDS, seasons=20, seed=3)
    order = next(each for each in problem.orders if problem.date_of(each.day) == WEDNESDAY)
    chance = next(each for each in told.orders if each.day == problem.date_of(order.day))

    def days(asked: Problem) -> set[int]:
        return {day for _recipe, _making, day, _sizes in batches_for(asked, order, chance)}

    usual = days(problem)
    assert usual
    laboratory = tuple(
        0.0 if day in usual else 480.0 for day in range(len(problem.resources.hands_minutes))
    )
    away = replace(problem, resources=replace(problem.resources, laboratory_minutes=laboratory))
    assert not days(away) & usual
