"""The cheapest blend that keeps to its limits, and what every limit costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import OptimizeResult, linprog

from pinset.errors import InputError, PinsetError
from pinset.science.mixing.batch import Batch
from pinset.science.mixing.blend import Portion, blended
from pinset.science.mixing.ingredients import checked_moisture
from pinset.science.mixing.limits import Limit, Of, Offer, Row, rows_for

TIGHT = 1e-9
FELT = 1e-7
"""Money per kilogram of dry mass below which a limit costs nothing."""


@dataclass(frozen=True, slots=True)
class Costs:
    """What a limit costs."""

    limit: Limit
    step: float  # by which it is loosened: a tenth of a point of nitrogen, one point of a share ...
    saved: float  # money for the batch, were it loosened by that step, for as long as that holds


@dataclass(frozen=True, slots=True)
class Reach:
    """How far one limit would have to give for there to be a mix."""

    limit: Limit
    best: float  # the nearest value that the other limits allow


@dataclass(frozen=True, slots=True)
class Cheapest:
    """The cheapest blend."""

    batch: Batch
    shares: tuple[float, ...]  # of dry mass, in the order of the offers
    cost: float  # of the batch; water is free
    costs: tuple[Costs, ...]  # of the limits that cost something, the dearest first


class NoBlendError(PinsetError):
    """No blend keeps to all limits.

    Parameters
    ----------
    reaches : tuple of Reach
        Limits each of which alone stands in the way, with what the others allow; empty if no
        single one does.
    """

    def __init__(self, reaches: tuple[Reach, ...]) -> None:
        self.reaches = reaches
        named = "; ".join(f"{each.limit.of.value}: {each.best:.4g}" for each in reaches)
        super().__init__(f"No blend keeps to all limits. {named}".strip())


STEPS = {
    Of.NITROGEN: 0.001,
    Of.RATIO: 1.0,
    Of.ASH: 0.01,
    Of.SUPPLEMENT: 0.01,
    Of.MOISTURE: 0.01,
    Of.SHARE: 0.01,
    Of.STOCK: 1.0,
}


def cheapest(
    offers: Sequence[Offer], limits: Sequence[Limit], mass_kg: float, moisture_wet: float
) -> Cheapest:
    """Return the cheapest blend that keeps to its limits.

    Parameters
    ----------
    offers : sequence of Offer
        What may go in, each name once.
    limits : sequence of Limit
        On nitrogen, C:N, ash or supplement.
    mass_kg : float
        Of the batch as it is filled. [kg]
    moisture_wet : float
        Of the batch as it is filled; ingredients that are too wet for it together are ruled out.

    Raises
    ------
    NoBlendError
        If none keeps to all of them.
    InputError
        If there is nothing to take from, or a name stands twice.

    Notes
    -----
    A linear programme over shares of dry mass, solved by HiGHS (dual simplex). Nitrogen is taken
    at its middle; what it may be is told of the blend.
    """
    names = [each.ingredient.name for each in offers]
    if not offers or len(set(names)) < len(names):
        raise InputError("ingredients", ", ".join(names), "one or more, each once")
    if not 0.0 < mass_kg < float("inf"):
        raise InputError("mass of the batch", mass_kg, "above 0 kg")
    dry = mass_kg * (1.0 - checked_moisture("the mix", moisture_wet))
    wet = Limit(Of.MOISTURE, moisture_wet, is_least=False)
    rows = rows_for(offers, [*limits, wet], dry)
    price = np.array([each.price_per_kg * each.wet_per_dry for each in offers])
    found = _solved(price, rows)
    if found is None:
        raise NoBlendError(_reaches(rows, offers))
    shares = np.maximum(found.x, 0.0)
    shares = np.where(shares < TIGHT, 0.0, shares)
    shares = shares / shares.sum()
    portions = tuple(
        Portion(offer.ingredient, float(share) * dry * offer.wet_per_dry, offer.moisture_wet)
        for offer, share in zip(offers, shares, strict=True)
        if share > 0.0
    )
    water = max(0.0, mass_kg - sum(each.mass_kg for each in portions))
    return Cheapest(
        batch=Batch(portions, water, blended(portions, water)),
        shares=tuple(float(share) for share in shares),
        cost=float(price @ shares) * dry,
        costs=_costs(offers, shares, rows, found, dry),
    )


def without(
    offers: Sequence[Offer], limits: Sequence[Limit], mass_kg: float, moisture_wet: float, name: str
) -> Cheapest:
    """Return the cheapest blend when one ingredient has run out.

    Raises
    ------
    NoBlendError
        If none keeps to all limits without it.
    InputError
        As of :func:`cheapest`.
    """
    left = [each for each in offers if each.ingredient.name != name]
    return cheapest(left, limits, mass_kg, moisture_wet)


def _solved(price: NDArray[np.float64], rows: Sequence[Row]) -> OptimizeResult | None:
    """Return the solved programme; None where nothing keeps to all rows."""
    found = linprog(
        price,
        A_ub=np.array([each.coefficients for each in rows]) if rows else None,
        b_ub=np.array([each.bound for each in rows]) if rows else None,
        A_eq=np.ones((1, len(price))),
        b_eq=np.ones(1),
        bounds=(0.0, None),
        method="highs-ds",
    )
    return found if found.status == 0 else None


def _costs(
    offers: Sequence[Offer],
    shares: NDArray[np.float64],
    rows: Sequence[Row],
    found: OptimizeResult,
    dry_kg: float,
) -> tuple[Costs, ...]:
    """Return what loosening every limit by a step would save."""
    nitrogen = float(shares @ [each.ingredient.nitrogen.middle for each in offers])
    felt = FELT * max(1.0, float(found.fun))
    costs = []
    for row, marginal in zip(rows, found.ineqlin.marginals, strict=True):
        if -marginal > felt:
            step = STEPS[row.limit.of]
            saved = -float(marginal) * _bound_moved(row, step, nitrogen) * dry_kg
            costs.append(Costs(row.limit, step, saved))
    return tuple(sorted(costs, key=lambda each: -each.saved))


def _bound_moved(row: Row, step: float, nitrogen: float) -> float:
    """Return by how much a row's bound moves if its limit is loosened by a step.

    A ratio r is the row sum x (c - r n); one looser by a step leaves it a step times the blend's
    nitrogen.
    """
    limit = row.limit
    if limit.of is Of.RATIO:
        return step * nitrogen
    if limit.of is Of.MOISTURE:
        return (limit.value + step) / (1.0 - limit.value - step) - row.bound
    return step


def _reaches(rows: Sequence[Row], offers: Sequence[Offer]) -> tuple[Reach, ...]:
    """Return the limits that stand in the way alone, with what the others allow of each."""
    found = []
    for position, row in enumerate(rows):
        others = [each for at, each in enumerate(rows) if at != position]
        if row.limit.of is Of.RATIO:
            best = _nearest_ratio(row.limit, offers, others)
        else:
            solved = _solved(np.array(row.coefficients), others)
            best = None if solved is None else _value_of(row, float(solved.fun))
        if best is not None:
            found.append(Reach(row.limit, best))
    return tuple(found)


def _value_of(row: Row, least: float) -> float:
    """Return the limit at which a row would just be met."""
    if row.limit.of is Of.MOISTURE:
        return least / (1.0 + least)
    return -least if row.limit.is_least else least


def _nearest_ratio(limit: Limit, offers: Sequence[Offer], others: Sequence[Row]) -> float | None:
    """Return the C:N nearest to a limit that the others allow; None where none is finite.

    Charnes and Cooper 1962: shares over the blend's nitrogen make the ratio linear.
    """
    sign = -1.0 if limit.is_least else 1.0
    count = len(offers)
    found = linprog(
        sign * np.array([*(each.ingredient.carbon for each in offers), 0.0]),
        A_ub=np.array([[*each.coefficients, -each.bound] for each in others]) if others else None,
        b_ub=np.zeros(len(others)) if others else None,
        A_eq=np.array(
            [[*(each.ingredient.nitrogen.middle for each in offers), 0.0], [*[1.0] * count, -1.0]]
        ),
        b_eq=np.array([1.0, 0.0]),
        bounds=(0.0, None),
        method="highs-ds",
    )
    return sign * float(found.fun or 0.0) if found.status == 0 else None
