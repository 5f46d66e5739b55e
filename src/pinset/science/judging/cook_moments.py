"""Moments of a cook in a log: how fast it killed, from when on it was enough, how long it held."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.judging.findings import Given, seen_along
from pinset.science.judging.hold_runs import runs_above, stretches_above
from pinset.science.judging.records import Probe, Role, Rule
from pinset.science.lethality.lethality import lethal_rate

Values = NDArray[float64]
MINUTE = 60.0
FEWEST = 2  # readings


def rate_along(temperature_c: Values) -> Values:
    """Return the lethal rate (121.1 degC, 10 K) at each reading, shape (n,).

    NaN where there is no reading. [1]

    Raises
    ------
    InputError
        If a reading is out of range, see :func:`~pinset.science.lethality.lethality.lethal_rate`.

    Examples
    --------
    >>> rate_along(np.array([111.1, np.nan])).round(6).tolist()
    [0.1, nan]
    """
    rates = np.full(np.shape(temperature_c), np.nan)
    known = ~np.isnan(temperature_c)
    rates[known] = lethal_rate(temperature_c[known])
    return rates


def earned_along(seconds: Values, temperature_c: Values) -> Values:
    """Return F0 earned up to each reading, in min, shape (n,); NaN where there is no reading.

    As in the verdict: what a gap hides is not earned.

    Raises
    ------
    InputError
        If times do not rise or a reading is out of range.
    """
    earned = np.full(np.shape(temperature_c), np.nan)
    known = ~np.isnan(temperature_c)
    times = seconds[known]
    total, found = 0.0, np.zeros(len(times))
    for piece, celsius in _pieces(times, temperature_c[known]):
        here = slice(*np.searchsorted(times, (piece[0], piece[-1])) + np.array([0, 1]))
        found[here] = total + seen_along(piece, celsius)
        total = float(found[here][-1])
    earned[known] = np.maximum.accumulate(found) if len(found) else found
    return earned


def _pieces(seconds: Values, temperature_c: Values) -> list[tuple[Values, Values]]:
    if len(seconds) < FEWEST:
        return []
    return Given(Probe("", Role.CORE, temperature_c), seconds, temperature_c).pieces()


def reached_s(seconds: Values, temperature_c: Values, rule: Rule) -> float | None:
    """Return when a core had all a rule asks for, in s, or None: never.

    Never before it was so: F0 counts from the first reading by which it is earned, and what may
    have been earned while readings were missing does not count.

    Parameters
    ----------
    seconds, temperature_c : ndarray, shape (n,)
        Rising times and readings, NaN where there is none. [s], [degC]
    rule : Rule
        What is asked.

    Raises
    ------
    InputError
        If a reading is out of range.
    """
    known = ~np.isnan(temperature_c)
    if int(known.sum()) < FEWEST:
        return None
    pieces = _pieces(seconds[known], temperature_c[known])
    moments = []
    if rule.f0 is not None:
        moments.append(_earned_at(pieces, rule.f0))
    if rule.hold_c is not None and rule.hold_minutes is not None:
        moments.append(_held_at(pieces, rule.hold_c, rule.hold_minutes * MINUTE))
    reached = [each for each in moments if each is not None]
    return max(reached) if len(reached) == len(moments) else None


def _earned_at(pieces: Sequence[tuple[Values, Values]], f0: float) -> float | None:
    before = 0.0
    for times, core in pieces:
        earned = before + seen_along(times, core)
        enough = np.flatnonzero(earned >= f0)
        if len(enough):
            return float(times[enough[0]])
        before = float(earned[-1])
    return None


def _held_at(pieces: Sequence[tuple[Values, Values]], at_c: float, lasting: float) -> float | None:
    for times, core in pieces:
        for begin, end in runs_above(times, core, at_c).sure:
            if end - begin >= lasting:
                return begin + lasting
    return None


def longest_hold_s(
    seconds: Values, temperature_c: Values, at_c: float
) -> tuple[float, float] | None:
    """Return from when to when a core was longest at a temperature or hotter, in s.

    Scatter of its readings parts no hold (:mod:`~pinset.science.judging.hold_runs`). Parameters as
    :func:`reached_s`; None if it never was.
    """
    known = ~np.isnan(temperature_c)
    stretches = [
        stretch
        for times, core in _pieces(seconds[known], temperature_c[known])
        for stretch in runs_above(times, core, at_c).likely
    ]
    return max(stretches, key=lambda each: each[1] - each[0], default=None)


def held(seconds: Values, temperature_c: Values, at_c: float) -> tuple[float | None, float]:
    """Return when a temperature was first reached, and the longest time at it or above, in min.

    By the single readings, whatever they scatter.
    Crossings are taken on the straight line between two readings.
    """
    stretches = stretches_above(seconds, temperature_c, at_c)
    if not stretches:
        return None, 0.0
    longest = max(end - begin for begin, end in stretches)
    return (stretches[0][0] - float(seconds[0])) / MINUTE, longest / MINUTE
