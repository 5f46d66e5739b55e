"""Core temperatures of many bags under one chamber curve, at once.

The same series as :mod:`~pinset.science.heating.heating`, for standing cylinders whose sizes and
properties differ. The chamber is read at even steps, so each core is the chamber's slopes folded
with that bag's own answer to a short ramp; for all bags together that is one product of matrices.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from scipy.linalg import toeplitz

from pinset.errors import InputError
from pinset.science.heating.conduction import (
    cylinder_roots,
    cylinder_weights,
    slab_roots,
    slab_weights,
)
from pinset.science.heating.heating import SAME_STEP, along, checked_curve, decay

Values = NDArray[float64]

MODES = 20  # along each edge
AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Bags:
    """Sizes and properties of many cylinders; arrays of one length, all above 0."""

    radius: Values  # m
    height: Values  # m
    conductivity: Values  # W/(m K)
    heat_capacity: Values  # of a volume, J/(m3 K)
    surface: Values  # W/(m2 K)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.radius)

    def part(self, which: NDArray[np.intp]) -> Bags:
        """Return some of them, by their numbers."""
        return Bags(*(getattr(self, each.name)[which] for each in fields(self)))


def core_curves(bags: Bags, seconds: ArrayLike, chamber_c: ArrayLike, start_c: float) -> Values:
    """Return the core temperature of each bag at the chamber's readings.

    Parameters
    ----------
    bags : Bags
        n bags.
    seconds : array_like, shape (m,)
        Times of the readings, in even steps. [s]
    chamber_c : array_like, shape (m,)
        Chamber temperature, linear between the readings. [degC]
    start_c : float
        Temperature of all bags at the first reading. [degC]

    Returns
    -------
    ndarray, shape (n, m)
        [degC]

    Raises
    ------
    InputError
        If a length or property is not above 0, or the readings are not in even rising steps.
    """
    _check(bags)
    t, chamber = checked_curve(seconds, chamber_c)
    steps = np.diff(t)
    if np.ptp(steps) > SAME_STEP * steps[0]:
        raise InputError("seconds", "steps that differ", "readings in even steps")
    slopes = np.diff(chamber) / steps
    folding = _folding(slopes)
    found = np.empty((len(bags), len(t)))
    # bags that even out alike go together, since a whole group waits for its slowest modes
    evening = bags.conductivity / bags.heat_capacity * (bags.radius**-2 + bags.height**-2)
    order = np.argsort(evening)
    for begin in range(0, len(bags), AT_ONCE):
        group = order[begin : begin + AT_ONCE]
        found[group] = _cores(bags.part(group), float(steps[0]), chamber, slopes, folding, start_c)
    return found


def _folding(slopes: Values) -> Values:
    """Return the matrix that folds a row of answers with the slopes: ``out = row @ matrix``."""
    upper: Values = toeplitz(np.concatenate((slopes[:1], np.zeros(len(slopes) - 1))), slopes)
    return upper


def _cores(
    bags: Bags, step: float, chamber: Values, slopes: Values, folding: Values, start_c: float
) -> Values:
    weights, rates, lag = _modes(bags)
    ramp = decay(weights / rates, rates, step, len(chamber))
    cores = np.empty((len(bags), len(chamber)))
    cores[:, 0] = start_c
    np.matmul(ramp[:, :-1] - ramp[:, 1:], folding, out=cores[:, 1:])
    cores[:, 1:] += lag[:, None] * slopes
    first = chamber[0] - start_c
    if first != 0.0:
        cores[:, 1:] += first * decay(weights, rates, step, len(chamber))[:, 1:]
    np.subtract(chamber[1:], cores[:, 1:], out=cores[:, 1:])
    return cores


def _modes(bags: Bags) -> tuple[Values, Values, Values]:
    """Return weights and rates of the modes, roughly rising, and the lag of all others."""
    half = bags.height / 2
    h_over_k = bags.surface / bags.conductivity
    diffusivity = bags.conductivity / bags.heat_capacity
    zeta_r = cylinder_roots(h_over_k * bags.radius, MODES)
    zeta_z = slab_roots(h_over_k * half, MODES)
    c_r, c_z = cylinder_weights(zeta_r), slab_weights(zeta_z)
    a, b = zeta_r / bags.radius[:, None], zeta_z / half[:, None]
    i, j = _order(np.mean(a**2, axis=0), np.mean(b**2, axis=0))
    rates = diffusivity[:, None] * ((a**2)[:, i] + (b**2)[:, j])
    weights = c_r[:, i] * c_z[:, j]
    whole = bags.radius**2 * (0.25 + 0.5 / (h_over_k * bags.radius))
    whole -= np.sum(c_r * along(a, half[:, None], h_over_k[:, None]) / a**2, axis=1)
    return weights, rates, whole / diffusivity - np.sum(weights / rates, axis=1)


def _order(radial: Values, axial: Values) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the pairs of modes, slowest first as far as bags of a group are alike."""
    both = np.argsort((radial[:, None] + axial).ravel())
    return both // len(axial), both % len(axial)


def _check(bags: Bags) -> None:
    for each in fields(bags):
        values = getattr(bags, each.name)
        if values.shape != bags.radius.shape or values.ndim != 1:
            raise InputError(each.name, values.shape, f"as many as radii: {bags.radius.shape}")
        if not np.all(np.isfinite(values) & (values > 0.0)):
            raise InputError(each.name, "a value that is not", "numbers above 0")
