"""Tiny farms solved by trying every plan there is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cache
from itertools import product

import numpy as np
import pytest

from pinset.chain.stages import Stage
from pinset.planning.problem import Order, Problem, Stock, Weights
from pinset.planning.recipes import Arc, Making, Recipe
from pinset.planning.resources import CookOption, Resources, SteriliserDays
from pinset.planning.solve import solve

DAYS = 6
STARTS = (0, 1, 2)
MOST = 3


def tiny(rng: np.random.Generator, *, has_steriliser: bool) -> Problem:
    """Return grain from plates in stock, sold as units: lead 2 days, small numbers."""
    making_plate = Making("plate", Stage.PLATE, 2, 3, 1.0, start_days=())
    making = Making(
        step="grain",
        stage=Stage.GRAIN,
        lead_days=2,
        window_days=int(rng.integers(1, 4)),
        usable=float(rng.choice([0.5, 1.0])),
        start_days=STARTS,
        arcs=(Arc("plate", float(rng.integers(1, 4))),),
        largest_batch=MOST,
        unit_cost=float(rng.integers(1, 4)),
        batch_cost=float(rng.integers(0, 6)),
        hold_cost=0.25,
        short_cost=float(rng.integers(3, 12)),
        bench_minutes=10.0,
        cook="grain" if has_steriliser else "",
        litres=10.0 if has_steriliser else 0.0,
        cook_days_before=0,
    )
    orders = tuple(
        Order("o", "b", "v", day, float(rng.integers(0, 4)), "unit", "grain")
        for day in (2, 3, 4, 5)
    )
    resources = Resources(
        bench_minutes=tuple(float(rng.choice([0, 20, 30])) for _ in range(DAYS)),
        sterilisers=(
            (
                SteriliserDays(
                    "s",
                    (CookOption("grain", 5.0, 20.0, cost=2.0),),
                    tuple(float(rng.choice([0.0, 5.0])) for _ in range(DAYS)),
                    (1.0,) * DAYS,
                ),
            )
            if has_steriliser
            else ()
        ),
        is_sterile_counted=True,
        sterile_keeps_days=2,
    )
    return Problem(
        start=date(2026, 3, 2),
        days=DAYS,
        whole_days=DAYS,
        recipes=(Recipe("v", "V", DAYS, (making_plate, making)),),
        orders=tuple(order for order in orders if order.amount > 0),
        stock=(
            Stock("P1", "v", "plate", float(rng.integers(0, 3)), -1, 1),
            Stock("P2", "v", "plate", float(rng.integers(0, 3)), 0, 5),
        ),
        resources=resources,
        weights=Weights(culture_missing=0.0, end_missing=0.0),
        whole_parent_days=DAYS,
        has_end_stock=False,
        every_day=True,
    )


def can_open_plates(problem: Problem, counts: tuple[int, ...], goes: float) -> bool:
    plates = [[lot.last_day, lot.units] for lot in problem.stock]
    for day, count in zip(STARTS, counts, strict=True):
        wanted = float(np.ceil(count / goes))
        for plate in sorted(plates):
            if plate[0] >= day:
                taken = min(plate[1], wanted)
                plate[1] -= taken
                wanted -= taken
        if wanted > 1e-9:
            return False
    return True


def can_cook(problem: Problem, counts: tuple[int, ...], cooked: tuple[int, ...]) -> bool:
    """Cooked vessels are usable on the day and keep two days more; oldest first."""
    steriliser = problem.resources.sterilisers[0]
    pile: list[list[float]] = []
    for day in STARTS:
        if cooked[day] and steriliser.hours[day] < 5.0:
            return False
        if cooked[day]:
            pile.append([day + problem.resources.sterile_keeps_days, 2.0])
        wanted = float(counts[day])
        for vessel in sorted(pile):
            if vessel[0] >= day:
                taken = min(vessel[1], wanted)
                vessel[1] -= taken
                wanted -= taken
        if wanted > 1e-9:
            return False
    return True


def cost_of(problem: Problem, making: Making, counts: tuple[int, ...]) -> float:
    """Return production and the best use of what comes of it: sell, keep or throw away.

    Counted in half units: with usable fractions of 0.5 and 1 and whole demands nothing finer can
    be of use.
    """
    cost = sum(making.unit_cost * n + (making.batch_cost if n else 0.0) for n in counts)
    demand = sorted((order.day, round(2 * order.amount)) for order in problem.orders)
    have = tuple(round(2 * count * making.usable) for count in counts)

    @cache
    def best_gain(place: int, left: tuple[int, ...]) -> float:
        if place == len(demand):
            return 0.0
        due, wanted = demand[place]
        gains = []
        for taken in product(*(range(min(each, wanted) + 1) for each in left)):
            waits = [due - day - making.lead_days for day in STARTS]
            if sum(taken) > wanted or any(
                n and not 0 <= wait < making.window_days
                for n, wait in zip(taken, waits, strict=True)
            ):
                continue
            gain = sum(
                n / 2 * (making.short_cost - making.hold_cost * wait)
                for n, wait in zip(taken, waits, strict=True)
                if n
            )
            rest = tuple(each - n for each, n in zip(left, taken, strict=True))
            gains.append(gain + best_gain(place + 1, rest))
        return max(gains)

    owed = making.short_cost * sum(amount / 2 for _, amount in demand)
    return cost + owed - best_gain(0, have)


def every_plan(problem: Problem) -> Iterator[tuple[tuple[int, ...], float]]:
    """Yield what each possible plan starts on each day, and what it costs."""
    making = problem.recipes[0].makings[1]
    cooks = list(product((0, 1), repeat=len(STARTS))) if making.cook else [(0,) * len(STARTS)]
    for counts in product(range(MOST + 1), repeat=len(STARTS)):
        if any(
            10.0 * count > problem.resources.bench_minutes[day] + 1e-9
            for day, count in zip(STARTS, counts, strict=True)
        ):
            continue
        if not can_open_plates(problem, counts, making.arcs[0].units_per_parent):
            continue
        for cooked in cooks:
            if making.cook and not can_cook(problem, counts, cooked):
                continue
            yield counts, cost_of(problem, making, counts) + 2.0 * sum(cooked)


def brute_force(problem: Problem) -> float:
    return min(cost for _, cost in every_plan(problem))


@pytest.mark.parametrize("has_steriliser", [False, True])
@pytest.mark.parametrize("seed", range(12))
def test_nothing_better_exists(seed: int, has_steriliser: bool) -> None:  # noqa: FBT001
    problem = tiny(np.random.default_rng(seed), has_steriliser=has_steriliser)
    plan = solve(problem, time_limit_s=20.0, gap=0.0)
    assert plan.objective == pytest.approx(brute_force(problem), abs=1e-6)
