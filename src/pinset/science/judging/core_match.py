"""Which unit a core's readings show: how fast it takes up heat, so that the series comes to them.

Every reading up to now counts, not the last one alone: a core that is hotter than its chamber, or
that turns with it, says little by one reading of how its heat is spread. Each kind of unit that may
stand there is fitted, since by conduction alone and with vapour a core goes on differently; of
those that follow the readings about as well, the one that holds longest is to be gone by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Conducting, Moist, Unit
from pinset.science.heating.heating import modes_of

Values = NDArray[float64]

TELLING = 0.1  # share of the way to the chamber from which on a core tells how well it conducts
SLOWER, QUICKER = 0.3, 1.5  # times the slowest and the quickest case, between which it is sought
MOST_READINGS = 120  # by which units are compared
AS_WELL, AS_WELL_K = 1.5, 0.3  # times what the best leaves, or so much more, follows as well
LATELY_S = 900.0  # the last readings, three at most, by which a core is off its series
FEW = 3
NUDGE, WIDEST, EXACT = 0.1, 0.7, 0.003  # first, longest and last step of ln conductivity
MOST_STEPS = 6
POOR_K = 1.0  # that the best leaves: one slower by as much as would move the series so far is taken


@dataclass(frozen=True, slots=True)
class Match:
    """A unit with what its series leaves of a core's readings."""

    unit: Unit
    off_k: float  # root of the mean square
    now_k: float  # by which the readings are above the series lately


def scaled(unit: Unit, factor: float) -> Unit:
    """Return a unit that conducts so much better throughout.

    Examples
    --------
    >>> from pinset.science.heating.heating import Cylinder, Material
    >>> scaled(Conducting(Cylinder(0.1, 0.2), Material(0.5, 2e6, 100.0)), 2.0).material.conductivity
    1.0
    """
    material = replace(unit.material, conductivity=factor * unit.material.conductivity)
    if isinstance(unit, Moist):
        return replace(unit, material=material, free_air=min(1.0, factor * unit.free_air))
    return replace(unit, material=material)


def conducts(unit: Unit, from_c: float, to_c: float) -> float:
    """Return one conductivity for a unit between two temperatures, in W/(m K)."""
    even = unit.evened(from_c, to_c) if isinstance(unit, Moist) else unit
    return even.material.conductivity


def slowest_s(unit: Unit, from_c: float, to_c: float) -> float:
    """Return the time in which the slowest mode of a unit falls to 1/e, in s."""
    even = unit.evened(from_c, to_c) if isinstance(unit, Moist) else unit
    return 1.0 / float(modes_of(even.shape, even.material).rates[0])


