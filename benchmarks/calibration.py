"""Are promises met as often as they are said to be? Seasons of farms with known truth.

Farms are drawn from the six invented varieties: two of them each, more or less promised, more or
less alive, aiming at more or less. Each is planned, its chances are reckoned by the quick policy,
and then one season of it is lived through, planned anew every week from what is alive. What
was cooked and is not used yet is counted in each new plan. The orders are put together by the
chance that was said, all of them and by blocks of four weeks; printed is how many of them were met,
and by how much each bin is out. Bins of fewer than 1,000 orders are judged by the band that drawing
whole farms anew gives. One line of JSON and a table; exits 1 if a bin of all orders is further out
than it may be.

    python benchmarks/calibration.py [FARMS] [WEEKS]
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.chances import MET, chances_of
from pinset.planning.season.odds import odds_of
from pinset.planning.season.relived import live
from pinset.planning.season.tuning import PICKED, with_spare
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

FARMS, WEEKS, SAID_FROM = 240, 12, 1000
EDGES = np.array([0.0, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001])
LARGE, ALLOWED = 1000, 0.05
RESAMPLED, BAND = 2000, 0.99
BLOCK = 28  # days

Lived = tuple[NDArray[np.float64], NDArray[np.bool_], NDArray[np.int64]]  # said, met, day


def lightly(problem: Problem, before: Plan | None) -> Plan:
    """Plan without whole numbers, for speed: what rounding parents costs is added on all days."""
    del before
    light = replace(problem, whole_days=0, whole_parent_days=0)
    return solve(light, time_limit_s=30.0, explains=False)


def one_farm(number: int, weeks: int) -> Lived:
    """Return what was said of a farm's orders, and which of them were met in its one season."""
    rng = np.random.Generator(np.random.PCG64(number))
    book, living = six_variety_book(), six_variety_stock()
    codes = rng.choice([v.code for v in book.varieties], 2, replace=False)
    scale, alive, share = rng.uniform(0.6, 1.3), rng.uniform(0.7, 1.2), rng.uniform(0.0, 0.4)
    book = replace(
        book,
        varieties=tuple(v for v in book.varieties if v.code in codes),
        promises=tuple(
            replace(p, amount=max(1, round(p.amount * scale)))
            for p in book.promises
            if p.variety in codes
        ),
    )
    living = tuple(
        replace(lot, alive=max(1, round(lot.alive * alive)))
        for lot in living
        if lot.variety in codes
    )
    problem, _ = build_problem(book, living, TODAY)
    problem = with_spare(problem, dict.fromkeys(((code, PICKED) for code in codes), share))
    odds = odds_of(book, living, TODAY)
    plan = lightly(problem, None)
    days = 7 * weeks
    said = chances_of(problem, plan, odds, seasons=SAID_FROM, seed=number, days=days)
    given = live(problem, plan, odds, seed=100_000 + number, until=days, solve=lightly).delivered
    mine = [n for n, order in enumerate(problem.orders) if order.day < days]
    met = np.array([given[n] >= MET * problem.orders[n].amount for n in mine])
    due = np.array([problem.orders[n].day for n in mine])
    return np.array([each.chance for each in said.orders]), met, due


def table(
    said: NDArray[np.float64], met: NDArray[np.bool_], farm: NDArray[np.int64], farms: int
) -> list[dict[str, float]]:
    """Return the bins: what was said on average, the share met, orders, how far it is out."""
    rng = np.random.Generator(np.random.PCG64(0))
    rows = []
    for low, high in pairwise(EDGES):
        here = (said >= low) & (said < high)
        orders = int(here.sum())
        if not orders:
            continue
        off = float(met[here].mean() - said[here].mean())
        totals = np.zeros((farms, 2))
        np.add.at(totals, farm[here], np.stack([met[here] - said[here], np.ones(orders)], axis=1))
        drawn = totals[rng.integers(0, farms, (RESAMPLED, farms))].sum(axis=1)
        tail = (1.0 - BAND) / 2.0
        band = np.quantile(drawn[:, 0] / np.maximum(1.0, drawn[:, 1]), [tail, 1.0 - tail]) - off
        may_be = ALLOWED if orders >= LARGE else float(np.max(np.abs(band)))
        rows.append(
            {
                "said": round(float(said[here].mean()), 3),
                "met": round(float(met[here].mean()), 3),
                "orders": orders,
                "off": round(off, 3),
                "allowed": round(may_be, 3),
            }
        )
    return rows


def main() -> int:
    """Live through the farms and print the tables."""
    farms = int(sys.argv[1]) if len(sys.argv) > 1 else FARMS
    weeks = int(sys.argv[2]) if len(sys.argv) > 2 else WEEKS
    lived = [one_farm(number, weeks) for number in range(farms)]
    said, met, due = (np.concatenate([each[i] for each in lived]) for i in range(3))
    farm = np.concatenate([np.full(len(each[0]), i) for i, each in enumerate(lived)])
    bins = table(said, met, farm, farms)
    blocks = {
        f"weeks {first // 7 + 1}-{(first + BLOCK) // 7}": table(
            said[here], met[here], farm[here], farms
        )
        for first in range(0, 7 * weeks, BLOCK)
        if (here := (due >= first) & (due < first + BLOCK)).any()
    }
    for name, rows in (("all", bins), *blocks.items()):
        print(name, *rows, sep="\n", file=sys.stderr)
    result = {"benchmark": "calibration", "farms": farms, "weeks": weeks}
    print(json.dumps({**result, "bins": bins, "blocks": blocks}))
    return int(any(abs(row["off"]) > row["allowed"] for row in bins))


if __name__ == "__main__":
    raise SystemExit(main())
