"""The programme without limits of resources and batches, in which no promise is shorter."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import INFINITY, Change
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.shortfall import scale

TOLERANCE = 1e-6  # above the shortage found, so that rounding cannot make a pass impossible
DEARER = 20.0  # a shortage costs so many times its price

Passed = Callable[[Model, Change], NDArray[float64] | None]
"""Solves a changed programme; None: not solved to the end, and nothing may be read from it."""


def unlimited(model: Model, short: Mapping[Key, float]) -> Change:
    """Return the change in which no capacity and no batch is limited, and nothing is shorter."""
    held = no_shorter(model, short)
    cost = {column: DEARER * model.programme.cost[column] for column in held}
    return Change(
        row_upper={each.row: INFINITY for each in model.capacities},
        upper=held | dict.fromkeys((*model.x.values(), *model.s.values()), INFINITY),
        cost=cost | dict.fromkeys(model.wishes, 0.0),  # nothing for the end or for cultures
        is_relaxed=True,
    )


def no_shorter(model: Model, short: Mapping[Key, float]) -> dict[int, float]:
    """Return upper bounds with which no promise is shorter than it was found to be."""
    return {model.short[key]: short[key] / scale(key) + TOLERANCE for key in model.short}


def still_short(model: Model, values: NDArray[float64], key: Key, most: float) -> float:
    """Return how much of a promise a pass leaves short, and no more than so much."""
    return min(most, max(0.0, float(values[model.short[key]]) * scale(key)))
