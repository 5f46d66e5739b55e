"""The search for what gets into vessels: against programs for mixed models, warm, held, growing.

The peers fit the plain model (no lot effect, no delay), as that is all they know; ours fits that
model for the comparison of log-likelihoods and the whole model for the comparison of times. The
package glmm is among the development requirements. GPBoost is not (it brings 300 MB); where it is
installed it is measured too. Peers are held by wall time in the same run; limits in seconds, and
growth, by processor time: the fit keeps to one thread, so on a quiet machine that is the wall's.
One line of JSON; exits 1 outside a limit.

    python benchmarks/incidence_fit.py [--small]
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path
from typing import Any, TypeVar

import glmm
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from learning.incidence.invented_farm import farm
from pinset.learning.incidence.fit import fit
from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.links import Link
from pinset.learning.incidence.maximum import maximum

T = TypeVar("T")

LOTS, VESSELS = 20_000, 50
SAME_LOTS = 2_000
MANY_LOTS, FEW_VESSELS = 100_000, 10
GROWTH = (10_000, 200_000)
NEW_LOTS, LOOKED_AT = 2_000, 40
"""Lots made since the last night, many at that; lots looked over in one round."""

FASTER = 10.0
SAME = 1e-6
WARM_SECONDS, HELD_SECONDS = 5.0, 0.1
LINEAR = 1.15
"""Times the growth in lots: what still counts as linear between two timings."""


def timed(work: Callable[[], T]) -> tuple[float, float, T]:
    """Return wall and processor seconds, and what came out."""
    gc.collect()
    wall, cpu = time.perf_counter(), time.process_time()
    found = work()
    return time.perf_counter() - wall, time.process_time() - cpu, found


def as_plain(made: Records) -> Records:
    """Return the same counts as the peers take them: read out, log odds."""
    return replace(made, link=Link.LOGIT, log_showing=np.zeros(len(made.lot)))


def by_glmm(made: Records) -> Any:
    """Fit the plain model by the package glmm."""
    columns: dict[str, Any] = {"share": made.lost / made.risk}
    columns |= {f.name: np.array(f.levels)[f.of_lot[made.lot]] for f in made.factors}
    groups = " + ".join(f"(1 | {factor.name})" for factor in made.factors)
    return glmm.fit(columns, f"share ~ 1 + {groups}", "binomial", weights=made.risk)


def by_gpboost(made: Records) -> Any:
    """Fit the plain model by GPBoost, where it is installed."""
    import gpboost

    groups = np.column_stack([f.of_lot[made.lot] for f in made.factors])
    model = gpboost.GPModel(
        group_data=groups, likelihood="binomial_logit", weights=made.risk.astype(float)
    )
    model.fit(y=made.lost / made.risk, X=np.ones((len(made.lot), 1)))
    return model


def without_newest(made: Records, lots: int) -> Records:
    """Return a farm as it was known before its newest lots were looked at."""
    known = made.lot < made.lots - lots
    return replace(made, lot=made.lot[known], lost=made.lost[known], risk=made.risk[known],
                   log_showing=made.log_showing[known])  # fmt: skip


def against_peers(lots: int) -> dict[str, Any]:
    """Return whole-model time of ours and plain-model times of the peers on the same counts."""
    made = farm(1, lots, VESSELS).records
    told = made.lot  # lots too young to show anything are rows for nobody
    plain = as_plain(made)
    wall, cpu, ours = timed(lambda: fit(made))
    theirs, their_cpu, _ = timed(lambda: by_glmm(plain))
    found: dict[str, Any] = {
        "lots": len(told), "settled": ours.settled, "ours_s": round(wall, 2),
        "ours_cpu_s": round(cpu, 2), "glmm_s": round(theirs, 2), "glmm_cpu_s": round(their_cpu, 2),
        "glmm_ratio": round(theirs / wall, 1),
    }  # fmt: skip
    if find_spec("gpboost"):
        theirs, their_cpu, _ = timed(lambda: by_gpboost(plain))
        found |= {"gpboost_s": round(theirs, 2), "gpboost_cpu_s": round(their_cpu, 2),
                  "gpboost_ratio": round(theirs / wall, 1)}  # fmt: skip
    return found


def same_likelihood() -> dict[str, float]:
    """Return log-likelihoods of the plain model."""
    plain = as_plain(farm(2, SAME_LOTS, VESSELS).records)
    ours, theirs = maximum(plain).log_likelihood, float(by_glmm(plain).loglik)
    return {"ours": ours, "glmm": theirs, "relative": abs(ours / theirs - 1.0)}


def refits(lots: int, vessels: int, *, hold: bool) -> dict[str, float]:
    """Return the best of three refits after new looks."""
    made = farm(3, lots, vessels).records
    before = fit(without_newest(made, LOOKED_AT if hold else min(NEW_LOTS, lots // 50)))
    tries = [timed(lambda: fit(made, before=before, hold=hold)) for _ in range(3)]
    wall, cpu, found = min(tries, key=lambda each: each[1])
    return {"s": round(wall, 3), "cpu_s": round(cpu, 3), "evaluations": found.evaluations}


def growth(sizes: tuple[int, int]) -> dict[str, Any]:
    """Return processor seconds of one evaluation, layout included, at two sizes."""
    found: dict[str, Any] = {}
    for lots in sizes:
        made = farm(4, lots, FEW_VESSELS).records
        fit(made)  # whatever is done once is done
        _, cpu, ours = timed(lambda made=made: fit(made))
        found[str(lots)] = {
            "cpu_s": round(cpu, 2), "evaluations": ours.evaluations,
            "each_s": cpu / ours.evaluations, "border": ours.model.order.shape.border,
            "block": ours.model.order.shape.size,
        }  # fmt: skip
    first, last = (found[str(lots)]["each_s"] for lots in sizes)
    found["times_lots"] = sizes[1] / sizes[0]
    found["times_cost"] = round(last / first, 1)
    return found


def main() -> int:
    """Measure and print."""
    small = "--small" in sys.argv
    shrink = 20 if small else 1
    same = same_likelihood()
    peers = against_peers(LOTS // shrink)
    warm = refits(MANY_LOTS // shrink, FEW_VESSELS, hold=False)
    held = refits(LOTS // shrink, VESSELS, hold=True)
    grown = growth((GROWTH[0] // shrink, GROWTH[1] // shrink))
    print(
        json.dumps(
            {
                "benchmark": "incidence_fit", "small": small, "same_likelihood": same,
                "against_peers": peers, "warm": warm, "held": held,
                "growth": grown,
                "limits": {"faster": FASTER, "same": SAME, "warm_s": WARM_SECONDS,
                           "held_s": HELD_SECONDS, "linear": LINEAR},
            }
        )
    )  # fmt: skip
    ratios = [value for name, value in peers.items() if name.endswith("_ratio")]
    within = (
        same["relative"] <= SAME
        and (small or min(ratios) >= FASTER)
        and warm["cpu_s"] <= WARM_SECONDS
        and held["cpu_s"] <= HELD_SECONDS
        and (small or grown["times_cost"] <= LINEAR * grown["times_lots"])
    )
    return int(not within)


if __name__ == "__main__":
    raise SystemExit(main())
