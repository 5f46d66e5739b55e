"""What breaks at once when a start or a move is changed; the small farm is reckoned by hand.

Blocks are started on Thursdays; the 5 kg of Wednesday 15 April hang on those of 19 March.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.chain.register import Promise
from pinset.planning.plan import Plan
from pinset.planning.problem import Pinned, Problem
from pinset.planning.reading.by_hand import Breaks, breaks_between, with_pins
from pinset.planning.season.odds import odds_of
from pinset.planning.solve import solve
from planning.test_outages import THURSDAY, book, on, problem_of

BLOCK_DAY = 7


def farm() -> tuple[Problem, Plan]:
    problem, _ = problem_of(book())
    return problem, solve(problem, time_limit_s=10.0)


def pin(step: str, day: int, count: float) -> Pinned:
    return Pinned(f"{step}-{day}", "bought", "Bought", step, day, count)


def started(plan: Plan, step: str, day: int) -> float:
    return sum(each.count for each in plan.starts if (each.step, each.day) == (step, on(day)))


def broken(problem: Problem, plan: Plan, *pins: Pinned) -> Breaks:
    changed = with_pins(problem, plan, pins)
    return breaks_between(problem, plan, changed, odds_of(book(), (), THURSDAY), 5)


def test_what_is_pinned_stands_in_the_plan_and_nothing_else_moves() -> None:
    problem, plan = farm()
    units = started(plan, "block", BLOCK_DAY)
    assert units > 0
    later = with_pins(
        problem, plan, (pin("block", BLOCK_DAY, 0.0), pin("block", BLOCK_DAY + 1, units))
    )
    assert started(later, "block", BLOCK_DAY) == 0.0
    assert started(later, "block", BLOCK_DAY + 1) == units
    assert later.moves == plan.moves
    assert [s for s in later.starts if s.step == "spawn"] == [
        s for s in plan.starts if s.step == "spawn"
    ]
    [start] = [s for s in later.starts if (s.step, s.day) == ("block", on(BLOCK_DAY + 1))]
    [was] = [s for s in plan.starts if (s.step, s.day) == ("block", on(BLOCK_DAY))]
    assert sum(p.units for p in start.parents) == pytest.approx(sum(p.units for p in was.parents))


def test_nothing_changed_breaks_nothing() -> None:
    problem, plan = farm()
    same = pin("block", BLOCK_DAY, started(plan, "block", BLOCK_DAY))
    assert broken(problem, plan, same) == Breaks()


def test_a_start_left_out_is_told_by_the_promise_that_hangs_on_it() -> None:
    problem, plan = farm()
    found = broken(problem, plan, pin("block", BLOCK_DAY, 0.0))
    worst = found.fallen[0]
    assert problem.date_of(problem.orders[worst.order].due).isoformat() == "2026-04-15"
    assert worst.before > 0.5
    assert worst.after < 0.1
    assert worst.less == pytest.approx(5000.0, rel=0.2)
    assert found.over == ()


def test_a_start_before_its_parents_are_there_begins_fewer() -> None:
    """Spawn is delivered on Wednesday 18 March at the soonest."""
    problem, plan = farm()
    units = started(plan, "block", BLOCK_DAY)
    found = broken(problem, plan, pin("block", BLOCK_DAY, 0.0), pin("block", 5, units))
    [first] = [each for each in found.fewer if each.day == 5]
    assert (first.step, first.planned, first.begun) == ("block", units, 0.0)
    assert [over.unit for over in found.over if over.resource == "cooked block"] == ["L"]


def test_a_bench_that_is_too_small_says_by_how_much() -> None:
    """The bench has 240 minutes; 2 minutes a block and 30 for the batch."""
    problem, plan = farm()
    found = broken(problem, plan, pin("block", BLOCK_DAY, 150.0))
    [bench] = [each for each in found.over if each.resource == "clean bench"]
    assert (bench.day, bench.used, bench.capacity) == (BLOCK_DAY, 330.0, 240.0)


def test_a_room_that_overflows_is_named() -> None:
    """The room has 200 places and each block takes one."""
    problem, plan = farm()
    moves = [move for move in plan.moves if (move.day - problem.start).days < problem.whole_days]
    if not moves:  # nothing is ready to be moved within the whole-number days
        moves = [replace(plan.moves[0], day=on(11))]
        plan = replace(plan, moves=(*plan.moves, *moves))
    day = (moves[0].day - problem.start).days
    found = broken(problem, plan, pin("fruiting", day, 250.0))
    [room] = [each for each in found.over if each.resource == "grow room grow"]
    assert (room.used, room.capacity, room.unit) == (250.0, 200.0, "places")


def test_a_step_that_the_plan_never_starts_is_left_alone() -> None:
    problem, plan = farm()
    bare = replace(plan, starts=(), moves=())
    assert with_pins(problem, bare, (pin("block", 7, 4.0), pin("fruiting", 8, 4.0))) == bare


def test_promises_of_units_fall_too() -> None:
    sells = replace(
        book(),
        promises=(Promise("b", "kitchen", "bought", 20, "unit", "block", on_date=on(28)),),
    )
    problem, _ = problem_of(sells)
    plan = solve(problem, time_limit_s=10.0)
    days = [(s.day - THURSDAY).days for s in plan.starts if s.step == "block"]
    found = breaks_between(
        problem,
        plan,
        with_pins(problem, plan, [pin("block", day, 0.0) for day in days]),
        odds_of(sells, (), THURSDAY),
        5,
    )
    [fallen] = found.fallen
    assert fallen.less == pytest.approx(20.0, abs=3.0)
