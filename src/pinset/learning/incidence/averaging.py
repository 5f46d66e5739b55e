"""Effects averaged over what the standard deviations may be, not taken at the likeliest alone.

With few lots nobody knows how much cooks differ; at the likeliest value the ranges are too narrow.
The deviations' logarithms are taken as independent along the axes of the curvature at their mode,
each a normal curve with its own width to either side, and effects as quadratic along each axis.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pinset.learning.incidence.fit import Fit, along, effects
from pinset.learning.incidence.laplace import Laplace
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.one_thread import one_thread

_STEP = 0.5  # of differences for the curvature, in natural units
_WIDEST = 2.0  # a side is taken as no wider than so many times the curvature says


def averaged(fit: Fit) -> Fit:
    """Return the fit with every effect's mean and spread averaged over the deviations.

    Takes two evaluations for each deviation to know how uncertain they are together, and two more
    along each axis. Everything else in the fit stays at the likeliest deviations.

    Notes
    -----
    With m and V mean and variance of an effect, and z along an axis with mean g and variance w:
    ``E m = m0 + m' g + m'' (w + g^2) / 2``, the same for V, and the law of total variance.
    """
    at = fit.at
    logs = np.log(np.append(at.scales.levels, [at.scales.lot] * bool(at.scales.lot)))
    if not len(logs):
        return fit
    base = effects(fit.model, at)
    mean, variance = base[0].copy(), base[1].copy()
    with one_thread():
        for axis in _axes(fit, logs):
            up, down = (along(fit.model, at, logs + sign * axis) for sign in (1.0, -1.0))
            above, below = _width(at, up), _width(at, down)
            centre = np.sqrt(2.0 / np.pi) * (above - below)
            wide = above * below + (1.0 - 2.0 / np.pi) * (above - below) ** 2
            moments = []
            for now, plus, minus in zip(
                base, *(effects(fit.model, side) for side in (up, down)), strict=True
            ):
                tilt, bend = (plus - minus) / 2.0, plus + minus - 2.0 * now
                moments.append((tilt, tilt * centre + bend * (wide + centre**2) / 2.0))
            mean += moments[0][1]
            variance += moments[1][1] + moments[0][0] ** 2 * wide
    spread = np.sqrt(np.maximum(variance, base[1]))
    return replace(fit, mean=mean, sd=spread)


def _axes(fit: Fit, logs: Floats) -> list[Floats]:
    """Return the principal axes of the deviations' uncertainty, each one sd long."""
    at, unit = fit.at, fit.at.natural_scale
    bend = np.empty((len(logs), len(logs)))
    for n in range(len(logs)):
        step = np.zeros(len(logs))
        step[n] = _STEP * unit[n]
        ahead, behind = (along(fit.model, at, logs + sign * step) for sign in (1.0, -1.0))
        bend[n] = -(ahead.slope - behind.slope) * unit / (2.0 * _STEP)
    curved, turned = np.linalg.eigh((bend + bend.T) / 2.0)
    lengths = np.maximum(curved, 1.0 / _WIDEST**2) ** -0.5
    return [unit * turned[:, n] * lengths[n] for n in range(len(logs))]


def _width(at: Laplace, side: Laplace) -> float:
    """Return the width of a side whose objective one step away is known, in steps."""
    drop = at.objective - side.objective
    return float(min(np.sqrt(0.5 / max(drop, 1e-9)), _WIDEST))
