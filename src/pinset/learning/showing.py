"""After how many days contamination shows: the law for each sign, and for what stands mixed.

A sign is first seen at a look, so of its delay only the days between two looks are known; and what
has not shown when the lot goes out is never seen. Both are in the likelihood, so neither rare looks
nor early use make contamination seem quicker than it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize
from scipy.special import log_ndtr, ndtr

from pinset.errors import InputError

MEDIAN_LOG_SD = 0.35
"""How well the usual median is known for one farm's ways: a factor of 1.4 either way; assumed."""

SPREAD_LOG_SD = 0.35
"""Likewise the spread of a sign's delays."""

LATE_SHARE, LATE_DAYS = 0.05, 60.0
"""Of all contamination so much comes in later, through filters and hands, and shows after so many
days on average, whatever the sign; assumed, no source. Without it one jar that turns after two
months would tell of a lot a hundred times as bad as usual."""

_NINETY = 1.6449
"""Standard deviations from the middle to the ends of a range that holds nine in ten."""
_LEAST_SPREAD = 0.15
_TINY = 1e-300
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Usual:
    """What is usual of a sign before the farm has seen any: a range that holds nine in ten."""

    low_days: float
    middle_days: float
    high_days: float

    def __post_init__(self) -> None:
        """Refuse a range that is none."""
        if not 0.0 < self.low_days <= self.middle_days <= self.high_days:
            given = (self.low_days, self.middle_days, self.high_days)
            raise InputError("days until it shows", given, "three numbers above 0 that rise")

    @property
    def spread(self) -> float:
        """Return the standard deviation of the logarithm of the days."""
        return max(_LEAST_SPREAD, log(self.high_days / self.low_days) / (2.0 * _NINETY))


@dataclass(frozen=True, slots=True)
class Find:
    """Units on which a sign was first seen at one look."""

    after_days: float  # age at which they were last known to be clean
    until_days: float  # age at the look
    units: int
    last_look_days: float  # age at which anybody looked at the lot for the last time


@dataclass(frozen=True, slots=True)
class Law:
    """Log-normal days until a sign shows."""

    median_days: float
    spread: float  # standard deviation of the logarithm
    units: int = 0  # of the farm's own that it rests on
    median_low: float | None = None  # 95 % range of the median
    median_high: float | None = None

    def shown_by(self, days: ArrayLike) -> Floats:
        """Return the share that shows by these ages; 0 at no age. Shape of `days`."""
        ages = np.asarray(days, dtype=np.float64)
        with np.errstate(divide="ignore"):
            logs = np.log(np.maximum(ages, 0.0))
        return np.asarray(ndtr((logs - log(self.median_days)) / self.spread))


@dataclass(frozen=True, slots=True)
class Mixed:
    """Several signs with the share of each among what shows in time, and what comes later."""

    laws: Mapping[str, Law]
    shares: Mapping[str, float]  # add up to 1

    def shown_by(self, days: ArrayLike) -> Floats:
        """Return the share of all that will show which shows by these ages. Shape of `days`."""
        ages = np.asarray(days, dtype=np.float64)
        whole = np.zeros_like(ages)
        for sign, law in self.laws.items():
            whole += self.shares[sign] * law.shown_by(ages)
        late = -np.expm1(-np.maximum(ages, 0.0) / LATE_DAYS)
        return np.minimum((1.0 - LATE_SHARE) * whole + LATE_SHARE * late, 1.0)

    def log_showing(self, after: ArrayLike, until: ArrayLike) -> Floats:
        """Return the logarithm of the share that shows between two ages; -inf for none."""
        share = self.shown_by(until) - self.shown_by(after)
        with np.errstate(divide="ignore"):
            return np.asarray(np.log(np.clip(share, 0.0, 1.0)))

    def days_for(self, share: float) -> float:
        """Return by which age such a share has shown.

        Raises
        ------
        InputError
            If the share is not between 0 and 1.
        """
        if not 0.0 < share < 1.0:
            raise InputError("share that has shown", share, "between 0 and 1")
        low, high = 0.0, 1.0
        while float(self.shown_by(high)) < share:
            low, high = high, high * 2.0
        for _ in range(60):
            middle = (low + high) / 2.0
            low, high = (middle, high) if float(self.shown_by(middle)) < share else (low, middle)
        return high