def matches(
    cases: Sequence[Unit],
    chamber: tuple[Values, Values],
    read: tuple[Values, Values],
    start_c: float,
    hot_c: float,
) -> tuple[Match, ...]:
    """Return the units that follow a core's readings about as well as the best one does.

    Parameters
    ----------
    cases : sequence of Unit
        What may stand there, the slowest first. It is taken alone as long as the core tells
        nothing.
    chamber : tuple of ndarray, shape (n,) each
        Its times, rising, and temperatures. [s], [degC]
    read : tuple of ndarray, shape (m,) each
        Those of the core's readings. [s], [degC]
    start_c, hot_c : float
        How warm the unit was when its chamber was first read, and its chamber is meant to be.
        [degC]
    """
    t, inside = read
    if not tells(chamber[1], inside, start_c):
        return (as_it_is(cases[0], chamber, read, start_c),)
    low = SLOWER * conducts(cases[0], start_c, hot_c)
    high = max(QUICKER * conducts(cases[-1], start_c, hot_c), 2.0 * low)
    every = max(1, -(-len(t) // MOST_READINGS))
    few = (t[::-1][::every][::-1], inside[::-1][::every][::-1])
    found: list[Match] = []
    guess = conducts(cases[0], start_c, hot_c)
    for each in _kinds(cases):
        found.append(_fitted(each, (low, guess, high), chamber, few, (start_c, hot_c)))
        guess = conducts(found[0].unit, start_c, hot_c)
        if found[0].off_k <= AS_WELL_K:
            break  # conduction alone explains the readings
    best = min(each.off_k for each in found)
    return tuple(each for each in found if each.off_k <= as_well_k(best))


def tells(chamber_c: Values, read_c: Values, start_c: float) -> bool:
    """Return whether a core has come far enough to tell how well it conducts."""
    way = max(float(np.max(chamber_c)) - start_c, 1.0)
    return len(chamber_c) > 1 and (float(np.max(read_c)) - start_c) / way >= TELLING


def as_it_is(
    unit: Unit, chamber: tuple[Values, Values], read: tuple[Values, Values], start_c: float
) -> Match:
    """Return a unit as it was taken beforehand, with what it leaves of a core's readings.

    Parameters as those of :func:`matches`.
    """
    return _match(unit, _left(unit, chamber, read, start_c), read[0])


def as_well_k(best_k: float) -> float:
    """Return what follows about as well leaves at the most, in K."""
    return max(AS_WELL * best_k, best_k + AS_WELL_K)


def _kinds(cases: Sequence[Unit]) -> list[Unit]:
    """Return a unit of each kind: by conduction alone, and for each free air that differs."""
    even = next((each for each in cases if isinstance(each, Conducting)), None)
    moist = [each for each in cases if isinstance(each, Moist)]
    kinds: list[Unit] = [even or Conducting(moist[0].shape, moist[0].material)]
    if moist:
        kinds.append(moist[0])
        if (moist[-1].free_air / moist[-1].material.conductivity) > 1.5 * (
            moist[0].free_air / moist[0].material.conductivity
        ):
            kinds.append(moist[-1])
    return kinds


def _fitted(
    unit: Unit,
    low_guess_high: tuple[float, float, float],
    chamber: tuple[Values, Values],
    read: tuple[Values, Values],
    between_c: tuple[float, float],
) -> Match:
    """Return a unit scaled so that least is left of the readings, by least squares."""
    own = conducts(unit, *between_c)
    low, guess, high = (log(each / own) for each in low_guess_high)

    def left(ln_factor: float) -> Values:
        return _left(scaled(unit, exp(ln_factor)), chamber, read, between_c[0])

    tried = [(each, left(each)) for each in _two(low, guess, high)]
    for _ in range(MOST_STEPS):
        (before, was), (now, off) = tried[-2:]
        slope = (off - was) / (now - before)
        steep = float(slope @ slope)
        if steep == 0.0:
            break
        step = float(np.clip(-(off @ slope) / steep, -WIDEST, WIDEST))
        coming = float(np.clip(now + step, low, high))
        if abs(coming - now) < EXACT:
            break
        tried.append((coming, left(coming)))
    best = min(tried, key=lambda each: float(each[1] @ each[1]))
    found = _match(scaled(unit, exp(best[0])), best[1], read[0])
    if found.off_k <= POOR_K:
        return found
    other = tried[0] if best is not tried[0] else tried[1]
    moves = _rms(other[1] - best[1]) / abs(other[0] - best[0])  # K, of all readings, by ln
    slower = max(best[0] - min(found.off_k / max(moves, POOR_K), WIDEST), low)
    again = _match(scaled(unit, exp(slower)), left(slower), read[0])
    return replace(found, unit=again.unit, now_k=again.now_k)


def _two(low: float, guess: float, high: float) -> tuple[float, float]:
    """Return two places to begin at."""
    begin = min(max(guess, low), high - NUDGE)
    return begin, begin + NUDGE


def _left(
    unit: Unit, chamber: tuple[Values, Values], read: tuple[Values, Values], start_c: float
) -> Values:
    """Return the readings less the series, shape (m,), in K."""
    series = np.full(1, start_c) if len(chamber[0]) == 1 else unit.core(*chamber, start_c)
    return read[1] - np.interp(read[0], chamber[0], series)


def _match(unit: Unit, off: Values, t: Values) -> Match:
    lately = off[t >= t[-1] - LATELY_S][-FEW:]
    return Match(unit, _rms(off), float(np.median(lately)))


def _rms(off: Values) -> float:
    return float(np.sqrt(np.mean(off**2)))
