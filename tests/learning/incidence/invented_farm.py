"""An invented farm whose true effects are known; every number of it is made up.

Cooks, sessions, spawn lots and batches follow each other through the history; lines, people and
shelves stay. Contamination shows after a log-normal delay, so that the last lots look clean.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Link, chance

LOTS_A_DAY = 8.0
PASSING = {
    "cook": (12, 2, 0.5), "session": (11, 2, 0.4), "spawn": (20, 6, 0.5), "batch": (15, 3, 0.3),
}  # fmt: skip
"""Name to lots of one level, levels in use at a time, standard deviation between levels."""

STAYING = {"line": (20, 0.5), "person": (10, 0.3), "shelf": (60, 0.3)}
"""Name to number of levels, and the standard deviation between them."""

OVERALL, LOT_SD = -3.2, 0.8
DELAY_DAYS, DELAY_LOG_SD = 5.0, 0.6


@dataclass(frozen=True, slots=True)
class Farm:
    """Records and the truth behind them: effects factor by factor, then the overall log rate."""

    records: Records
    truth: NDArray[np.float64]


def farm(
    seed: int, lots: int, vessels: int = 50, *, lot_sd: float = LOT_SD, link: Link = Link.CLOGLOG,
    delayed: bool = True, far_apart: bool = False,
) -> Farm:  # fmt: skip
    """Return an invented farm.

    ``far_apart`` lets every level come back at any time.
    """
    rng = np.random.default_rng(seed)
    day = np.arange(lots) / LOTS_A_DAY
    factors, effects = [], []
    eta = np.full(lots, OVERALL)
    for name, (each, at_once, sd) in PASSING.items():
        levels = -(-lots // each) + at_once - 1
        if far_apart:
            index = rng.integers(0, levels, lots)
        else:
            index = np.arange(lots) // each + rng.integers(0, at_once, lots)
        factors.append(Factor(name, tuple(f"{name} {n}" for n in range(levels)), index))
        effects.append(rng.normal(0.0, sd, levels))
    for name, (levels, sd) in STAYING.items():
        index = rng.integers(0, levels, lots)
        factors.append(Factor(name, tuple(f"{name} {n}" for n in range(levels)), index))
        effects.append(rng.normal(0.0, sd, levels))
    for factor, effect in zip(factors, effects, strict=True):
        eta += effect[factor.of_lot]
    eta += rng.normal(0.0, lot_sd, lots)
    showing = np.zeros(lots)
    if delayed:
        age = day[-1] - day + rng.uniform(1.0, 4.0, lots)
        showing = np.log(ndtr(np.log(age / DELAY_DAYS) / DELAY_LOG_SD))
    lost = rng.binomial(vessels, chance(link, eta + showing))
    made = records(
        lost=lost, risk=np.full(lots, vessels), log_showing=showing if delayed else None,
        factors=factors, made_day=day, link=link,
    )  # fmt: skip
    return Farm(made, np.concatenate([*effects, [OVERALL]]))
