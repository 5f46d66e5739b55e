"""What physics expects of a cook or a session before any unit was seen lost.

Both are rough and meant to be: they move an effect's centre, and the farm's counts pull it from
there. A prediction is never a proof.
"""

from __future__ import annotations

from math import log

import numpy as np
from numpy.typing import NDArray
from scipy.stats import gamma

from pinset.errors import InputError
from pinset.science.air.settling import into_a_vessel

_LOG10_LOAD, _LOG10_LOAD_SD = 3.0, 1.0
_LOG10_D, _LOG10_D_SD = -0.1, 0.35
"""Of one unit: heat-proof spores that would spoil it, and the minutes at 121.1 degC that leave a
tenth of them. The second spans the D values of the packaged table of organisms, 0.2 to 3.2 min;
the first is assumed, no source."""

_ALL = 3.0  # survivors per unit from which on nothing more can be lost
MOST = log(20.0)
"""The furthest that physics moves an effect: a rate ratio of 20; our own choice."""

AIR_SHARE = 0.3
"""Of losses, what usually comes in through the air while vessels stand open; assumed, no source."""

PLATE_POINTS = 64
"""Quantiles over which the mean of a plate's colonies is averaged."""

_POINTS, _WEIGHTS = np.polynomial.hermite_e.hermegauss(24)
_SHARES = _WEIGHTS / _WEIGHTS.sum()


def survivors(f0_min: float) -> NDArray[np.float64]:
    """Return the heat-proof spores alive in one unit after a cook, over what is not known.

    Parameters
    ----------
    f0_min : float
        Equivalent minutes at 121.1 degC in the slowest core, 0 or more.

    Returns
    -------
    ndarray, shape (24, 24)
        By resistance and load, at the nodes of a Gauss-Hermite rule for both logarithms; more than
        three a unit count as three.

    Raises
    ------
    InputError
        If F0 is below 0 or not a number.
    """
    if not f0_min >= 0.0:
        raise InputError("F0", f0_min, "0 min or more")
    resistance = 10.0 ** (_LOG10_D + _LOG10_D_SD * _POINTS)[:, None]
    logs = (_LOG10_LOAD + _LOG10_LOAD_SD * _POINTS)[None, :] - f0_min / resistance
    return np.asarray(np.minimum(10.0 ** np.maximum(logs, -30.0), _ALL))


def of_cook(f0_min: float, expected: float) -> float:
    """Return the logarithm of the rate ratio that a cook's lethality lets one expect.

    Parameters
    ----------
    f0_min : float
        As in `survivors`.
    expected : float
        Share of units that routes expect to lose, between 0 and 1.

    Raises
    ------
    InputError
        If either is out of its range.

    Notes
    -----
    The mean of the logarithm over what is not known of load and resistance, not the logarithm of
    the mean: that would be the word of the few worst cases.
    """
    if not 0.0 < expected < 1.0:
        raise InputError("expected share", expected, "between 0 and 1")
    ratios = np.log1p(survivors(f0_min) / expected)
    return min(float(_SHARES @ ratios @ _SHARES), MOST)


def of_open_minutes(open_min: float, usual_min: float) -> float:
    """Return the logarithm of the rate ratio that a session's open minutes predict.

    Parameters
    ----------
    open_min, usual_min : float
        Minutes a vessel stood open in it, and usually stands open in such work, both above 0.

    Raises
    ------
    InputError
        If either is not above 0.

    Notes
    -----
    What settles from the air grows with the time; the rest of the losses does not.
    """
    if not (open_min > 0.0 and usual_min > 0.0):
        raise InputError("minutes open", (open_min, usual_min), "above 0")
    return min(log(1.0 - AIR_SHARE + AIR_SHARE * open_min / usual_min), MOST)


def of_plates(
    colonies: int,
    plates: int,
    minutes: float,
    *,
    mouth_cm2: float,
    open_min: float,
    expected: float,
) -> float:
    """Return the logarithm of the rate ratio that a session's settle plates predict.

    Parameters
    ----------
    colonies, plates : int
        On all plates of 90 mm at the bench together, and how many they were, at least one.
    minutes : float
        That each stood open. [min]
    mouth_cm2, open_min : float
        Of a vessel that was filled there, and how long it stood open. [cm2] [min]
    expected : float
        Share of units that routes expect to lose, between 0 and 1.

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    The mean of the logarithm over the true mean of the plates, of which a count of n leaves a gamma
    distribution of shape n + 1/2 (Jeffreys). What lands is taken to grow. A clean plate says
    little: its mean is near 0.
    """
    if not 0.0 < expected < 1.0:
        raise InputError("expected share", expected, "between 0 and 1")
    levels = (np.arange(PLATE_POINTS) + 0.5) / PLATE_POINTS
    means = gamma.ppf(levels, colonies + 0.5)
    each = into_a_vessel(1.0, plates, minutes, mouth_cm2, open_min)
    lost = -np.expm1(-each * means)
    return min(float(np.mean(np.log1p(lost / expected))), MOST)
