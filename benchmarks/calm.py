"""Does the plan stay calm? Sixty days planned anew every morning, steadied and not.

The demo farm is lived through twice with the same luck. Once every plan knows the one before and
pays for each unit changed, as the farm's own planning does; the peer plans every morning as if
there had been none. Counted are near batches (of the next seven days) whose number changes from
one morning's plan to the next, by more than 2 %, appears or vanishes. The two lives are lived side
by side, a core each, and say on the error stream how far they are. Every plan is sought until it is
proven to 1 %, so that a busy machine only takes longer; how many were not is told.

One line of JSON; exits 1 if more than a third of the peer's changes are left, or if the season
costs over 1 % more.

    python benchmarks/calm.py [DEMO_FOLDER] [DAYS]
"""

from __future__ import annotations

import json
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from planning_gap import built_demo, demo_farm

from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.odds import Odds, odds_of
from pinset.planning.season.relived import Life, Solve, live
from pinset.planning.season.tuning import PICKED, with_spare
from pinset.planning.solve import solve
from pinset.services.plans.plan_search import CHANGE_COST

DAYS, NEAR, SPARE = 60, 7, 0.2
GAP, SECONDS = 0.01, 60.0
SAYS_EVERY = 10  # days
SAME = 0.02
THIRD, COSTLIER = 1 / 3, 0.01


def steadied(asked: Problem, before: Plan | None) -> Plan:
    """Plan as the farm does."""
    return solve(
        asked, time_limit_s=SECONDS, gap=GAP, previous=before, change_cost=CHANGE_COST,
        explains=False, threads=1,
    )  # fmt: skip


def anew(asked: Problem, before: Plan | None) -> Plan:
    """Plan as if there had been no plan."""
    del before
    return solve(asked, time_limit_s=SECONDS, gap=GAP, explains=False, threads=1)


def changed(plans: list[Plan]) -> int:
    """Return how many near batches changed from one plan to the next."""
    found = 0
    for before, after in pairwise(plans):
        old, new = (
            {
                (s.day, s.variety, s.step): s.count
                for s in plan.starts
                if 0 < (s.day - after.start).days <= NEAR
            }
            for plan in (before, after)
        )
        for key in {*old, *new}:
            was, now = old.get(key, 0.0), new.get(key, 0.0)
            found += abs(now - was) > SAME * max(was, now)
    return found


def cost(problem: Problem, life: Life, days: int) -> float:
    """Return what was started on the plans' first days, and what was short, at their prices."""
    total = 0.0
    for plan in life.plans:
        for start in plan.starts:
            recipe = problem.recipe(start.variety)
            making = recipe.making(start.step) if recipe is not None else None
            if making is not None and start.day == plan.start:
                total += making.batch_cost + start.count * making.unit_cost
    for number, order in enumerate(problem.orders):
        recipe = problem.recipe(order.variety)
        if order.day < days and recipe is not None:
            short = order.amount - float(life.delivered[number])
            is_weight = order.step == "picked"
            making = recipe.making(order.step)
            price = recipe.short_cost_per_kg / 1000 if is_weight else making.short_cost  # type: ignore[union-attr]
            total += price * max(0.0, short)
    return total


WAYS: dict[str, Solve] = {"steadied": steadied, "anew": anew}


def lived(name: str, problem: Problem, first: Plan, odds: Odds, days: int) -> dict[str, float]:
    """Return what came of the days in one of the two ways."""
    begun, work = time.perf_counter(), time.process_time()

    def way(asked: Problem, before: Plan | None) -> Plan:
        day = (asked.start - problem.start).days
        if day % SAYS_EVERY == 0:
            print(f"{name}: day {day}, {time.perf_counter() - begun:.0f} s", file=sys.stderr)
        return WAYS[name](asked, before)

    life = live(problem, first, odds, seed=1, until=days, solve=way, every_days=1)
    return {
        "changed": changed(life.plans),
        "cost": round(cost(problem, life, days), 1),
        "not_proven": sum(plan.status != "proven" for plan in life.plans[1:]),
        "cpu_seconds_a_plan": round((time.process_time() - work) / days, 2),
        "seconds": round(time.perf_counter() - begun, 1),
    }


def main() -> int:
    """Live through the days twice and print the comparison."""
    folder = sys.argv[1] if len(sys.argv) > 1 else ""
    days = int(sys.argv[2]) if len(sys.argv) > 2 else DAYS
    book, living, today = demo_farm(folder) if folder else built_demo()
    problem, _ = build_problem(book, living, today)
    problem = with_spare(problem, {(recipe.variety, PICKED): SPARE for recipe in problem.recipes})
    problem = replace(problem, units=book.farm.units)
    odds = odds_of(book, living, today)
    first = solve(problem, time_limit_s=SECONDS, gap=GAP, explains=False)
    with ProcessPoolExecutor(len(WAYS), mp_context=get_context("spawn")) as pool:
        lives = {name: pool.submit(lived, name, problem, first, odds, days) for name in WAYS}
        found = {name: life.result() for name, life in lives.items()}
    share = found["steadied"]["changed"] / max(1, found["anew"]["changed"])
    dearer = found["steadied"]["cost"] / found["anew"]["cost"] - 1.0
    print(
        json.dumps(
            {
                "benchmark": "calm",
                "days": days,
                **found,
                "share_of_changes": round(share, 3),
                "dearer": round(dearer, 4),
                "limits": {"share_of_changes": round(THIRD, 3), "dearer": COSTLIER},
            }
        )
    )
    return int(share > THIRD or dearer > COSTLIER)


if __name__ == "__main__":
    raise SystemExit(main())
