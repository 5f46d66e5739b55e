"""Running sums of losses: the alarm that a share of lost units has gone up, lot by lot.

Each lot adds how much likelier its losses are at a raised rate than at the expected one; a lot
without losses takes a little away, and the sum never falls below nothing. Lots may differ in
size and in what is expected of them, so the model's own expectation, showing delay included, is
what each lot is held against.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, log

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

from pinset.errors import InputError

_MOST_STATES = 4000
RAISED = 2.5
"""Times the expected rate that the sums are sharpest for; our own choice."""

_MOST_RAISED = 0.9
_LENGTH, _PER_INTERVAL, _DRAWN = 400, 60.0, (60_000.0, 600_000.0)
_HALVINGS = 16


def shared_slack(expected: float, raised: float) -> float:
    """Return the share of a lot that may be lost without the sum rising.

    Parameters
    ----------
    expected, raised : float
        Shares lost, 0 < expected < raised < 1.

    Raises
    ------
    InputError
        If the two are not in that order.
    """
    if not 0.0 < expected < raised < 1.0:
        raise InputError("expected and raised share", (expected, raised), "0 < expected < raised")
    clean = log((1.0 - raised) / (1.0 - expected))
    lost = log(raised * (1.0 - expected) / (expected * (1.0 - raised)))
    return -clean / lost


def raised_share(expected: NDArray[np.float64], times: float = RAISED) -> NDArray[np.float64]:
    """Return the raised share a sum looks for: so many times the rate, never quite all.

    Rates are of the complementary log-log scale, so that 40 % raised 2.5 times is 72 %, not 100 %.
    """
    return np.minimum(-np.expm1(times * np.log1p(-expected)), _MOST_RAISED + 0.1 * expected)


@dataclass(frozen=True, slots=True)
class LossSum:
    """The sum after each lot, and where it first passed its limit."""

    sums: NDArray[np.float64]  # shape (lots,), log likelihood ratio
    first_alarm: int | None


def steps_of(
    lost: NDArray[np.int64], of: NDArray[np.int64], expected: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return what each lot adds: the log of how much likelier it is at the raised share.

    Raises
    ------
    InputError
        If rows differ in length, more are lost than there were, or a share is not one.
    """
    if not (lost.shape == of.shape == expected.shape) or lost.ndim != 1:
        raise InputError("lots", (lost.shape, of.shape, expected.shape), "three equally long rows")
    if lost.size and ((lost < 0).any() or (lost > of).any()):
        raise InputError(
            "lost", int(lost[(lost < 0) | (lost > of)][0]), "from 0 to its lot's units"
        )
    if expected.size and not ((expected > 0.0) & (expected < 1.0)).all():
        raise InputError("expected share", float(expected.min()), "between 0 and 1")
    raised = raised_share(expected)
    return np.asarray(
        lost * np.log(raised / expected) + (of - lost) * (np.log1p(-raised) - np.log1p(-expected))
    )


def loss_sum(steps: NDArray[np.float64], limit: float) -> LossSum:
    """Return the running sum of steps that never falls below 0.

    Parameters
    ----------
    steps : array, shape (lots,)
        As `steps_of` returns them, in the order in which the lots were known.
    limit : float
        A sum above it is an alarm.
    """
    sums = np.empty_like(steps)
    now = 0.0
    for i, step in enumerate(steps):
        now = max(0.0, now + float(step))
        sums[i] = now
    alarms = np.flatnonzero(sums > limit)
    return LossSum(sums, int(alarms[0]) if alarms.size else None)


def limit_for(
    of: NDArray[np.int64],
    expected: NDArray[np.float64],
    *,
    lots_between: float,
    rng: np.random.Generator,
    clumping: float = 0.0,
) -> float:
    """Return the limit at which a quiet farm has one false alarm in so many lots, on average.

    Parameters
    ----------
    of, expected : array, shape (lots,)
        Sizes and expected shares of lots such as these; runs draw from them with replacement.
    lots_between : float
        Lots between false alarms, 20 or more.
    rng : numpy.random.Generator
        Draws the quiet lots.
    clumping : float
        Correlation of units within a lot while nothing has changed.

    Returns
    -------
    float
        In the unit of the sums.

    Raises
    ------
    InputError
        If there are no lots, or `lots_between` is below 20.

    Notes
    -----
    The sum starts anew after each alarm, so the mean number of lots between alarms is lots drawn
    over alarms counted; the limit is found by halving, on the same drawn lots throughout: sixty
    times as many as lie between alarms, within 60,000 and 600,000. They are drawn as histories of
    400 lots side by side, each begun at 0; a quiet sum is back at 0 within tens.
    """
    if lots_between < 20.0:  # noqa: PLR2004
        raise InputError("lots between false alarms", lots_between, "20 or more")
    if not of.size:
        raise InputError("lots", 0, "one or more")
    many = float(np.clip(_PER_INTERVAL * lots_between, *_DRAWN))
    drawn = rng.integers(of.size, size=(_LENGTH, ceil(many / _LENGTH)))
    n, p = of[drawn], expected[drawn]
    if clumping > 0.0:
        total = 1.0 / clumping - 1.0
        p_lot = rng.beta(p * total, (1.0 - p) * total)
    else:
        p_lot = p
    lost = rng.binomial(n, p_lot)
    steps = steps_of(lost.ravel(), n.ravel(), p.ravel()).reshape(drawn.shape)
    low, high = 0.0, 50.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if _alarms(steps, middle) * lots_between > steps.size:
            low = middle
        else:
            high = middle
    return high


def _alarms(steps: NDArray[np.float64], limit: float) -> int:
    now = np.zeros(steps.shape[1])
    count = 0
    for row in steps:
        now = np.maximum(0.0, now + row)
        over = now > limit
        count += int(over.sum())
        now[over] = 0.0
    return count


def equal_lots_run_length(*, units: int, slack: Fraction, limit: Fraction, share: float) -> float:
    """Return after how many equal lots, on average, the sum of losses passes its limit.

    The sum adds the units lost less a slack, and alarms above its limit. All is counted in whole
    steps of the slack's and the limit's common fraction, so no rounding decides at the limit.

    Parameters
    ----------
    units : int
        Of each lot.
    slack, limit : Fraction
        In units; say Fraction("1.65") and Fraction(5).
    share : float
        Lost while the sum runs, between 0 and 1.

    Raises
    ------
    InputError
        If the share is none, or the common fraction is so fine that there are over 4,000 states.

    Notes
    -----
    A Markov chain over the sums that do not alarm (Brook and Evans 1972, Biometrika 59:539-549,
    memory).
    """
    if not 0.0 < share < 1.0:
        raise InputError("share", share, "between 0 and 1")
    grain = Fraction(1, np.lcm(slack.denominator, limit.denominator).item())
    states = floor(limit / grain) + 1
    if states > _MOST_STATES:
        raise InputError("slack and limit", (str(slack), str(limit)), "multiples of a fraction")
    k = np.arange(units + 1)
    choose = gammaln(units + 1) - gammaln(k + 1) - gammaln(units - k + 1)
    mass = np.exp(choose + k * np.log(share) + (units - k) * np.log1p(-share))
    move = k * int(1 / grain) - int(slack / grain)
    chain = np.zeros((states, states))
    for state in range(states):
        reached = np.maximum(state + move, 0)
        stays = reached < states
        np.add.at(chain[state], reached[stays], mass[stays])
    return float(np.linalg.solve(np.eye(states) - chain, np.ones(states))[0])
