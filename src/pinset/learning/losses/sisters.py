"""What may still come of lots that are alive: the chance that each unit is lost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.fit import Fit
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.rates import lots_themselves, mean_chance
from pinset.learning.losses.told import Told


@dataclass(frozen=True, slots=True)
class Sister:
    """One lot that still grows."""

    lot: str
    standing: int  # units not seen contaminated
    shown: float  # share of what will show that would have shown by its last look
    chance: float  # that one of the standing units is lost yet
    expected_lost: float  # of them


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
    included.
    """
    outlook = lots_themselves(fit)
    shown = told.seen_share()
    left: Floats = np.log(np.maximum(1.0 - shown, 1e-12))
    chances = mean_chance(fit.records.link, outlook.mean + left, outlook.variance)
    found = [
        Sister(lot.lot, lot.standing, float(seen), float(chance), float(chance) * lot.standing)
        for lot, seen, chance in zip(told.lots, shown, chances, strict=True)
        if lot.standing > 0
    ]
    return tuple(sorted(found, key=lambda each: (-each.expected_lost, each.lot)))
