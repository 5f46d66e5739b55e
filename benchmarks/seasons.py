"""Ten thousand seasons at once, against the same seasons one by one as plain events.

The peer is simpy: one variety's farm event by event, the form a person would write first. Both
simulate the same small farm in the same run; printed is how many times more seasons a second the
vectorised form makes, and the demo farm's own time for 10,000 seasons of 16 weeks with its peak of
memory. One line of JSON; exits 1 if the demo takes more than 3 s or the ratio is under 5.

    python benchmarks/seasons.py [DEMO_FOLDER]
"""

from __future__ import annotations

import json
import random
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).parent))

from planning_gap import built_demo, demo_farm

from pinset.planning.building.from_book import build_problem
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import odds_of
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve
from planning.plain_season import season
from planning.test_season import CASE, farm

SEASONS, BLOCK, DAYS = 10_000, 2_000, 112
PLAIN = 1_500
SECONDS, RATIO = 3.0, 5.0
KILO = 1024.0


def main() -> int:
    """Measure and print."""
    problem, plan, odds = farm(CASE)
    begun = time.perf_counter()
    carry_out(problem, plan, odds, ByChance(seeded(1), SEASONS))
    at_once = SEASONS / (time.perf_counter() - begun)
    rng = random.Random(1)
    begun = time.perf_counter()
    for _ in range(PLAIN):
        season(CASE, rng, problem.days)
    one_by_one = PLAIN / (time.perf_counter() - begun)

    book, living, today = demo_farm(sys.argv[1]) if len(sys.argv) > 1 else built_demo()
    demo, _ = build_problem(book, living, today)
    plan = solve(demo, time_limit_s=20.0, gap=0.01)
    odds = odds_of(book, living, today)
    begun = time.perf_counter()
    for seed in range(SEASONS // BLOCK):
        carry_out(demo, plan, odds, ByChance(seeded(seed), BLOCK), until=DAYS)
    seconds = time.perf_counter() - begun
    ratio = at_once / one_by_one
    print(
        json.dumps(
            {
                "benchmark": "seasons",
                "seasons_a_second": {"at_once": round(at_once), "simpy": round(one_by_one)},
                "ratio": round(ratio),
                "demo_10000_seasons_s": round(seconds, 2),
                "peak_memory_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KILO),
                "limits": {"demo_s": SECONDS, "ratio": RATIO},
            }
        )
    )
    return 0 if seconds <= SECONDS and ratio >= RATIO else 1


if __name__ == "__main__":
    raise SystemExit(main())
