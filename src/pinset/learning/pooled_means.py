"""Means of groups that are alike, each drawn towards the others as far as it is uncertain.

Values of a group scatter about its mean, and means about a common one, both normally: a one-way
random-effects model. Its deviations are found by restricted maximum likelihood, or by plain maximum
likelihood, along one line: the ratio of the two deviations; all else follows in closed form. Of few
groups nobody knows how much they differ, so what is said of each is averaged over that ratio.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from math import inf, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar

from pinset.errors import InputError

_STEPS = 200
_UNLIKELY = 18.0  # of a deviance above the least
_LARGEST = 100.0
"""Groups that differ so many times as much as values within them differ as much as can be told."""


@dataclass(frozen=True, slots=True)
class PooledMean:
    """One group."""

    count: int
    own: float  # mean of its values alone
    effect: float  # by how much it lies above the common mean, at the likeliest deviations
    mean: float  # drawn towards the others, averaged over what the deviations may be
    sd: float  # of what is not known of it, that of the deviations included


@dataclass(frozen=True, slots=True)
class Pooled:
    """All groups together, in the unit of the values."""

    mean: float  # common to all
    mean_sd: float
    between: float  # standard deviation of the groups' means
    within: float  # of values about their group's mean
    log_likelihood: float
    groups: dict[Hashable, PooledMean]


@dataclass(frozen=True, slots=True)
class _At:
    """The model at one ratio of deviations."""

    mean: float
    mean_weight: float  # of the mean, in units of one over the variance within
    within: float
    deviance: float


def pooled(
    values: Sequence[float], groups: Sequence[Hashable], *, restricted: bool = True
) -> Pooled:
    """Return the means of groups, drawn together.

    Parameters
    ----------
    values : sequence of float, shape (values,)
        Any unit, all finite.
    groups : sequence of hashable, shape (values,)
        Which group each value is of; two at least, and a group with two values at least.
    restricted : bool
        Whether the deviations are found by restricted maximum likelihood, which allows for the
        mean being estimated, or by plain maximum likelihood.

    Raises
    ------
    InputError
        If the sequences differ in length, a value is not finite, or there are too few of either.

    Notes
    -----
    Checked on the dyestuff yields of Davies and Goldsmith against `statsmodels` and `lme4`.
    """
    y = np.asarray(values, dtype=np.float64)
    names = list(dict.fromkeys(groups))
    if len(y) != len(groups) or not np.isfinite(y).all():
        raise InputError("values", len(y), f"{len(groups)} finite numbers, one for each group name")
    if len(names) < 2 or len(y) <= len(names):  # noqa: PLR2004 - two groups
        raise InputError("groups", len(names), "two or more, one of them with two values or more")
    number = np.array([names.index(group) for group in groups])
    counts = np.bincount(number).astype(np.float64)
    means = np.bincount(number, y) / counts
    inside = float(((y - means[number]) ** 2).sum())

    def at(ratio: float) -> _At:
        return _at(ratio, counts, means, inside, restricted=restricted)

    found = minimize_scalar(
        lambda ratio: at(ratio).deviance,
        bounds=(0.0, _LARGEST),
        method="bounded",
        options={"xatol": 1e-10},
    )
    ratio = min((0.0, float(found.x)), key=lambda each: at(each).deviance)
    best = at(ratio)
    likely = _likely(at, ratio)
    drawn = [_drawn(counts, means, each, at(each)) for each, _ in likely]
    shares = np.array([share for _, share in likely])[:, None]
    middle = (shares * [mean for mean, _ in drawn]).sum(axis=0)
    variance = (shares * [spread + mean**2 for mean, spread in drawn]).sum(axis=0) - middle**2
    at_best, _ = _drawn(counts, means, ratio, best)
    return Pooled(
        mean=best.mean,
        mean_sd=best.within / sqrt(best.mean_weight),
        between=ratio * best.within,
        within=best.within,
        log_likelihood=-best.deviance / 2.0,
        groups={
            name: PooledMean(
                int(counts[n]),
                float(means[n]),
                float(at_best[n]) - best.mean,
                float(middle[n]),
                sqrt(max(float(variance[n]), 0.0)),
            )
            for n, name in enumerate(names)
        },
    )


def _likely(at: Callable[[float], _At], best: float) -> list[tuple[float, float]]:
    """Return ratios of deviations with how likely each is, every one alike beforehand."""
    least = at(best).deviance
    if least == -inf:
        return [(best, 1.0)]
    end = max(1.0, 2.0 * best)
    while end < _LARGEST and at(end).deviance - least < _UNLIKELY:
        end *= 1.5
    ratios = np.linspace(0.0, end, _STEPS)
    shares = np.exp([(least - at(float(each)).deviance) / 2.0 for each in ratios])
    shares[[0, -1]] /= 2.0
    return [
        (float(each), float(share))
        for each, share in zip(ratios, shares / shares.sum(), strict=True)
    ]


def _drawn(
    counts: NDArray[np.float64], means: NDArray[np.float64], ratio: float, there: _At
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return means drawn together and their variances at one ratio of deviations."""
    kept = counts * ratio**2 / (1.0 + counts * ratio**2)
    between = (ratio * there.within) ** 2
    variance = between * (1.0 - kept)
    variance = variance + (1.0 - kept) ** 2 * there.within**2 / there.mean_weight
    return there.mean + kept * (means - there.mean), variance


def _at(
    ratio: float,
    counts: NDArray[np.float64],
    means: NDArray[np.float64],
    inside: float,
    *,
    restricted: bool,
) -> _At:
    """Return mean, deviation within and deviance where groups differ ``ratio`` times as much."""
    weights = counts / (1.0 + counts * ratio**2)
    total = float(weights.sum())
    mean = float((weights * means).sum()) / total
    squares = inside + float((weights * (means - mean) ** 2).sum())
    values = float(counts.sum())
    free = values - 1.0 if restricted else values
    variance = squares / free
    if variance <= 0.0:
        return _At(mean, total, 0.0, -inf)
    deviance = free * (log(2.0 * pi * variance) + 1.0)
    deviance += float(np.log1p(counts * ratio**2).sum())
    if restricted:
        deviance += log(total)
    return _At(mean, total, sqrt(variance), deviance)
