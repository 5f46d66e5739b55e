"""A large farm of twenty varieties over 26 weeks, and planning anew from yesterday's plan.

The peer of the large farm is its direct form in the same solver, whole numbers on every day, given
the same time; that of planning anew is the same plan sought from nothing. Those two are sought
until they are proven, and the processor's work on all its cores is compared: a machine that does
other things meanwhile, or a limit on the time, would tell of itself.

One line of JSON; exits 1 if the large farm is not within 1 % in 60 s, or planning anew takes more
than a tenth of the work.

    python benchmarks/planning_large.py
"""

from __future__ import annotations

import json
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import run
from pinset.planning.plan import Plan
from pinset.planning.solve import solve
from pinset.services.plans.plan_search import CHANGE_COST
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

VARIETIES, HORIZON, NEAR = 20, 182, 14
SECONDS, GAP = 60.0, 0.01
SMALL_SECONDS, SMALL_GAP = 300.0, 0.005
FASTER = 10.0
KILO = 1024.0


def large_farm() -> tuple[FarmBook, tuple[LivingLot, ...]]:
    """Return the six varieties again and again, each time promised a little less."""
    book, stock = six_variety_book(), six_variety_stock()
    times = VARIETIES / len(book.varieties)
    varieties, promises, cultures, lots = [], [], [], []
    for number in range(VARIETIES):
        first = book.varieties[number % len(book.varieties)]
        turn = number // len(book.varieties)
        code = f"{first.code}-{turn}"
        varieties.append(replace(first, code=code, name=f"{first.name} {turn + 1}"))
        promises += [
            replace(p, code=f"{p.code}-{turn}", variety=code, amount=round(p.amount * 0.93**turn))
            for p in book.promises
            if p.variety == first.code
        ]
        cultures += [
            replace(c, code=f"{c.code}-{turn}", variety=code)
            for c in book.cultures
            if c.variety == first.code
        ]
        lots += [
            replace(lot, code=f"{lot.code}{turn}", variety=code)
            for lot in stock
            if lot.variety == first.code
        ]
    rooms = tuple(
        replace(
            room,
            shelves=tuple(replace(s, holds=round(s.holds * times)) for s in room.shelves),
        )
        for room in book.rooms
    )
    sterilisers = tuple(
        replace(each, cooks=tuple(replace(kind, litres=kind.litres * times) for kind in each.cooks))
        for each in book.sterilisers
    )
    benches = tuple(
        replace(each, minutes_per_day=round(each.minutes_per_day * times)) for each in book.benches
    )
    workers = tuple(
        replace(w, code=f"{w.code}{i}") for w in book.workers for i in range(round(times))
    )
    return replace(
        book, varieties=tuple(varieties), promises=tuple(promises), cultures=tuple(cultures),
        rooms=rooms, sterilisers=sterilisers, benches=benches, workers=workers, vessels=tuple(
            replace(v, in_circulation=round(v.in_circulation * times) if v.in_circulation else None)
            for v in book.vessels
        ),
    ), tuple(lots)  # fmt: skip


def worked(work: Callable[[], Plan]) -> tuple[Plan, float]:
    """Return a plan and what it took of the processor, in s."""
    begun = time.process_time()
    plan = work()
    return plan, time.process_time() - begun


def main() -> int:
    """Measure and print."""
    book, stock = large_farm()
    problem, _ = build_problem(book, stock, TODAY, horizon_days=HORIZON, whole_days=NEAR)
    plan = solve(problem, time_limit_s=SECONDS, gap=GAP)
    free, _ = build_problem(book, stock, TODAY, horizon_days=HORIZON, keeps_rhythm=False)
    daily = replace(free, whole_days=free.days, whole_parent_days=free.days)
    peer = run(build_model(daily).programme, time_limit_s=SECONDS, gap=GAP)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KILO

    book, stock = six_variety_book(), six_variety_stock()
    small, _ = build_problem(book, stock, TODAY)
    before = solve(small, time_limit_s=SMALL_SECONDS, gap=SMALL_GAP, explains=False)
    more = replace(
        small,
        orders=tuple(
            replace(order, amount=order.amount * (1.05 if n % 2 else 0.95))
            for n, order in enumerate(small.orders)
        ),
    )
    nothing, from_nothing = worked(
        lambda: solve(more, time_limit_s=SMALL_SECONDS, gap=SMALL_GAP, explains=False)
    )
    again, from_before = worked(
        lambda: solve(
            more, time_limit_s=SMALL_SECONDS, gap=SMALL_GAP, previous=before,
            change_cost=CHANGE_COST, explains=False,
        )
    )  # fmt: skip
    print(
        json.dumps(
            {
                "benchmark": "planning_large",
                "gap": round(plan.gap, 5),
                "seconds": round(plan.seconds, 1),
                "status": plan.status,
                "columns_rows_nonzeros_whole": build_model(problem).programme.size,
                "direct_gap": round(peer.gap, 4) if peer.values is not None else None,
                "peak_memory_mb": round(peak),
                "planned_anew": {
                    "from_nothing_cpu_s": round(from_nothing, 2),
                    "from_yesterday_cpu_s": round(from_before, 2),
                    "seconds": [round(nothing.seconds, 1), round(again.seconds, 1)],
                    "gaps": [round(nothing.gap, 5), round(again.gap, 5)],
                    "faster": round(from_nothing / from_before, 1),
                },
                "limits": {"gap": GAP, "seconds": SECONDS, "faster": FASTER},
            }
        )
    )
    within = plan.gap <= GAP and plan.seconds <= SECONDS
    return int(not within or from_nothing / from_before < FASTER)


if __name__ == "__main__":
    raise SystemExit(main())
