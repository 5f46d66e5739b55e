"""What may still come of lots that are alive: the chance that each unit is lost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.chain.histories import GOES_ON
from pinset.learning.incidence.fit import SMALLEST_SD, Fit, held_at
from pinset.learning.incidence.links import Floats, Link
from pinset.learning.incidence.model import Scales
from pinset.learning.incidence.rates import lots_themselves, mean_chance
from pinset.learning.losses.told import WORK, Told

HALF_LEARNT_LOTS = 40
"""With so many lots looked at, how much cooks, sessions and lots differ is taken half from them and
half from what is usual; our own choice."""

USUAL_SD, USUAL_STEADY_SD, USUAL_LOT_SD = 0.5, 0.2, 0.8
"""How much cooks, sessions, parents and mixes usually differ; steps, lines, people and places; and
lots beyond them: standard deviations of the logarithm. Assumed, no source. Much lies with the lot,
so that one bad lot does not condemn all others of its farm."""

_STEADY = frozenset({WORK, *(each.value for each in GOES_ON)})
_HALVINGS = 50  # of the interval in which a shift is sought
_FARTHEST = 20.0  # a shift of the logarithm, either way


@dataclass(frozen=True, slots=True)
class Sister:
    """One lot that still grows."""

    lot: str
    standing: int  # units not seen contaminated
    shown: float  # share of what will show that would have shown by its last look
    chance: float  # that one of the standing units is lost yet
    expected_lost: float  # of them
    by_route: bool = False  # no look at any lot says anything: told by what its route expects
    found: int = 0  # units of it that were seen contaminated
    is_looked_at: bool = True  # at any time


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
    included. How :func:`outlook_of` begins at the route and leaves it says what few looks say.
    """
    shown = told.seen_share()
    left: Floats = np.log(np.maximum(1.0 - shown, 1e-12))
    outlook = lots_themselves(outlook_of(told, fit))
    chances = mean_chance(fit.records.link, outlook.mean + left, outlook.variance)
    by_route = not len(fit.records.lot)
    found = [
        Sister(
            lot.lot,
            lot.standing,
            float(seen),
            float(chance),
            float(chance) * lot.standing,
            by_route,
            lot.found,
            bool(lot.seen),
        )
        for lot, seen, chance in zip(told.lots, shown, chances, strict=True)
        if lot.standing > 0
    ]
    return tuple(sorted(found, key=lambda each: (-each.expected_lost, each.lot)))


def outlook_of(told: Told, fit: Fit) -> Fit:
    """Return the effects from which it is told what may still come.

    Notes
    -----
    On few lots the likeliest standard deviations are little more than their prior, which is far
    too wide for a mean: a lot nobody looked at would be lost to a third. So they are put between
    what is usual and what was found, on the logarithm, by how many lots were looked at. And what a
    route expects is a mean over farms, sessions and lots, where an effect of 0 is their middle: the
    predictor is moved until the mean chance of a lot that nothing is known of is its route's. As
    lots are looked at the farm's own level takes over, and the move fades with its reason.
    """
    looked_at = len(set(fit.records.lot.tolist()))
    learnt = looked_at / (looked_at + HALF_LEARNT_LOTS)
    usual = np.array(
        [USUAL_STEADY_SD if each.name in _STEADY else USUAL_SD for each in fit.records.factors]
    )
    scales = Scales(
        usual * (fit.scales.levels / usual) ** learnt,
        USUAL_LOT_SD * (max(fit.scales.lot, SMALLEST_SD) / USUAL_LOT_SD) ** learnt,
    )
    return held_at(fit, scales, (1.0 - learnt) * _to_the_mean(told, scales))


def _to_the_mean(told: Told, scales: Scales) -> Floats:
    """Return by how much each lot's logarithm is moved so that its mean is its route's, (lots,)."""
    records = told.records
    variance = np.full(records.lots, records.fixed_sd**2 + scales.lot**2)
    for factor, sd in zip(records.factors, scales.levels, strict=True):
        variance += np.where(factor.of_lot >= 0, sd**2, 0.0)
    kinds, of_lot = np.unique(
        np.column_stack([_of_routes(told), variance]), axis=0, return_inverse=True
    )
    of_route, spread = kinds[:, 0], kinds[:, 1]
    wanted = -np.expm1(-np.exp(of_route))
    low, high = np.full(len(kinds), -_FARTHEST), np.full(len(kinds), _FARTHEST)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        is_more = mean_chance(Link.CLOGLOG, of_route + middle, spread) > wanted
        low, high = np.where(is_more, low, middle), np.where(is_more, middle, high)
    return np.asarray(((low + high) / 2.0)[of_lot.ravel()], dtype=float)


def _of_routes(told: Told) -> Floats:
    """Return the logarithm of the rate that each lot's route expects."""
    work = next(factor for factor in told.records.factors if factor.name == WORK)
    expected = np.zeros(len(work.levels)) if work.expected is None else work.expected
    return np.asarray(expected[work.of_lot], dtype=float)
