"""How near to the best plan, and how fast: the near-weeks model against the direct one.

The peer is the direct form of the same farm in the same solver: every start, move and cook a whole
number on every day of the horizon, on any working day. Both get the same time in the same run. The
figure is the proven gap of each and their ratio. Prints one line of JSON; exits 1 if the near-weeks
model is not within 0.5 % in 20 s, everything included.

The farm is the demo's: one is built for the purpose, or a folder with one is named
(`python planning_gap.py DEMO_FOLDER`). `--invented` takes the six varieties that the tests use.
"""

from __future__ import annotations

import atexit
import json
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import Outcome, run
from pinset.planning.problem import Problem
from pinset.planning.solve import solve

SECONDS = 20.0
GAP = 0.005
DEMO_DAY = "2026-03-12"


def invented_farm() -> tuple[FarmBook, tuple[LivingLot, ...], date]:
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
    from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

    return six_variety_book(), six_variety_stock(), TODAY


def demo_farm(folder: str) -> tuple[FarmBook, tuple[LivingLot, ...], date]:
    os.environ["PINSET_FARM"] = folder
    os.environ["DJANGO_SETTINGS_MODULE"] = "pinset.settings"
    import django

    django.setup()
    from pinset.services.plans import planning_day
    from pinset.services.plans.stock_now import living_now

    newest = planning_day.latest()
    noon = datetime.combine(newest.plan.start, time(12), tzinfo=UTC) if newest else None
    book, today = planning_day.farm_book(noon)
    return book, living_now(book, today), today


def built_demo() -> tuple[FarmBook, tuple[LivingLot, ...], date]:
    folder = tempfile.mkdtemp(prefix="planning-gap-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    program = Path(sys.executable).with_name("pinset")
    command = [str(program), "demo", folder, "--no-serve"]
    subprocess.run([*command, "--today", DEMO_DAY], check=True, stdout=subprocess.DEVNULL)
    return demo_farm(folder)


def direct(problem: Problem) -> Outcome:
    """Solve the farm day by day in whole numbers to the end of the horizon."""
    daily = replace(problem, whole_days=problem.days, whole_parent_days=problem.days)
    return run(build_model(daily).programme, time_limit_s=SECONDS, gap=GAP)


def main() -> int:
    if len(sys.argv) == 1:
        book, living, today = built_demo()
    elif sys.argv[1] == "--invented":
        book, living, today = invented_farm()
    else:
        book, living, today = demo_farm(sys.argv[1])
    problem, _ = build_problem(book, living, today)
    free, _ = build_problem(book, living, today, keeps_rhythm=False)
    plan = solve(problem, time_limit_s=SECONDS, gap=GAP)
    peer = direct(free)
    found = peer.values is not None
    peer_gap = peer.gap if found else 1.0
    figures = {
        "benchmark": "planning_gap",
        "farm": book.farm.name,
        "gap": round(plan.gap, 5),
        "seconds": round(plan.seconds, 1),
        "status": plan.status,
        "columns_rows_nonzeros_whole": build_model(problem).programme.size,
        "direct_found_a_plan": found,
        "direct_gap": round(peer_gap, 5),
        "direct_seconds": round(peer.seconds, 1),
        "direct_columns_rows_nonzeros_whole": build_model(
            replace(free, whole_days=free.days, whole_parent_days=free.days)
        ).programme.size,
        "gap_ratio_direct_to_near_weeks": round(peer_gap / max(plan.gap, 1e-6), 1),
        "limits": {"gap": GAP, "seconds": SECONDS},
    }
    print(json.dumps(figures))
    return int(plan.gap > GAP or plan.seconds > SECONDS)


if __name__ == "__main__":
    sys.exit(main())