def fitted(usual: Usual, finds: Sequence[Find]) -> Law:
    """Return how soon a sign shows on this farm, from what is usual and its own finds.

    Parameters
    ----------
    usual : Usual
        Before any find; held with so much doubt as the constants say.
    finds : sequence of Find
        Of this sign in one kind of vessel. Ages may be 0 at the start of an interval.

    Returns
    -------
    Law
        The likeliest median and spread, with the range of the median; what is usual, without a
        range, where nothing was found.

    Raises
    ------
    InputError
        If a find ends before it begins, or after the last look.

    Notes
    -----
    Interval-censored and right-truncated log-normal: the number of bad units in a lot is taken as
    Poisson, so given that one was found its delay follows the law cut off at the last look
    (Turnbull 1976, J. R. Statist. Soc. B 38:290-295, for both kinds of incompleteness, memory).
    """
    told = [each for each in finds if each.units > 0 and each.until_days > 0.0]
    for each in told:
        if not 0.0 <= each.after_days <= each.until_days <= each.last_look_days:
            given = (each.after_days, each.until_days, each.last_look_days)
            raise InputError("days of a find", given, "three ages that rise, the last look last")
    if not told:
        return Law(usual.middle_days, usual.spread)
    after = np.log(np.maximum([each.after_days for each in told], 1e-6))
    until = np.log([each.until_days for each in told])
    last = np.log([each.last_look_days for each in told])
    units = np.array([float(each.units) for each in told])
    middle, spread = log(usual.middle_days), log(usual.spread)

    def against(at: Floats) -> float:
        scale = exp(at[1])
        low, high, end = ((edge - at[0]) / scale for edge in (after, until, last))
        share = np.maximum(ndtr(high) - ndtr(low), _TINY)
        fit = float(units @ (np.log(share) - log_ndtr(end)))
        held = ((at[0] - middle) / MEDIAN_LOG_SD) ** 2 + ((at[1] - spread) / SPREAD_LOG_SD) ** 2
        return float(0.5 * held - fit)

    best = minimize(against, np.array([middle, spread]), method="Nelder-Mead",
                    options={"xatol": 1e-6, "fatol": 1e-9, "maxiter": 4000}).x  # fmt: skip
    reach = 1.96 * float(np.sqrt(np.linalg.inv(_curvature(against, best))[0, 0]))
    return Law(
        median_days=exp(best[0]),
        spread=exp(best[1]),
        units=int(units.sum()),
        median_low=exp(best[0] - reach),
        median_high=exp(best[0] + reach),
    )


def _curvature(of: Callable[[Floats], float], at: Floats, step: float = 1e-3) -> Floats:
    """Return the second differences of a function of two values."""
    shifts = np.eye(2) * step
    curved = np.empty((2, 2))
    for i in range(2):
        for j in range(2):
            one, two = shifts[i], shifts[j]
            curved[i, j] = of(at + one + two) - of(at + one - two)
            curved[i, j] -= of(at - one + two) - of(at - one - two)
    return curved / (4.0 * step * step)


def mixed(usual: Mapping[str, Usual], finds: Mapping[str, Sequence[Find]]) -> Mixed:
    """Return the laws of all signs of one kind of vessel, and how often each is seen.

    Parameters
    ----------
    usual : mapping of str to Usual
        By sign, one or more.
    finds : mapping of str to sequence of Find
        By sign; signs nobody saw may be left out, and signs without a usual range are passed over.

    Raises
    ------
    InputError
        If no sign is usual, or a find cannot be.

    Notes
    -----
    Each sign counts as one unit seen before any was: what nobody has seen yet may still come.
    """
    if not usual:
        raise InputError("signs", 0, "one or more with the days until they show")
    laws = {sign: fitted(range_, finds.get(sign, ())) for sign, range_ in usual.items()}
    whole = sum(1 + law.units for law in laws.values())
    return Mixed(laws, {sign: (1 + law.units) / whole for sign, law in laws.items()})
