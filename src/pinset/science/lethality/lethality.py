"""Lethality: minutes at a reference temperature that kill as much as what a core went through.

The rate is ``L = 10^((T - T_ref) / z)`` and ``F`` its integral over time, in minutes as is the
custom. With 121.1 degC and 10 K it is called F0; pasteurisation units are the same integral with
another pair. Between two readings the temperature is taken as linear, which has a closed form:
``dt z (L2 - L1) / (ln 10 (T2 - T1))``. The trapezium of L would overstate coarse logs.

One z is good near its reference only. What is earned below about 110 degC is doubtful as F0, so the
share above a limit can be had beside the total (M. M. van Doornmalen & K. Kopinga, J. Appl.
Microbiol., 2009, abstract: the usual model underestimates times below 120 degC).

Source of rate and integral: C. J. Geankoplis, Transport Processes and Unit Operations, 3rd ed.,
section 9.12 (there by trapezium).
"""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike

from pinset.errors import InputError
from pinset.science.checks import Many, Values, plain, within

REFERENCE_C = 121.1
Z_K = 10.0
DOUBTFUL_BELOW_C = 110.0
PASTEURISING_C = 60.0
PASTEURISING_Z = float(1.0 / np.log10(1.393))
"""K; the brewers' unit grows by 1.393 a kelvin (memory)."""

COLDEST_C, HOTTEST_C = -60.0, 250.0  # a reading outside is no load in steam
LEAST_Z, MOST_Z = 1.0, 100.0
MOST_HOLD_S = 1e7
MOST_F = 1e12  # min
MOST_ERROR_K = 20.0
MINUTE = 60.0
FEWEST = 2  # readings
_LN10 = float(np.log(10.0))


@overload
def lethal_rate(
    temperature_c: float, *, reference_c: float = REFERENCE_C, z: float = Z_K
) -> float: ...
@overload
def lethal_rate(
    temperature_c: Many, *, reference_c: float = REFERENCE_C, z: float = Z_K
) -> Values: ...
def lethal_rate(
    temperature_c: float | Many, *, reference_c: float = REFERENCE_C, z: float = Z_K
) -> float | Values:
    """Return how fast a temperature kills, as a multiple of the reference temperature.

    Parameters
    ----------
    temperature_c : float or array_like
        -60 to 250. [degC]
    reference_c : float
        Temperature of rate 1, 0 to 250. [degC]
    z : float
        Rise that makes killing tenfold, 1 to 100. [K]

    Returns
    -------
    float or ndarray
        ``10^((T - T_ref) / z)``. [1]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(lethal_rate(111.1), 6)
    0.1
    """
    _check_pair(reference_c, z)
    temperature = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    return plain(np.asarray(10.0 ** ((temperature - reference_c) / z)))


def f_of_log(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
    above_c: float | None = None,
) -> float:
    """Return F of one log.

    Parameters
    ----------
    seconds : array_like, shape (n,)
        Times of the readings, rising; two or more. [s]
    temperature_c : array_like, shape (n,)
        Readings, linear in between, -60 to 250. [degC]
    reference_c, z : float
        As :func:`lethal_rate`. [degC], [K]
    above_c : float, optional
        Count only the time at or above it, cut where the line between two readings crosses it.
        [degC]

    Returns
    -------
    float
        [min]

    Raises
    ------
    InputError
        If there are fewer than two readings, times do not rise, or a value is missing or out of
        range.

    Examples
    --------
    >>> round(f_of_log([0.0, 900.0], [121.1, 121.1]), 9)
    15.0
    """
    if np.ndim(temperature_c) != 1:
        raise InputError("temperature_c", f"{np.ndim(temperature_c)} dimensions", "one log")
    gains = _gains(seconds, temperature_c, reference_c=reference_c, z=z, above_c=above_c)
    return float(gains.sum())


def f_of_logs(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
    above_c: float | None = None,
) -> Values:
    """Return F of each position; never of their mean temperature.

    Parameters
    ----------
    temperature_c : array_like, shape (..., n)
        Readings of all positions at the same times. [degC]

    Returns
    -------
    ndarray, shape (...)
        [min]

    Others and errors as :func:`f_of_log`.
    """
    gains = _gains(seconds, temperature_c, reference_c=reference_c, z=z, above_c=above_c)
    return np.asarray(gains.sum(axis=-1))


def f_along(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
    above_c: float | None = None,
) -> Values:
    """Return F earned up to each reading, from 0 at the first; as :func:`f_of_logs`.

    Returns
    -------
    ndarray, shape (..., n)
        [min]
    """
    gains = _gains(seconds, temperature_c, reference_c=reference_c, z=z, above_c=above_c)
    along = np.zeros((*gains.shape[:-1], gains.shape[-1] + 1))
    np.cumsum(gains, axis=-1, out=along[..., 1:])
    return along


