"""What a watched cook is told against when it was enough, over invented loads of laws of their own.

Prints one line of JSON. Exits 1 if a latest end that was told, or an end, lies before the true one
by more than the limit, or a look takes longer. The loads, their laws and how they are read are
those of ``tests/science/law_cooks.py``: none of the laws is built into what is held against them.

    python benchmarks/heat_watching.py [FIRST SEED] [COOKS]
"""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from pinset.science.judging.records import Rule
from pinset.services.cooks.watch.records import WatchReading
from pinset.services.cooks.watch.state import watch_state
from science.law_cooks import Cook, cook_of

BEGAN = datetime(2026, 3, 12, 7, 0, tzinfo=UTC)
RULE = Rule(f0=15.0)
FIRST, COOKS = 5000, 220
SHARES = (0.3, 0.55, 0.8)  # of the time, when it is looked at
LIMITS = {"earliest_min": 3.0, "look_s": 1.0}
WAYS = (0.0, 0.3, 0.6, 0.8, 0.9, 2.0)  # of a core from its start to its chamber


def looks(cook: Cook, seed: int) -> list[tuple[float, float, float, float, float]]:
    """Return of each look: the way gone, how late both times are, what was left, and its cost."""
    t, chamber, core = cook.read(np.random.default_rng(seed))
    rows = [
        WatchReading(BEGAN + timedelta(seconds=float(at)), float(around), None, float(inside))
        for at, around, inside in zip(t, chamber, core, strict=True)
    ]
    found = []
    for share in SHARES:
        many = int(share * len(rows))
        if many < 3 or chamber[many - 1] < np.max(cook.chamber_c) - 3.0:
            continue
        begin = process_time()
        said = watch_state(cook.load, RULE, rows[:many], rows[many - 1].at,
                           heated_since=BEGAN if cook.first_s else None)  # fmt: skip
        cost = process_time() - begin
        until = said.latest_at or said.end_at
        if until is None or said.enough_since is not None:
            continue
        end = BEGAN + timedelta(seconds=cook.end_s)
        late, likely = (
            (each - end).total_seconds() / 60.0 for each in (until, said.likely_at or until)
        )
        way = float((core[many - 1] - 20.0) / (chamber[many - 1] - 20.0))
        found.append((way, late, likely, (cook.end_s - t[many - 1]) / 60.0, cost))
    return found


def main() -> int:
    """Measure and print."""
    first = int(sys.argv[1]) if len(sys.argv) > 1 else FIRST
    cooks = int(sys.argv[2]) if len(sys.argv) > 2 else COOKS
    found = []
    for seed in range(first, first + cooks):
        cook = cook_of(seed)
        if np.isfinite(cook.end_s):
            found.append(looks(cook, seed))
            earliest = min((late for _, late, *_ in found[-1]), default=0.0)
            print(seed, cook.law, cook.chamber, f"{earliest:.1f} min", file=sys.stderr, flush=True)
    seen = np.array([each for of_one in found for each in of_one])
    way, late, likely, left, cost = seen.T
    said = {
        "cooks": len(found),
        "looks": len(seen),
        "share_early": round(float(np.mean(late < 0.0)), 4),
        "share_early_by_3_min": round(float(np.mean(late < -LIMITS["earliest_min"])), 4),
        "earliest_min": round(float(-np.min(late)), 1),
        "look_s": round(float(np.median(cost)), 3),
        "longest_look_s": round(float(np.max(cost)), 3),
    }
    for low, high in pairwise(WAYS):
        those = (way >= low) & (way < high)
        if np.any(those):
            said[f"way {low:g} to {min(high, 1.0):g}"] = {
                "looks": int(np.sum(those)),
                "latest_late_min": np.percentile(late[those], [0, 50, 90]).round(1).tolist(),
                "likely_late_min": np.percentile(likely[those], [10, 50, 90]).round(1).tolist(),
                "left_min": round(float(np.median(left[those])), 1),
            }
    print(json.dumps(said))
    is_beyond = said["earliest_min"] > LIMITS["earliest_min"] or said["look_s"] > LIMITS["look_s"]
    return int(is_beyond)


if __name__ == "__main__":
    sys.exit(main())
