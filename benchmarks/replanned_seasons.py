"""The quick policy of the seasons against planning anew: the same luck, two ways to answer it.

One farm is lived through day by day in seasons of its own luck. On every Monday it is planned anew
from what is alive then, by the whole model, and the plan is followed until the next. The peer is
the quick policy that Promises quotes chances from. Printed is, by block of four weeks, the share
of orders met by each, and the difference with its error over whole seasons. One line of JSON.

    python benchmarks/replanned_seasons.py [SEASONS] [WEEKS]
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from pinset.planning.building.from_book import build_problem
from pinset.planning.season.chances import MET
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import odds_of
from pinset.planning.season.relived import live
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve
from pinset.services.plans.plan_search import CHANGE_COST
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

BLOCK = 28
GAP, SECONDS = 0.02, 6.0


def main() -> int:
    """Live through the seasons and print the comparison."""
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    weeks = int(sys.argv[2]) if len(sys.argv) > 2 else 12
    book, living = six_variety_book(), six_variety_stock()
    problem, _ = build_problem(book, living, TODAY)
    problem = replace(
        problem, recipes=tuple(replace(recipe, spare=0.2) for recipe in problem.recipes)
    )
    odds = odds_of(book, living, TODAY)
    plan = solve(problem, time_limit_s=20.0, gap=GAP)
    days = 7 * weeks
    begun = time.perf_counter()
    quick = carry_out(problem, plan, odds, ByChance(seeded(1), 5000), until=days).delivered
    quick_s = time.perf_counter() - begun
    begun = time.perf_counter()
    lived = np.stack(
        [
            live(
                problem, plan, odds, seed=seed, until=days,
                solve=lambda asked, before: solve(
                    asked, time_limit_s=SECONDS, gap=GAP, previous=before, change_cost=CHANGE_COST
                ),
            ).delivered
            for seed in range(seasons)
        ]
    )  # fmt: skip
    lived_s = time.perf_counter() - begun
    amounts = np.array([order.amount for order in problem.orders])
    found = {}
    for first in range(0, days, BLOCK):
        mine = [n for n, order in enumerate(problem.orders) if first <= order.day < first + BLOCK]
        theirs = (lived[:, mine] >= MET * amounts[mine]).mean(axis=1)
        ours = float((quick[mine] >= MET * amounts[mine][:, None]).mean())
        found[f"weeks {first // 7 + 1}-{(first + BLOCK) // 7}"] = {
            "planned_anew": round(float(theirs.mean()), 3),
            "quick": round(ours, 3),
            "difference": round(ours - float(theirs.mean()), 3),
            "error": round(float(theirs.std(ddof=1) / np.sqrt(seasons)), 3),
        }
    print(
        json.dumps(
            {
                "benchmark": "replanned_seasons",
                "seasons": seasons,
                "met": found,
                "seconds": {"planned_anew": round(lived_s, 1), "quick_5000": round(quick_s, 2)},
            }
        )
    )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
