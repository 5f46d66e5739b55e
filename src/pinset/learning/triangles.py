"""A triangular spread with a wanted mean and width: the form in which a route takes a figure."""

from __future__ import annotations

from math import inf, sqrt

from pinset.chain.register import Spread
from pinset.chain.spreads import variance
from pinset.errors import InputError

_SYMMETRIC = Spread(-1.0, 0.0, 1.0)


def triangle(
    mean: float, sd: float, *, like: Spread, least: float = 0.0, most: float = inf
) -> Spread:
    """Return a triangular spread of a mean and a standard deviation.

    Parameters
    ----------
    mean, sd : float
        Wanted; in any unit.
    like : Spread
        Its lean to one side is kept, as far as the bounds leave room.
    least, most : float
        Bounds of the quantity; a fraction lies between 0 and 1.

    Returns
    -------
    Spread
        The mean always holds. Where a bound is in the way the spread begins or ends there and the
        lean gives way; a triangle that stands on a bound has at most a standard deviation of
        ``(mean - least) / sqrt(2)``, so beyond that the spread is narrower than wanted.

    Raises
    ------
    InputError
        If the mean is not between the bounds, or the standard deviation is negative.

    Notes
    -----
    With one end ``a`` fixed, mode ``c`` and other end ``b`` follow from mean and variance:
    ``c + b = 3 m - a`` and ``(b - c)**2 = 24 v - 3 (m - a)**2`` (from the triangle's mean
    ``(a + b + c) / 3`` and variance ``(a2 + b2 + c2 - ab - ac - bc) / 18``).

    Examples
    --------
    >>> triangle(10.0, sqrt(1.0 / 6.0), like=Spread(0.0, 1.0, 2.0))
    Spread(low=9.0, mode=10.0, high=11.0)
    """
    if not least <= mean <= most:
        raise InputError("mean", mean, f"{least:g} to {most:g}")
    if not sd >= 0.0:
        raise InputError("standard deviation", sd, "0 or more")
    shape = like if variance(like) > 0.0 else _SYMMETRIC
    factor = sd / sqrt(variance(shape))
    found = Spread(*(mean + (each - shape.mean) * factor for each in _ends(shape)))
    if found.low < least:
        found = _standing_on(mean, sd, least)
    if found.high > most:
        found = _mirrored(_standing_on(-mean, sd, -most))
    if found.low < least:  # too wide for both bounds: as wide as they allow
        mode = min(max(3.0 * mean - least - most, least), most)
        found = Spread(least, mode, min(most, 3.0 * mean - least - mode))
    return found


def _ends(spread: Spread) -> tuple[float, float, float]:
    return spread.low, spread.mode, spread.high


def _mirrored(spread: Spread) -> Spread:
    return Spread(-spread.high, -spread.mode, -spread.low)


def _standing_on(mean: float, sd: float, low: float) -> Spread:
    """Return the triangle that begins at a bound, its mode there, too, if it must be as wide."""
    above = mean - low
    apart = sqrt(max(0.0, 24.0 * sd * sd - 3.0 * above * above))
    rest = 3.0 * mean - low  # mode and high together
    mode = max(low, (rest - apart) / 2.0)
    return Spread(low, mode, rest - mode)
