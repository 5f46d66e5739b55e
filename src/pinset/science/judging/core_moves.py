"""How a core can't move by its readings: a step between two of them, a fall with no cause.

The temperature in the middle of a unit is a mean of what has been around it, with weights that are
never negative (J. M. C. Duhamel's integral; memory). So it can't fall by more than its chamber
has fallen before, and its pace changes no faster than heat passes through the unit.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.ndimage import median_filter

Values = NDArray[float64]

MINUTE = 60.0

STEP_K = 2.5  # more than between any of the readings around it
OF_NOISE = 1.0  # times what two readings differ by at random, besides
APART_S = 2.0 * MINUTE  # further apart, a step is not told from a rise
AROUND = 5  # steps before, and as many behind, between which one stands out
TO_SIGMA = 1.4826  # of a median of distances to the standard deviation of a normal law

FRO_K = 2.0  # off the line between its neighbours, in the middle of so many readings
FRO_READINGS = 21
FEWEST = FRO_READINGS // 2  # steps as wide; fewer are no habit

FALLS_K = 4.0  # more than the chamber has
HEATED_K = 10.0  # since the start: before, a unit filled in hot evens out
SMOOTHED = 5  # readings whose median is looked at


def steps_up(t: Values, inside: Values) -> str:
    """Say that a core steps up between two readings, as when a plug or a wire is touched.

    Parameters
    ----------
    t, inside : ndarray, shape (n,)
        Rising times [s] and readings, none missing. [degC]

    Examples
    --------
    >>> t = 60.0 * np.arange(60)
    >>> steps_up(t, 20.0 + t / 60.0 + np.where(t > 1800.0, 4.0, 0.0))
    'after 30 min it steps up by 4 K at once, as if its plug or wire had been touched'
    """
    t, inside = _by_minutes(t, inside)
    if len(t) <= 2 * AROUND:
        return ""
    rise, step = np.diff(inside), np.diff(t)
    pace = rise / step
    padded = np.pad(pace, AROUND, mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * AROUND + 1)
    around = np.delete(windows, AROUND, axis=1)
    usual = np.maximum(np.max(around, axis=1), 0.0) * step
    change = np.diff(rise)
    noise_k = TO_SIGMA * float(np.median(np.abs(change - np.median(change)))) / np.sqrt(3.0)
    beyond = inside[1:] - np.maximum.accumulate(inside)[:-1]  # back from a dip is no step
    excess = np.where(step <= APART_S, beyond - usual, 0.0)
    at = int(np.argmax(excess))
    if excess[at] < STEP_K + OF_NOISE * noise_k:
        return ""
    return (
        f"after {t[at] / MINUTE:.0f} min it steps up by {excess[at]:.0f} K at once, as if its plug "
        "or wire had been touched"
    )


def to_and_fro(t: Values, inside: Values) -> str:
    """Say that a core jumps to and fro from reading to reading, as if two were written by turns.

    Parameters
    ----------
    t, inside : ndarray, shape (n,)
        Rising times [s] and readings, none missing. [degC]

    Examples
    --------
    >>> t = 60.0 * np.arange(60)
    >>> to_and_fro(t, 20.0 + t / 60.0 + np.where(np.arange(60) % 2, 6.0, 0.0))
    'it jumps by 6 K to and fro from reading to reading, as if two units were written by turns'
    """
    if len(t) < FRO_READINGS or np.count_nonzero(np.abs(np.diff(inside)) >= FRO_K) < FEWEST:
        return ""
    share = (t[1:-1] - t[:-2]) / (t[2:] - t[:-2])
    line = inside[:-2] + share * (inside[2:] - inside[:-2])
    off = np.abs(inside[1:-1] - line)
    most = float(np.max(median_filter(off, FRO_READINGS, mode="constant")))
    if most < FRO_K:
        return ""
    return (
        f"it jumps by {most:.0f} K to and fro from reading to reading, as if two units were "
        "written by turns"
    )


def _by_minutes(t: Values, *curves: Values) -> tuple[Values, ...]:
    """Return times and curves a minute apart, by the median of five readings if there are more.

    Minutes count anew behind a gap, so no median is of readings on both sides of one.
    """
    if len(t) < 2 or float(np.median(np.diff(t))) > MINUTE / 2.0:  # noqa: PLR2004  (a step has two)
        return t, *curves
    is_new = np.concatenate(([True], np.diff(t) > APART_S))
    since = t - t[np.maximum.accumulate(np.where(is_new, np.arange(len(t)), 0))]
    minute = np.floor(since / MINUTE)
    begins = np.flatnonzero(is_new | np.concatenate(([True], np.diff(minute) > 0.0)))
    ends = np.minimum(np.append(begins[1:], len(t)), begins + SMOOTHED)
    few = np.minimum(begins[:, np.newaxis] + np.arange(SMOOTHED), len(t) - 1)
    is_in = few < ends[:, np.newaxis]
    return t[begins], *(np.nanmedian(np.where(is_in, each[few], np.nan), axis=1) for each in curves)


def falls_alone(seconds: Values, core_c: Values, chambers_c: Sequence[Values]) -> str:
    """Say that a core falls by more than anything around it has fallen.

    Parameters
    ----------
    seconds, core_c : ndarray, shape (n,)
        Rising times [s] and readings of the core; NaN where it gave none. [degC]
    chambers_c : sequence of ndarray, shape (n,)
        Those of the probes in the chamber.
    """
    if not len(chambers_c):
        return ""
    known = ~np.isnan(core_c)
    for chamber in chambers_c:
        known &= ~np.isnan(chamber)
    if np.count_nonzero(known) < SMOOTHED:
        return ""
    t, *curves = _by_minutes(seconds[known], core_c[known], *(each[known] for each in chambers_c))
    inside, *outsides = (_smoothed(each) for each in curves)
    most = np.maximum.accumulate(np.where(inside > inside[0] + HEATED_K, inside, -np.inf))
    own = most - inside
    around = np.zeros(len(t))
    for outside in outsides:
        warmest = np.maximum.accumulate(np.maximum(outside, inside[0]))
        around = np.maximum(around, np.maximum.accumulate(warmest - outside))
    at = int(np.argmax(own - around))
    if own[at] - around[at] < FALLS_K:
        return ""
    return (
        f"until {t[at] / MINUTE:.0f} min it falls by {own[at]:.0f} K, and the chamber fell by "
        f"{around[at]:.0f} K only"
    )


def _smoothed(values: Values) -> Values:
    """Return the running median of five readings, at the ends of what there is of them."""
    padded = np.pad(values, SMOOTHED // 2, mode="edge")
    return np.median(np.lib.stride_tricks.sliding_window_view(padded, SMOOTHED), axis=1)
