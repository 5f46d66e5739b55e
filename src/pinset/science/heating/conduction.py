"""Series of heat conduction in a slab and a cylinder with a convective surface: roots, weights.

For a body at one temperature that is put into another, the excess over the surroundings is
``sum_n C_n exp(-zeta_n^2 Fo) profile_n``, with ``Bi = h L / k`` (L the half thickness or radius)
and ``Fo = alpha t / L^2``.

Source: Incropera, DeWitt, Bergman & Lavine, Fundamentals of Heat and Mass Transfer, ch. 5
(transient conduction, one-dimensional systems with convection).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from scipy.special import j0, j1, jn_zeros

from pinset.errors import InputError

LEAST_BIOT, LARGEST_BIOT = 1e-6, 1e9
SLAB_STEPS, CYLINDER_STEPS = 5, 6
EARLY = 0.8  # softens the start at small Biot numbers, where a root leaves its lower bound fast

Roots = NDArray[float64]


def slab_roots(biot: ArrayLike, count: int) -> Roots:
    """Return the first roots of ``zeta tan zeta = Bi``.

    Newton's rule on ``zeta - n pi - atan(Bi / zeta)``, which is smooth where the tangent is not,
    from starts close enough that no bracket is searched.

    Parameters
    ----------
    biot : array_like, shape (...)
        ``h L / k`` with the half thickness L, from 1e-6 to 1e9. [1]
    count : int
        How many roots.

    Returns
    -------
    ndarray, shape (..., count)
        [rad]

    Raises
    ------
    InputError
        If a Biot number or the count is out of range.
    """
    bi = _checked(biot, count)
    shift = np.pi * np.arange(count)
    start = shift + np.arctan(bi / (shift + EARLY))
    first = (np.pi / 2) / np.sqrt(1.0 + np.pi**2 / (4.0 * bi))
    x: Roots = np.where(shift == 0.0, first, start)
    for _ in range(SLAB_STEPS):
        x = x - (x - shift - np.arctan(bi / x)) / (1.0 + bi / (x * x + bi * bi))
    return x


def cylinder_roots(biot: ArrayLike, count: int) -> Roots:
    """Return the first roots of ``zeta J1(zeta) = Bi J0(zeta)``.

    Parameters and errors as :func:`slab_roots`, with the radius as length.
    """
    bi = _checked(biot, count)
    lower, upper = _bessel_zeros(count)
    start = lower + (upper - lower) * (2 / np.pi) * np.arctan(bi / (lower + EARLY))
    first = upper[0] / np.sqrt(1.0 + upper[0] ** 2 / (2.0 * bi))
    x: Roots = np.where(lower == 0.0, first, start)
    for _ in range(CYLINDER_STEPS):
        zero, one = j0(x), j1(x)
        x = x - (x * one - bi * zero) / (x * zero + bi * one)
    return x


def slab_weights(zeta: Roots) -> Roots:
    """Return ``C_n = 4 sin zeta / (2 zeta + sin 2 zeta)`` of a slab."""
    return 4.0 * np.sin(zeta) / (2.0 * zeta + np.sin(2.0 * zeta))


def cylinder_weights(zeta: Roots) -> Roots:
    """Return ``C_n = (2 / zeta) J1 / (J0^2 + J1^2)`` of a cylinder."""
    zero, one = j0(zeta), j1(zeta)
    return (2.0 / zeta) * one / (zero * zero + one * one)


def slab_excess(biot: float, fourier: ArrayLike, place: float = 0.0, count: int = 250) -> Roots:
    """Return the share of the first excess left in a slab.

    Parameters
    ----------
    biot : float
        ``h L / k``. [1]
    fourier : array_like
        ``alpha t / L^2``, above 0. [1]
    place : float
        Distance from the middle, 0 to 1 of the half thickness.
    count : int
        Terms of the series; more are needed the smaller ``fourier`` is.
    """
    return _excess(slab_roots, slab_weights, np.cos, biot, fourier, place, count)


def cylinder_excess(biot: float, fourier: ArrayLike, place: float = 0.0, count: int = 250) -> Roots:
    """Return the share of the first excess left in a long cylinder; as :func:`slab_excess`."""
    return _excess(cylinder_roots, cylinder_weights, j0, biot, fourier, place, count)


def _excess(
    roots: Callable[[ArrayLike, int], Roots],
    weights: Callable[[Roots], Roots],
    profile: Callable[[Roots], Roots],
    biot: float,
    fourier: ArrayLike,
    place: float,
    count: int,
) -> Roots:
    fo = np.asarray(fourier, dtype=float64)
    if not np.all(np.isfinite(fo)) or np.any(fo <= 0.0):
        raise InputError("fourier", fourier, "above 0")
    if not 0.0 <= place <= 1.0:
        raise InputError("place", place, "0 (middle) to 1 (surface)")
    zeta = roots(biot, count)
    terms = weights(zeta) * profile(zeta * place)
    left: Roots = np.exp(-fo[..., None] * zeta**2) @ terms
    return left


def _checked(biot: ArrayLike, count: int) -> Roots:
    bi = np.asarray(biot, dtype=float64)[..., None]
    if count < 1:
        raise InputError("count", count, "1 or more roots")
    if not np.all((bi >= LEAST_BIOT) & (bi <= LARGEST_BIOT)):
        raise InputError("biot", biot, f"{LEAST_BIOT:g} to {LARGEST_BIOT:g}")
    return bi


@lru_cache(maxsize=16)
def _bessel_zeros(count: int) -> tuple[Roots, Roots]:
    """Return the zeros of J1, from 0 on, and of J0: the bounds of each cylinder root."""
    lower = np.concatenate(([0.0], jn_zeros(1, count - 1))) if count > 1 else np.zeros(1)
    upper = jn_zeros(0, count)
    for zeros in (lower, upper):
        zeros.setflags(write=False)
    return lower, upper
