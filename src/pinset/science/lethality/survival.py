"""What a lethality leaves alive: survivors per unit, and units of a load that are not sterile.

First-order death, ``log10 N = log10 N0 - F / D``, with D and F at the same reference temperature
and z. A unit is one bag or jar, so N0 is the count per gram times the grams. Survivors fall to
units at random, so a unit with N expected survivors is free of them with the chance ``exp(-N)``.

For cooks that are to sterilise. Pasteurising is meant to leave a flora: none of this is to be shown
for it. A prediction is no proof.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from pinset.science.checks import Many, Values, plain, within
from pinset.science.lethality.lethality import MOST_F, lethal_rate

LEAST_D, MOST_D = 1e-6, 1e9  # min
LEAST_COUNT, MOST_COUNT = 1e-30, 1e30
LEAST_LOG, MOST_LOG = -1e20, 300.0
MOST_UNITS = 1e9


@overload
def d_minutes_at(temperature_c: float, d_minutes: float, reference_c: float, z: float) -> float: ...
@overload
def d_minutes_at(temperature_c: Many, d_minutes: float, reference_c: float, z: float) -> Values: ...
def d_minutes_at(
    temperature_c: float | Many, d_minutes: float, reference_c: float, z: float
) -> float | Values:
    """Return the time for a tenfold fall at another temperature: ``D / 10^((T - T_ref) / z)``.

    Parameters
    ----------
    temperature_c : float or array_like
        -60 to 250; good near ``reference_c`` only. [degC]
    d_minutes : float
        At ``reference_c``, 1e-6 to 1e9. [min]
    reference_c, z : float
        As :func:`~pinset.science.lethality.lethality.lethal_rate`. [degC], [K]

    Returns
    -------
    float or ndarray
        [min]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    d = float(within("d_minutes", d_minutes, LEAST_D, MOST_D, "min"))
    rate = lethal_rate(np.asarray(temperature_c, np.float64), reference_c=reference_c, z=z)
    return plain(np.asarray(d / rate))


@overload
def log10_survivors(count: float, f_minutes: float, d_minutes: float) -> float: ...
@overload
def log10_survivors(count: float, f_minutes: Many, d_minutes: float) -> Values: ...
def log10_survivors(count: float, f_minutes: float | Many, d_minutes: float) -> float | Values:
    """Return the logarithm of the survivors to be expected in a unit.

    Parameters
    ----------
    count : float
        In the unit before, above 0. [1]
    f_minutes : float or array_like
        F at the reference temperature and z of ``d_minutes``, 0 or more. [min]
    d_minutes : float
        Time for a tenfold fall, 1e-6 to 1e9. [min]

    Returns
    -------
    float or ndarray
        ``log10 N0 - F / D``. [1]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> log10_survivors(1e6, 15.0, 1.5)
    -4.0
    """
    first = within("count", count, LEAST_COUNT, MOST_COUNT, "in the unit")
    d = within("d_minutes", d_minutes, LEAST_D, MOST_D, "min")
    f = within("f_minutes", f_minutes, 0.0, MOST_F, "min")
    return plain(np.asarray(np.log10(first) - f / d))


def f_needed(count: float, d_minutes: float, survivors: float) -> float:
    """Return the F that leaves so many survivors per unit: ``D (log10 N0 - log10 N)``.

    Parameters
    ----------
    count : float
        In the unit before, above 0. [1]
    d_minutes : float
        Time for a tenfold fall at the reference temperature of F. [min]
    survivors : float
        To be expected in a unit after, above 0; when small also the chance that a unit is not
        sterile. [1]

    Returns
    -------
    float
        0 if there are no more than that to begin with. [min]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(f_needed(100.0, 1.0, 1e-6), 9)
    8.0
    """
    first = float(within("count", count, LEAST_COUNT, MOST_COUNT, "in the unit"))
    last = float(within("survivors", survivors, LEAST_COUNT, MOST_COUNT, "in the unit"))
    d = float(within("d_minutes", d_minutes, LEAST_D, MOST_D, "min"))
    return max(0.0, d * float(np.log10(first) - np.log10(last)))


@overload
def chance_not_sterile(log10_survivors: float) -> float: ...
@overload
def chance_not_sterile(log10_survivors: Many) -> Values: ...
def chance_not_sterile(log10_survivors: float | Many) -> float | Values:
    """Return the chance that a unit is not sterile: ``1 - exp(-N)``.

    Parameters
    ----------
    log10_survivors : float or array_like
        Of :func:`log10_survivors`, up to 300. [1]

    Returns
    -------
    float or ndarray
        0 to 1.

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    return plain(np.asarray(-np.expm1(-_survivors(log10_survivors))))


@overload
def units_not_sterile(log10_survivors: float, units: int) -> float: ...
@overload
def units_not_sterile(log10_survivors: Many, units: int) -> Values: ...
def units_not_sterile(log10_survivors: float | Many, units: int) -> float | Values:
    """Return how many units of a load are to be expected not sterile: ``n (1 - exp(-N))``.

    Parameters
    ----------
    log10_survivors : float or array_like
        In the slowest position; so it is a bound for the load. [1]
    units : int
        In the load, 1 to 1e9.

    Returns
    -------
    float or ndarray
        0 to ``units``.

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    n = float(within("units", units, 1.0, MOST_UNITS, "units"))
    return plain(np.asarray(-n * np.expm1(-_survivors(log10_survivors))))


@overload
def chance_any_not_sterile(log10_survivors: float, units: int) -> float: ...
@overload
def chance_any_not_sterile(log10_survivors: Many, units: int) -> Values: ...
def chance_any_not_sterile(log10_survivors: float | Many, units: int) -> float | Values:
    """Return the chance that at least one unit of a load is not sterile: ``1 - exp(-n N)``.

    Parameters and errors as :func:`units_not_sterile`.

    Returns
    -------
    float or ndarray
        0 to 1.
    """
    n = float(within("units", units, 1.0, MOST_UNITS, "units"))
    return plain(np.asarray(-np.expm1(-n * _survivors(log10_survivors))))


def _survivors(logs: float | Many) -> Values:
    values = within("log10_survivors", logs, LEAST_LOG, MOST_LOG, "")
    return np.asarray(10.0**values)
