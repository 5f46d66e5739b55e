"""Cleanliness classes of air by ISO 14644-1:2015: limits, the class reached, what to sample.

The blank cells of its table 1 stay blank here: where counting is unreliable there is no limit, and
none is made up. Read as reproduced on two public pages; the standard itself was not.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, isfinite, log10

from pinset.errors import InputError
from pinset.science.checks import within

SIZES_UM = (0.1, 0.2, 0.3, 0.5, 1.0, 5.0)
"""Sizes of table 1. [um]"""

CLEANEST, DIRTIEST = 1.0, 9.0

_DEFINED = {0.1: (1, 6), 0.2: (2, 6), 0.3: (2, 6), 0.5: (3, 9), 1.0: (4, 9), 5.0: (6, 9)}
_EXPONENT = 2.08
_COUNTED, _LEAST_LITRES = 20.0, 2.0  # particles in a sample; litres (minimum from memory)


def class_limit(number: float, size_um: float) -> float | None:
    """Return how many particles of a size or larger a class allows.

    Parameters
    ----------
    number : float
        The class, 1 to 9, in halves.
    size_um : float
        0.1 to 5. [um]

    Returns
    -------
    float or None
        None where the class is not defined for the size. [1/m3]

    Raises
    ------
    InputError
        If there is no such class, or the size is out of range.

    Notes
    -----
    ``10^N (0.1 / D)^2.08``, three significant figures, whole particles. Between two sizes of the
    table, or two classes, a limit is defined only where it is for both.

    Examples
    --------
    >>> class_limit(5, 0.5), class_limit(5, 5.0)
    (3520.0, None)
    """
    within("ISO class", number, CLEANEST, DIRTIEST, "")
    if number * 2.0 != floor(number * 2.0):
        raise InputError("ISO class", number, "a class from 1 to 9, whole or half")
    within("particle size", size_um, SIZES_UM[0], SIZES_UM[-1], "um")
    above = min(size for size in SIZES_UM if size >= size_um)
    below = max(size for size in SIZES_UM if size <= size_um)
    if any(not _DEFINED[s][0] <= number <= _DEFINED[s][1] for s in (above, below)):
        return None
    return float(round(_three_figures(10.0**number * (0.1 / size_um) ** _EXPONENT)))


def _three_figures(value: float) -> float:
    return round(value, 2 - floor(log10(value)))


def class_reached(counts: Mapping[float, float]) -> float | None:
    """Return the cleanest class that air of such counts keeps to.

    Parameters
    ----------
    counts : mapping of float to float
        Particles of a size or larger by size, 0 or more. [um] [1/m3]

    Returns
    -------
    float or None
        1 to 9 in halves; None if it keeps to none, or none is defined for one of the sizes.

    Raises
    ------
    InputError
        If nothing was counted, or a number is out of range.

    Notes
    -----
    Of an estimate this is an estimate; a class is claimed by counts at as many places, and of as
    much air, as the standard asks.
    """
    if not counts or any(not (isfinite(c) and c >= 0.0) for c in counts.values()):
        raise InputError("particles", dict(counts), "a count of 0 or more per m3 for a size")
    for halves in range(int(2 * CLEANEST), int(2 * DIRTIEST) + 1):
        limits = [(class_limit(halves / 2.0, size), count) for size, count in counts.items()]
        if all(limit is not None and count <= limit for limit, count in limits):
            return halves / 2.0
    return None


def sample_litres(limit_m3: float) -> float:
    """Return the least volume to sample at a place, so that 20 particles would be seen at a limit.

    Parameters
    ----------
    limit_m3 : float
        Of the largest size looked at, above 0. [1/m3]

    Returns
    -------
    float
        At least 2, and at least a minute long. [L]

    Raises
    ------
    InputError
        If the limit is not above 0.
    """
    if not (isfinite(limit_m3) and limit_m3 > 0.0):
        raise InputError("class limit", limit_m3, "a number above 0 per m3")
    return max(_LEAST_LITRES, _COUNTED / limit_m3 * 1000.0)