def f_of_holds(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = REFERENCE_C,
    z: float = Z_K,
) -> float:
    """Return F of holds, one after the other, each at one temperature.

    Parameters
    ----------
    seconds : array_like, shape (n,)
        How long each lasts, 0 or more. [s]
    temperature_c : array_like, shape (n,)
        -60 to 250. [degC]
    reference_c, z : float
        As :func:`lethal_rate`. [degC], [K]

    Returns
    -------
    float
        [min]

    Raises
    ------
    InputError
        If a value is missing or out of range, or there are not as many times as temperatures.
    """
    lasting = within("seconds", np.asarray(seconds, dtype=float64), 0.0, MOST_HOLD_S, "s")
    rates = lethal_rate(np.asarray(temperature_c, dtype=float64), reference_c=reference_c, z=z)
    if lasting.ndim != 1 or lasting.shape != np.shape(rates):
        given = f"{lasting.shape} and {np.shape(rates)}"
        raise InputError("holds", given, "as many times as temperatures")
    return float(lasting @ rates) / MINUTE


def pasteurisation_units(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float = PASTEURISING_C,
    z: float = PASTEURISING_Z,
) -> float:
    """Return the pasteurisation units of one log: F with the brewers' pair, or another.

    Pasteurising leaves a flora on purpose; no chance of sterility follows from them.

    Parameters, returns and errors as :func:`f_of_log`.

    Examples
    --------
    >>> round(pasteurisation_units([0.0, 1200.0], [62.0, 62.0]), 1)
    38.8
    """
    return f_of_log(seconds, temperature_c, reference_c=reference_c, z=z)


def f_band(f_minutes: float, error_k: float, *, z: float = Z_K) -> tuple[float, float]:
    """Return F if the probe read so much too high, and so much too low, all along.

    An error of the whole log multiplies F by ``10^(-error / z)``, exactly: 1 K at z = 10 K is 26 %.
    For what is earned above a limit shift the readings instead.

    Parameters
    ----------
    f_minutes : float
        0 or more. [min]
    error_k : float
        Largest error of the probe either way, 0 to 20. [K]
    z : float
        1 to 100. [K]

    Returns
    -------
    (float, float)
        Least and most. [min]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    earned = float(within("f_minutes", f_minutes, 0.0, MOST_F, "min"))
    within("error_k", error_k, 0.0, MOST_ERROR_K, "K")
    within("z", z, LEAST_Z, MOST_Z, "K")
    factor = 10.0 ** (error_k / z)
    return earned / factor, earned * factor


def _gains(
    seconds: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reference_c: float,
    z: float,
    above_c: float | None,
) -> Values:
    """Return F earned between neighbouring readings, in minutes, shape (..., n - 1)."""
    _check_pair(reference_c, z)
    t, temperature = checked_log(seconds, temperature_c)
    lasting = np.diff(t) / MINUTE
    begin, end = temperature[..., :-1], temperature[..., 1:]
    if above_c is None:
        return lasting * _mean_rate(begin, end, reference_c, z)
    within("above_c", above_c, COLDEST_C, HOTTEST_C, "degC")
    upper, lower = np.maximum(begin, above_c), np.maximum(end, above_c)
    span = np.abs(end - begin)
    share = (begin >= above_c).astype(float64)
    np.divide(np.abs(lower - upper), span, out=share, where=span > 0.0)
    return lasting * share * _mean_rate(upper, lower, reference_c, z)


def _mean_rate(begin: Values, end: Values, reference_c: float, z: float) -> Values:
    """Return the mean rate of a straight line between two temperatures.

    From the hotter end and with ``expm1``, so near-equal readings do not cancel.
    """
    fall = np.abs(end - begin) * (_LN10 / z)
    mean = np.ones_like(fall)
    np.divide(-np.expm1(-fall), fall, out=mean, where=fall > 0.0)
    mean *= np.exp((np.maximum(begin, end) - reference_c) * (_LN10 / z))
    return mean


def checked_log(seconds: ArrayLike, temperature_c: ArrayLike) -> tuple[Values, Values]:
    """Return times, shape (n,), and readings, shape (..., n), refused if they make no log."""
    t, temperature = np.asarray(seconds, float64), np.asarray(temperature_c, float64)
    if t.ndim != 1 or temperature.ndim < 1 or temperature.shape[-1] != len(t) or len(t) < FEWEST:
        given = f"{t.shape} times and {temperature.shape} readings"
        raise InputError("readings", given, "two or more times with a reading each")
    if not np.all(np.isfinite(t)):
        raise InputError("seconds", "a missing time", "a number for every reading")
    steps = np.diff(t)
    if not np.all(steps > 0.0):
        place = int(np.argmax(steps <= 0.0))
        given = f"{t[place + 1]:g} after {t[place]:g}"
        raise InputError("seconds", given, "times that rise")
    return t, within("temperature_c", temperature, COLDEST_C, HOTTEST_C, "degC")


def _check_pair(reference_c: float, z: float) -> None:
    within("reference_c", reference_c, 0.0, HOTTEST_C, "degC")
    within("z", z, LEAST_Z, MOST_Z, "K")
