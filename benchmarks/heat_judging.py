"""Judging a day of eight probes at one reading a second, beside F0 alone by numpy's trapezium.

All cores are sound and pass, so every search for what speaks against a core runs to its end.
Prints one line of JSON. Exits 1 if judging takes longer than its limit. Reading the same day from a
file of text is printed beside it.
"""

from __future__ import annotations

import json
import sys

import numpy as np
from best_of import best
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.reader import read_log
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict

Values = NDArray[float64]

READINGS, PROBES = 86_400, 8
CORNERS_S = [0, 3600, 40_000, 50_000, READINGS]
CHAMBER_C = [20.0, 121.3, 121.3, 60.0, 30.0]
NOISE_K = 0.1
RADII_M = (0.055, 0.075)  # of bags, length three times as much
BAG = Material(0.45, 2.4e6, 60.0)  # W/(m K), J/(m3 K), W/(m2 K)
LIMITS = {"judge_s": 0.3}
RULE = Rule(f0=15.0, hold_c=115.0, hold_minutes=60.0)


def day() -> tuple[Values, list[Probe]]:
    """Return an invented day: the chamber and the middles of seven bags of wet sawdust in it.

    The bags conduct by the series, each a little larger than the one before.
    """
    random = np.random.default_rng(1)
    seconds = np.arange(READINGS, dtype=float64)
    chamber = np.interp(seconds, CORNERS_S, CHAMBER_C)
    minutes = seconds[::60]
    rows = [chamber]
    for radius in np.linspace(*RADII_M, PROBES - 1):
        modes = modes_of(Cylinder(float(radius), 3.0 * float(radius)), BAG)
        core = core_curve(modes, minutes, chamber[::60], CHAMBER_C[0])
        rows.append(np.interp(seconds, minutes, core))
    rows = [row + random.normal(0.0, NOISE_K, READINGS) for row in rows]
    roles = [Role.CHAMBER, *[Role.CORE] * (PROBES - 1)]
    names = ["chamber [°C]", *[f"bag {number} core [°C]" for number in range(1, PROBES)]]
    return seconds, [Probe(*each) for each in zip(names, roles, rows, strict=True)]


def as_text(seconds: Values, probes: list[Probe]) -> bytes:
    """Return the day as a logger writes it."""
    table = np.column_stack((seconds, *(probe.temperature_c for probe in probes)))
    heads = ",".join(["s", *(probe.name for probe in probes)])
    rows = [",".join((f"{row[0]:.0f}", *(f"{each:.2f}" for each in row[1:]))) for row in table]
    return "\n".join([heads, *rows]).encode()


def main() -> int:
    """Measure and print."""
    seconds, probes = day()
    file = as_text(seconds, probes)

    def by_trapezium() -> list[float]:
        rates = [10.0 ** ((probe.temperature_c - 121.1) / 10.0) for probe in probes]
        return [float(np.trapezoid(rate, seconds)) / 60.0 for rate in rates]

    judged = judge(seconds, probes, RULE)
    if judged.verdict is not Verdict.PASS:
        raise SystemExit(f"The day is sound and has to pass: {judged.sentence}")
    ours, peer = best(lambda: judge(seconds, probes, RULE)), best(by_trapezium)
    off = max(
        abs(position.f0_min / f0 - 1.0)
        for position, f0 in zip(judged.positions, by_trapezium(), strict=True)
    )
    figures = {
        "benchmark": "heat_judging",
        "readings": READINGS,
        "probes": PROBES,
        "judge_s": round(ours, 3),
        "times_f0_by_trapezium": round(ours / peer, 1),
        "f0_off": float(f"{off:.1g}"),
        "read_file_s": round(best(lambda: read_log(file, "day.csv"), 1), 2),
        "limits": LIMITS,
    }
    print(json.dumps(figures))
    return int(ours > LIMITS["judge_s"])


if __name__ == "__main__":
    sys.exit(main())
