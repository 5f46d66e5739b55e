"""Ranges of a share from a count: which values of it go with what was found.

Three are in use, each for its own end: Wilson's score interval to show beside a share, the exact
one of Clopper and Pearson where the bound must hold, Jeffreys' for an estimate that is added to
later.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from scipy.special import betaincinv, ndtri

from pinset.errors import InputError


@dataclass(frozen=True, slots=True)
class ShareRange:
    """The ends of a range of a share, each from 0 to 1."""

    low: float
    high: float


def checked_count(found: int, of: int) -> None:
    """Raise unless a count is a count of so many.

    Raises
    ------
    InputError
        If there are none to count, or more are found than there are.
    """
    if of < 1:
        raise InputError("units", of, "1 or more")
    if not 0 <= found <= of:
        raise InputError("found", found, f"from 0 to {of}, the units counted")


def _tail(chance: float) -> float:
    if not 0.0 < chance < 1.0:
        raise InputError("chance", chance, "between 0 and 1, say 0.95")
    return (1.0 - chance) / 2.0


def wilson(found: int, of: int, chance: float = 0.95) -> ShareRange:
    """Return Wilson's score interval, to show beside a share.

    Parameters
    ----------
    found, of : int
        Units found, of the units counted.
    chance : float
        Two-sided, between 0 and 1.

    Raises
    ------
    InputError
        If the count is none, or the chance is not one.

    Notes
    -----
    Newcombe 1998, Statistics in Medicine 17:857-872, method 3.
    """
    checked_count(found, of)
    z = float(ndtri(1.0 - _tail(chance)))
    share = found / of
    middle = (found + z * z / 2.0) / (of + z * z)
    reach = z * sqrt(of) / (of + z * z) * sqrt(share * (1.0 - share) + z * z / (4.0 * of))
    low = 0.0 if found == 0 else middle - reach
    return ShareRange(low, 1.0 if found == of else middle + reach)


def clopper_pearson(found: int, of: int, chance: float = 0.95) -> ShareRange:
    """Return the exact interval of Clopper and Pearson: its bounds hold at least so often.

    Parameters, errors: as `wilson`. Newcombe 1998, method 5.
    """
    checked_count(found, of)
    tail = _tail(chance)
    low = 0.0 if found == 0 else float(betaincinv(found, of - found + 1, tail))
    high = 1.0 if found == of else float(betaincinv(found + 1, of - found, 1.0 - tail))
    return ShareRange(low, high)


def jeffreys(found: int, of: int, chance: float = 0.95) -> ShareRange:
    """Return the interval of the posterior under Jeffreys' prior, its ends 0 and 1 kept.

    Parameters, errors: as `wilson`. Brown, Cai and DasGupta 2001, Statistical Science 16:101-133
    (memory).
    """
    checked_count(found, of)
    tail = _tail(chance)
    a, b = found + 0.5, of - found + 0.5
    low = 0.0 if found == 0 else float(betaincinv(a, b, tail))
    return ShareRange(low, 1.0 if found == of else float(betaincinv(a, b, 1.0 - tail)))
