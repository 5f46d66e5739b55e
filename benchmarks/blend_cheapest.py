"""The cheapest blend of 30 ingredients within 15 limits, beside two ways to solve the same.

Peers, on the same rows in the same run: the interior point method of HiGHS by scipy, and HiGHS by
highspy with no scipy in between. Ours solves by the dual simplex and works out, beside, what every
limit costs and what is in the blend. All three have to agree on the cost. The same for when nothing
fits, where ours says how far every limit would have to give. Prints one line of JSON; exits 1 if a
blend takes longer than its limit or the costs differ.
"""

from __future__ import annotations

import json
import sys

import highspy
import numpy as np
from best_of import best
from highspy._core import _Highs
from scipy.optimize import linprog

from pinset.science.air.ranges import Range
from pinset.science.mixing.cheapest import NoBlendError, cheapest
from pinset.science.mixing.ingredients import Ingredient
from pinset.science.mixing.limits import Limit, Of, Offer, Row, rows_for

INGREDIENTS, TIMES = 30, 30
MASS_KG, MOISTURE = 1000.0, 0.62
LIMITS = {"blend_ms": 50.0, "cost_off": 1e-9}


def offers() -> tuple[Offer, ...]:
    """Return thirty invented ingredients; nine of them carry a limit of their own."""
    random = np.random.default_rng(7)
    found = []
    for number in range(INGREDIENTS):
        rich = number % 3 == 0
        middle = float(random.uniform(0.015, 0.07) if rich else random.uniform(0.001, 0.009))
        own = Ingredient(
            f"ingredient {number}",
            float(random.uniform(0.40, 0.50)),
            Range(0.8 * middle, middle, 1.2 * middle),
            float(random.uniform(0.005, 0.12)),
            float(random.uniform(0.05, 0.45)),
            is_supplement=rich,
        )
        # the rich are dear, so that limits bind
        price = float(random.uniform(0.04, 0.25) + 8.0 * middle)
        found.append(
            Offer(
                own,
                own.moisture_wet,
                price,
                least_share=0.01 if number in {4, 13, 22} else 0.0,
                most_share=0.2 if number in {1, 7, 16} else 1.0,
                stock_kg=60.0 if number in {0, 10, 19} else None,
            )
        )
    return tuple(found)


def limits(nitrogen: float) -> tuple[Limit, ...]:
    """Return five limits on the blend; with the moisture of the mix and those of offers fifteen."""
    return (
        Limit(Of.NITROGEN, nitrogen, is_least=True),
        Limit(Of.NITROGEN, max(0.012, nitrogen), is_least=False),
        Limit(Of.RATIO, 65.0, is_least=False),
        Limit(Of.ASH, 0.06, is_least=False),
        Limit(Of.SUPPLEMENT, 0.25, is_least=False),
    )


def matrix(all_offers: tuple[Offer, ...], asked: tuple[Limit, ...]) -> tuple[Row, ...]:
    wet = Limit(Of.MOISTURE, MOISTURE, is_least=False)
    return rows_for(all_offers, [*asked, wet], MASS_KG * (1.0 - MOISTURE))


def by_interior_point(prices: np.ndarray, rows: tuple[Row, ...]) -> float:
    found = linprog(
        prices,
        A_ub=np.array([row.coefficients for row in rows]),
        b_ub=np.array([row.bound for row in rows]),
        A_eq=np.ones((1, len(prices))),
        b_eq=np.ones(1),
        bounds=(0.0, None),
        method="highs-ipm",
    )
    return float(found.fun)


def by_highspy(prices: np.ndarray, rows: tuple[Row, ...]) -> float:
    solver = _Highs()  # the class that wraps it prints a banner
    solver.setOptionValue("output_flag", False)
    count = len(prices)
    numbers = np.arange(count, dtype=np.int32)
    solver.addVars(count, np.zeros(count), np.full(count, highspy.kHighsInf))
    solver.changeColsCost(count, numbers, prices)
    for row in rows:
        values = np.array(row.coefficients)
        solver.addRow(-highspy.kHighsInf, row.bound, count, numbers, values)
    solver.addRow(1.0, 1.0, count, numbers, np.ones(count))
    solver.run()
    return float(solver.getInfo().objective_function_value)


def nothing_fits(all_offers: tuple[Offer, ...], asked: tuple[Limit, ...]) -> int:
    """Return how many limits stand in the way alone."""
    try:
        cheapest(all_offers, asked, MASS_KG, MOISTURE)
    except NoBlendError as problem:
        return len(problem.reaches)
    raise SystemExit("Something fits, and nothing should.")


def main() -> int:
    """Measure and print."""
    all_offers, asked, too_much = offers(), limits(0.008), limits(0.03)
    rows = matrix(all_offers, asked)
    prices = np.array([each.price_per_kg * each.wet_per_dry for each in all_offers])
    dry = MASS_KG * (1.0 - MOISTURE)

    found = cheapest(all_offers, asked, MASS_KG, MOISTURE)
    ours = best(lambda: cheapest(all_offers, asked, MASS_KG, MOISTURE), TIMES)
    interior = best(lambda: by_interior_point(prices, rows), TIMES)
    bare = best(lambda: by_highspy(prices, rows), TIMES)
    peers = (by_interior_point(prices, rows) * dry, by_highspy(prices, rows) * dry)
    off = max(abs(peer / found.cost - 1.0) for peer in peers)
    none = best(lambda: nothing_fits(all_offers, too_much), TIMES)
    figures = {
        "benchmark": "blend_cheapest",
        "ingredients": len(all_offers),
        "limits_on_it": len(rows),
        "limits_that_bind": len(found.costs),
        "blend_ms": round(1e3 * ours, 2),
        "times_interior_point": round(ours / interior, 2),
        "times_highspy": round(ours / bare, 2),
        "no_blend_ms": round(1e3 * none, 2),
        "stand_in_the_way": nothing_fits(all_offers, too_much),
        "cost_off": float(f"{off:.1g}"),
        "limits": LIMITS,
    }
    print(json.dumps(figures))
    broken = [name for name, limit in LIMITS.items() if figures[name] > limit]
    return int(bool(broken))


if __name__ == "__main__":
    sys.exit(main())
