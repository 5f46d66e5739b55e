"""How long a core held a temperature, told from readings that scatter.

One reading a tenth below is no dip if the readings scatter by more. Scatter is what lies between a
reading and the next and comes back at once; what lasts is the core's own. A dip of half a kelvin
that lasts two minutes must be seen: where scatter could hide it, the bare readings decide alone.
All limits are the code's own choice: no source. The estimate from differences is J. von Neumann's
(1941; memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, sqrt
from statistics import NormalDist

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray
from scipy.ndimage import median_filter

Values = NDArray[float64]
Stretch = tuple[float, float]

MINUTE = 60.0
FEWEST = 8  # hot readings from which scatter is told
NEAR_K = 2.0  # below what is asked for, within which readings tell it
TRIMMED, OF_TRIMMED = 0.1, 0.789  # largest differences left out, and what a normal's then lose
MOST_K = 0.5  # readings that scatter more allow nothing
LEVEL_K = 0.05  # to which the level is to be known ...
LEVEL_S = 600.0  # ... by readings within so long
DIP_K, DIP_S = 0.5, 120.0  # that is to be seen
AROUND = 4  # times so long is what a dip is told from
SEEN = 2.33  # errors: one in a hundred is missed, or seen where there is none
SURE = 1.64  # errors by which the mean of a hold is above what is asked for
FALSELY = 0.05  # share of holds in which a dip is seen that scatter made
TESTS = 3.5  # a reading, by the windows it is in
OF_MEDIAN = 1.25  # its error over that of a mean


@dataclass(frozen=True, slots=True)
class Runs:
    """Stretches at a temperature or above, from when to when in s; rising."""

    sure: tuple[Stretch, ...]  # no dip in them that matters
    likely: tuple[Stretch, ...]  # no dip that scatter does not explain
    most: tuple[Stretch, ...]  # if scatter hid as much as it can
    bare: tuple[Stretch, ...]  # by the single readings
    noise_k: float  # standard deviation of a reading; 0: nothing is allowed for it


def stretches_above(seconds: Values, temperature_c: Values, at_c: float) -> tuple[Stretch, ...]:
    """Return from when to when a temperature was at or above a limit, in s.

    Parameters
    ----------
    seconds, temperature_c : ndarray, shape (n,)
        Rising times and readings without gaps. [s], [degC]
    at_c : float
        The limit. Crossings are taken on the straight line between two readings. [degC]
    """
    hot = temperature_c >= at_c
    if not np.any(hot):
        return ()
    turns = np.flatnonzero(hot[1:] != hot[:-1])
    before, after = temperature_c[turns], temperature_c[turns + 1]
    crossed = seconds[turns] + (at_c - before) / (after - before) * np.diff(seconds)[turns]
    begins, ends = crossed[hot[turns + 1]], crossed[~hot[turns + 1]]
    if hot[0]:
        begins = np.concatenate((seconds[:1], begins))
    if hot[-1]:
        ends = np.concatenate((ends, seconds[-1:]))
    return tuple(zip(begins.tolist(), ends.tolist(), strict=True))


def longest_s(stretches: tuple[Stretch, ...]) -> float:
    """Return how long the longest stretch is, in s; 0: there is none."""
    return max((end - begin for begin, end in stretches), default=0.0)


@dataclass(frozen=True, slots=True)
class Held:
    """The longest of each in a log, in min."""

    sure: float
    likely: float
    most: float
    bare: float
    noise_k: float


def held_in(pieces: Sequence[tuple[Values, Values]], at_c: float) -> Held:
    """Return how long a core was at a temperature or above, in no gap between its pieces.

    Parameters
    ----------
    pieces : sequence of tuple of ndarray
        Rising times [s] and readings. [degC]
    at_c : float
        What is asked for. [degC]
    """
    found = [runs_above(*each, at_c) for each in pieces]
    sure, likely, most, bare = (
        max((longest_s(getattr(each, name)) for each in found), default=0.0) / MINUTE
        for name in ("sure", "likely", "most", "bare")
    )
    return Held(sure, likely, most, bare, max((each.noise_k for each in found), default=0.0))


def noise_of(seconds: Values, temperature_c: Values) -> float:
    """Return by how much a reading scatters about what it measures, in K.

    The lesser of two: what two differences that follow each other have in common with opposite
    signs, to which what lasts for two readings or more adds nothing; and the differences from the
    line between the neighbours without the largest tenth, to which a leap adds nothing.

    Examples
    --------
    >>> random = np.random.default_rng(1)
    >>> t = 10.0 * np.arange(300)
    >>> round(noise_of(t, 121.3 + random.normal(0.0, 0.2, 300)), 1)
    0.2
    >>> noise_of(t, 121.0 + 0.5 * (t % 60.0 > 25.0))
    0.0
    """
    if len(seconds) < FEWEST:
        return 0.0
    steps = np.diff(temperature_c)
    steps = steps - np.median(steps)
    together = -float(np.mean(steps[:-1] * steps[1:]))
    part = (seconds[1:-1] - seconds[:-2]) / (seconds[2:] - seconds[:-2])
    line = temperature_c[:-2] + part * (temperature_c[2:] - temperature_c[:-2])
    off = (temperature_c[1:-1] - line) / np.sqrt(1.0 + part**2 + (1.0 - part) ** 2)
    count = ceil((1.0 - TRIMMED) * len(off))
    kept = np.partition(np.abs(off), count - 1)[:count]
    trimmed = float(np.sqrt(np.mean(kept**2))) / OF_TRIMMED
    return min(sqrt(max(0.0, together)), trimmed)


def runs_above(seconds: Values, temperature_c: Values, at_c: float) -> Runs:
    """Return for how long a core was at a temperature or above, by readings that scatter.

    Parameters
    ----------
    seconds, temperature_c : ndarray, shape (n,)
        Rising times and readings without gaps. [s], [degC]
    at_c : float
        What is asked for. [degC]
    """
    bare = stretches_above(seconds, temperature_c, at_c)
    none = Runs(bare, bare, bare, bare, 0.0)
    if not bare or bare[-1][1] - bare[0][0] - longest_s(bare) <= MINUTE:
        return none  # nothing parts it that is worth a look
    first, last = np.flatnonzero(temperature_c >= at_c)[[0, -1]]
    noise = _noise_near(seconds[first : last + 1], temperature_c[first : last + 1], at_c)
    if not 0.0 < noise <= MOST_K:
        return none
    span = slice(max(0, first - 1), last + 2)
    return _allowing(seconds[span], temperature_c[span], at_c, bare, noise)


def _noise_near(seconds: Values, temperature_c: Values, at_c: float) -> float:
    """Return the scatter of readings not far below what is asked for, in K."""
    near = temperature_c >= at_c - NEAR_K
    return noise_of(seconds[near], temperature_c[near])


def _allowing(
    t: Values, celsius: Values, at_c: float, bare: tuple[Stretch, ...], noise: float
) -> Runs:
    """Return the stretches of readings that scatter by so much, in K."""
    scales = _scales(t, noise)
    is_likely, is_sure, is_most = (np.ones(len(t), dtype=bool) for _ in range(3))
    for block in _unsettled(celsius >= at_c, 2 * scales.around):
        found = _looked_at(celsius[block], at_c, noise, scales)
        is_likely[block], is_sure[block], is_most[block] = found
    sure = bare
    if scales.step_s <= DIP_S and 2.0 * SEEN * noise / sqrt(scales.dip) <= DIP_K:
        held = _runs(t, is_sure)
        sure = tuple(each for each in held if _is_above(t, celsius, at_c, noise, each))
    sure = max(sure, bare, key=longest_s)
    likely = max(_runs(t, is_likely), sure, key=longest_s)
    return Runs(sure, likely, max(_runs(t, is_most), likely, key=longest_s), bare, noise)


@dataclass(frozen=True, slots=True)
class _Scales:
    """Over how many readings what is looked for goes."""

    step_s: float
    dip: int  # that is to be seen
    level: int
    around: int  # of which a dip is one
    rarely: float  # errors that scatter alone makes in few logs


def _scales(t: Values, noise: float) -> _Scales:
    step = float(np.median(np.diff(t)))
    dip = max(1, int(DIP_S / step))
    level = 1 + 2 * int(min((noise / LEVEL_K) ** 2, LEVEL_S / step) / 2.0)
    rarely = NormalDist().inv_cdf(1.0 - FALSELY / (TESTS * len(t)))
    return _Scales(step, dip, level, max(level, AROUND * dip + 1), rarely)


def _unsettled(is_hot: NDArray[bool_], near: int) -> list[slice]:
    """Return the readings so near to one that is not hot that its neighbours count."""
    cold = np.flatnonzero(~is_hot)
    parts = np.split(cold, np.flatnonzero(np.diff(cold) > 2 * near) + 1) if len(cold) else []
    return [slice(max(0, int(each[0]) - near), int(each[-1]) + near + 1) for each in parts]


def _looked_at(
    celsius: Values, at_c: float, noise: float, scales: _Scales
) -> tuple[NDArray[bool_], NDArray[bool_], NDArray[bool_]]:
    """Return which readings are of a hold that is likely, sure, and if scatter hides the most."""
    level, usual = _median(celsius, scales.level), _median(celsius, scales.around)
    windows = _windows(max(scales.level, scales.dip))
    rare = [(each, scales.rarely * noise / sqrt(each)) for each in windows]
    lasting = [(each, SEEN * noise / sqrt(each)) for each in windows if each >= scales.dip]
    is_likely = (level >= at_c) & ~_dips(celsius, usual, at_c, rare)
    is_sure = is_likely & ~_dips(celsius, usual, at_c, lasting)
    off = SEEN * OF_MEDIAN * noise / sqrt(scales.level)
    real = _dips(celsius, np.full_like(celsius, at_c), at_c, rare)
    return is_likely, is_sure, (level >= at_c - off) & ~real


def _median(celsius: Values, size: int) -> Values:
    """Return the median of so many readings around each."""
    return celsius if size == 1 else np.asarray(median_filter(celsius, size, mode="nearest"))


def _windows(most: int) -> list[int]:
    """Return how many readings are looked at together: 1, 2, 3, 4, 6, 8, 12 and so on."""
    found = [1]
    while found[-1] < most:
        found.append(found[-1] + max(1, found[-1] // 2 if found[-1] % 3 else found[-1] // 3))
    return found


def _dips(
    celsius: Values, level: Values, at_c: float, by: list[tuple[int, float]]
) -> NDArray[bool_]:
    """Return which readings are of a window whose mean is below a limit and below their level.

    ``by``: how many readings a window has, and by how much its mean is below the level. [K]
    """
    marks = np.zeros(len(celsius) + 1)
    sums = np.concatenate(([0.0], np.cumsum(celsius - at_c)))
    levels = np.concatenate(([0.0], np.cumsum(level - at_c)))
    for count, off_k in by:
        if count > len(celsius):
            break
        mean = (sums[count:] - sums[:-count]) / count
        usual = (levels[count:] - levels[:-count]) / count
        found = np.flatnonzero((mean < 0.0) & (mean < usual - off_k))
        np.add.at(marks, found, 1.0)
        np.add.at(marks, found + count, -1.0)
    return np.asarray(np.cumsum(marks)[:-1] > 0.0)


def _runs(t: Values, is_held: NDArray[bool_]) -> tuple[Stretch, ...]:
    """Return from which to which reading each stretch lasts."""
    turns = np.flatnonzero(np.diff(np.concatenate(([False], is_held, [False])).astype(int)))
    pairs = list(pairwise(turns.tolist()))[::2]
    return tuple((float(t[begin]), float(t[end - 1])) for begin, end in pairs)


def _is_above(t: Values, celsius: Values, at_c: float, noise: float, stretch: Stretch) -> bool:
    """Return whether the mean of a stretch is above what is asked for by more than its error."""
    begin, end = np.searchsorted(t, stretch)
    held = celsius[begin : end + 1]
    return float(np.mean(held)) >= at_c + SURE * noise / sqrt(len(held))
