"""Far weeks are even, and a walk to the grow room is worth more than one block."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import timedelta

import pytest

from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.problem import Order, Problem, Stock, Weights
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock


def test_a_slow_chain_is_filled_evenly_beyond_the_end() -> None:
    book = six_variety_book()
    code = "shiitake"
    book = replace(
        book,
        varieties=tuple(v for v in book.varieties if v.code == code),
        promises=tuple(p for p in book.promises if p.variety == code),
    )
    stock = tuple(lot for lot in six_variety_stock() if lot.variety == code)
    problem, _ = build_problem(book, stock, TODAY)
    plan = solve(problem, time_limit_s=8.0, gap=0.005)
    weeks: dict[int, float] = defaultdict(float)
    for start in plan.starts:
        if start.step == "block":
            weeks[(start.day - TODAY).days // 7] += start.count
    block = problem.recipes[0].makings[-1]
    # used within the horizon or at its end; what starts later is all for after it
    after = (problem.days - block.lead_days) // 7 + 1
    far = [weeks[week] for week in range(after, problem.days // 7)]
    mean = sum(far) / len(far)
    fruiting = problem.recipes[0].fruiting
    assert fruiting is not None
    need = 30_000 / fruiting.grams / block.usable  # 30 kg a week
    assert 0.9 * need < mean < 1.3 * need
    assert max(far) < 1.5 * mean
    assert min(far) > 0.5 * mean
    moved = sum(
        move.count
        for move in plan.moves
        if move.step == "fruiting" and move.day >= TODAY + timedelta(days=problem.days - 14)
    )
    assert moved > 1.5 * need * block.usable


def test_a_small_farm_begins_a_chain_longer_than_the_plan() -> None:
    """Only cultures and a few jars are alive: nothing begun now is sold before the plan ends."""
    book = six_variety_book()
    code = "shiitake"
    book = replace(
        book,
        varieties=tuple(v for v in book.varieties if v.code == code),
        promises=tuple(
            replace(p, amount=p.amount // 12) for p in book.promises if p.variety == code
        ),
    )
    young = ("tube", "plate", "grain")
    stock = tuple(
        replace(lot, alive=4)
        for lot in six_variety_stock()
        if lot.variety == code and lot.step in young
    )
    problem, _ = build_problem(book, stock, TODAY)
    plan = solve(problem, time_limit_s=8.0, gap=0.005)
    block = problem.recipes[0].makings[-1]
    fruiting = problem.recipes[0].fruiting
    assert fruiting is not None
    weekly = sum(p.amount for p in book.promises) / fruiting.grams / block.usable
    begun = [start for start in plan.starts if start.step == "block"]
    weeks = (begun[-1].day - begun[0].day).days / 7 + 1
    assert (begun[0].day - TODAY).days < 75, "as soon as its spawn can be ready"
    assert sum(start.count for start in begun) == pytest.approx(weekly * weeks, rel=0.35)
    assert {"grain", "sawdust"} <= {start.step for start in plan.starts}


def moved_counts(weights: Weights) -> list[float]:
    """Return the moves of 7 blocks, one of which alone would do for the first order."""
    making = Making("block", Stage.BLOCK, 5, 10, 1.0, (), hold_cost=0.01)
    fruiting = Fruiting("fruiting", "block", (0, 1), 6, (Picking(3, 500.0),), ("g",))
    problem = Problem(
        start=TODAY,
        days=12,
        whole_days=12,
        recipes=(Recipe("v", "V", 12, (making,), fruiting),),
        orders=(Order("p", "b", "v", 4, 500.0), Order("p", "b", "v", 5, 3000.0)),
        stock=(Stock("L1", "v", "block", 1.0, 0, 9), Stock("L2", "v", "block", 6.0, 1, 9)),
        resources=Resources(rooms=(GrowRoom("g", 100.0),)),
        weights=weights,
        has_end_stock=False,
    )
    plan = solve(problem, time_limit_s=5.0, gap=0.0)
    assert not plan.short
    return [move.count for move in plan.moves]


def test_one_block_waits_for_the_others() -> None:
    assert moved_counts(Weights(small_move=0.0)) == [1.0, 6.0]
    assert moved_counts(Weights()) == [7.0]
