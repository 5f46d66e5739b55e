"""What may still come of lots that are alive: the chance that each unit is lost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.fit import Fit
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.rates import lots_themselves, mean_chance
from pinset.learning.losses.told import WORK, Told

FEWEST_LOOKED_AT = 40
"""With fewer lots looked at a lot is told by its route; drawn farms are told about right from so
many on. Our own choice."""


@dataclass(frozen=True, slots=True)
class Sister:
    """One lot that still grows."""

    lot: str
    standing: int  # units not seen contaminated
    shown: float  # share of what will show that would have shown by its last look
    chance: float  # that one of the standing units is lost yet
    expected_lost: float  # of them
    by_route: bool = False  # too few lots were looked at: told by what its route expects


def sisters(told: Told, fit: Fit) -> tuple[Sister, ...]:
    """Return every lot that still grows, the one with most to lose first.

    Parameters
    ----------
    told : Told
        What the fit read.
    fit : Fit
        Of its records.

    Notes
    -----
    A unit clean at an age by which the share F shows is contaminated yet with chance
    1 - exp(-theta (1 - F)), averaged over what is not known of theta, the lot's own counts
    included. Where too few lots were looked at theta is what its route expects: how much cooks,
    sessions and lots differ is not known yet, and the mean over all that may be is no help.
    """
    shown = told.seen_share()
    left: Floats = np.log(np.maximum(1.0 - shown, 1e-12))
    by_route = len(set(fit.records.lot.tolist())) < FEWEST_LOOKED_AT
    if by_route:
        chances: Floats = -np.expm1(-np.exp(_of_routes(told) + left))
    else:
        outlook = lots_themselves(fit)
        chances = mean_chance(fit.records.link, outlook.mean + left, outlook.variance)
    found = [
        Sister(
            lot.lot,
            lot.standing,
            float(seen),
            float(chance),
            float(chance) * lot.standing,
            by_route,
        )
        for lot, seen, chance in zip(told.lots, shown, chances, strict=True)
        if lot.standing > 0
    ]
    return tuple(sorted(found, key=lambda each: (-each.expected_lost, each.lot)))


def _of_routes(told: Told) -> Floats:
    """Return the logarithm of the rate that each lot's route expects."""
    work = next(factor for factor in told.records.factors if factor.name == WORK)
    expected = np.zeros(len(work.levels)) if work.expected is None else work.expected
    return np.asarray(expected[work.of_lot], dtype=float)
