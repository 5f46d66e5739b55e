"""Core temperatures and F0 of a thousand different bags: the series against two grids.

Peers, on the same bags under the same chamber curve in the same run: alternating directions on
30 x 40 cells compiled with numba, and scikit-fem with 8 x 8 quadratic elements. A part of the bags
is enough for them and their time is scaled. Errors are of F0, against a series of 80 modes a side.
Also one bag from cold, and ten thousand. Prints one line of JSON; exits 1 if a limit is broken or a
peer was more exact.
"""

from __future__ import annotations

import json
import sys

import numpy as np
from best_of import best
from numpy import float64
from numpy.typing import NDArray
from peers import finite_elements, grid_adi

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.many import Bags, core_curves

Values = NDArray[float64]

BAGS, MANY, GRIDDED, MESHED, CHECKED = 1000, 10_000, 60, 30, 200
START_C = 20.0
LIMITS = {"adi_ratio": 100.0, "fem_ratio": 300.0, "one_bag_ms": 3.0, "many_s": 1.0}


def chamber() -> tuple[Values, Values]:
    """Return a cook of six hours, read every minute: heated, held, vented, cooled."""
    seconds = 60.0 * np.arange(361)
    corners = [0, 20, 35, 185, 200, 245, 360]
    degrees = [20.0, 100.0, 121.5, 121.5, 100.0, 35.0, 30.0]
    return seconds, np.interp(seconds / 60.0, corners, degrees)


def bags(count: int) -> Bags:
    rng = np.random.default_rng(1)
    return Bags(
        rng.uniform(0.05, 0.1, count),
        rng.uniform(0.12, 0.3, count),
        rng.uniform(0.25, 0.7, count),
        rng.uniform(1.5e6, 3.5e6, count),
        rng.uniform(10.0, 150.0, count),
    )


def f0(core: Values, seconds: Values) -> Values:
    found: Values = np.trapezoid(10.0 ** ((core - 121.1) / 10.0), seconds / 60.0, axis=-1)
    return found


def one(all_bags: Bags, n: int) -> tuple[float, float, float, float, float]:
    return (
        float(all_bags.radius[n]),
        float(all_bags.height[n]),
        float(all_bags.conductivity[n]),
        float(all_bags.heat_capacity[n]),
        float(all_bags.surface[n]),
    )


def by_series(all_bags: Bags, n: int, seconds: Values, degrees: Values, count: int = 0) -> Values:
    radius, height, *properties = one(all_bags, n)
    own = modes_of(Cylinder(radius, height), Material(*properties), count=count)
    return core_curve(own, seconds, degrees, START_C)


def main() -> int:
    """Measure, print, judge."""
    seconds, degrees = chamber()
    some, many = bags(BAGS), bags(MANY)
    exact = np.array(
        [f0(by_series(some, n, seconds, degrees, 80), seconds) for n in range(CHECKED)]
    )

    def worst(found: Values) -> float:
        return float(np.max(np.abs(found / exact[: len(found)] - 1.0)))

    def all_together(which: Bags) -> Values:
        return f0(core_curves(which, seconds, degrees, START_C), seconds)

    def gridded() -> Values:
        cores = [
            grid_adi.core(*one(some, n), seconds, degrees, START_C, 30, 40) for n in range(GRIDDED)
        ]
        return f0(np.array(cores), seconds)

    def meshed() -> Values:
        cores = [
            finite_elements.core(*one(some, n), seconds, degrees, START_C) for n in range(MESHED)
        ]
        return f0(np.array(cores), seconds)

    gridded()  # compiled before it is timed
    ours = best(lambda: all_together(some))
    adi = best(gridded, 2) * BAGS / GRIDDED
    fem = best(meshed, 2) * BAGS / MESHED
    errors = {
        "series": worst(all_together(some)[:CHECKED]),
        "adi": worst(gridded()),
        "fem": worst(meshed()),
    }
    figures = {
        "benchmark": "heat_bags",
        "bags": BAGS,
        "series_s": round(ours, 4),
        "adi_ratio": round(adi / ours, 1),
        "fem_ratio": round(fem / ours, 1),
        "one_bag_ms": round(1e3 * best(lambda: by_series(some, 0, seconds, degrees)), 2),
        "many_s": round(best(lambda: all_together(many), 2), 2),
        "worst_f0_error": {name: float(f"{value:.2g}") for name, value in errors.items()},
        "limits": LIMITS,
    }
    print(json.dumps(figures))
    is_fast = ours > 0 and adi / ours >= LIMITS["adi_ratio"] and fem / ours >= LIMITS["fem_ratio"]
    is_soon = (
        figures["one_bag_ms"] <= LIMITS["one_bag_ms"] and figures["many_s"] <= LIMITS["many_s"]
    )
    is_exact = errors["series"] <= min(errors["adi"], errors["fem"])
    return int(not (is_fast and is_soon and is_exact))


if __name__ == "__main__":
    sys.exit(main())
