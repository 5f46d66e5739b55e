"""How long until a lethality is reached: on a log, or by holding on."""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import ArrayLike

from pinset.errors import InputError
from pinset.science.checks import Many, Values, plain, within
from pinset.science.lethality.lethality import (
    MINUTE,
    MOST_F,
    REFERENCE_C,
    Z_K,
    checked_log,
    f_along,
    lethal_rate,
)


def seconds_to_reach(
    target_minutes: float,
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
) -> float | None:
    """Return when F of one log reaches a target, exact on the line between two readings.

    Parameters
    ----------
    target_minutes : float
        F wanted, 0 or more. [min]
    seconds, temperature_c : array_like, shape (n,)
        As :func:`~pinset.science.lethality.lethality.f_of_log`. [s], [degC]
    reference_c, z : float
        As :func:`~pinset.science.lethality.lethality.lethal_rate`. [degC], [K]

    Returns
    -------
    float or None
        On the clock of the log [s]; None if the log ends before.

    Raises
    ------
    InputError
        If the log is none, or a value is missing or out of range.

    Examples
    --------
    >>> round(seconds_to_reach(12.0, [60.0, 960.0], [121.1, 121.1]), 6)
    780.0
    """
    target = float(within("target_minutes", target_minutes, 0.0, MOST_F, "min"))
    t, temperature = checked_log(seconds, temperature_c)
    if temperature.ndim != 1:
        raise InputError("temperature_c", f"{temperature.ndim} dimensions", "one log")
    earned = f_along(t, temperature, reference_c=reference_c, z=z)
    if earned[-1] < target:
        return None
    after = int(np.searchsorted(earned, target))
    if after == 0:
        return float(t[0])
    before = after - 1
    step = float(t[after] - t[before])
    left = (target - float(earned[before])) * MINUTE
    rate = lethal_rate(float(temperature[before]), reference_c=reference_c, z=z)
    growth = float(np.log(10.0)) / z * float(temperature[after] - temperature[before]) / step
    return float(t[before]) + min(_seconds_for(left / rate, growth), step)


def _seconds_for(at_first_rate: float, growth: float) -> float:
    """Return the time in which a rate that grows by ``exp(growth t)`` earns what is left.

    ``at_first_rate`` is the time it would take at the rate of the beginning.
    """
    if growth == 0.0:
        return at_first_rate
    grown = growth * at_first_rate
    return float(np.log1p(grown)) / growth if grown > -1.0 else float(np.inf)


@overload
def hold_to_reach(
    target_minutes: float,
    f_minutes: float,
    temperature_c: float,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
) -> float: ...
@overload
def hold_to_reach(
    target_minutes: float,
    f_minutes: Many,
    temperature_c: float | Many,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
) -> Values: ...
def hold_to_reach(
    target_minutes: float,
    f_minutes: float | Many,
    temperature_c: float | Many,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
) -> float | Values:
    """Return how much longer to hold at one temperature until F reaches a target.

    Parameters
    ----------
    target_minutes : float
        F wanted, 0 or more. [min]
    f_minutes : float or array_like
        F earned so far, 0 or more. [min]
    temperature_c : float or array_like
        Of the core during the hold, of the shape of ``f_minutes`` or single. [degC]
    reference_c, z : float
        As :func:`~pinset.science.lethality.lethality.lethal_rate`. [degC], [K]

    Returns
    -------
    float or ndarray
        0 where the target is reached; what the core earns while it cools is not counted. [s]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(hold_to_reach(15.0, 5.0, 111.1))
    6000
    """
    target = float(within("target_minutes", target_minutes, 0.0, MOST_F, "min"))
    earned = within("f_minutes", f_minutes, 0.0, MOST_F, "min")
    rate = lethal_rate(np.asarray(temperature_c, np.float64), reference_c=reference_c, z=z)
    return plain(np.asarray(np.maximum(target - earned, 0.0) * MINUTE / rate))
