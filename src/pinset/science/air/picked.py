"""Picked mushrooms: how they respire, how soon they are cool, how long they keep."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log

import numpy as np

from pinset.errors import InputError
from pinset.science.air.gas import HEAT_J_G, grams_m3
from pinset.science.air.ranges import Range, over, published, range_of
from pinset.science.checks import within
from pinset.tables.air import air_rows

COLDEST_C, WARMEST_C = 0.0, 35.0
"""Below the first they freeze (at -0.6 degC) and are spoilt. [degC]"""

SEVEN_EIGHTHS = 3.0
"""Half-cooling times until seven eighths of the way are done."""

_W_KG = HEAT_J_G / 3600.0 / 1e3  # of a mg/(kg h) [W/kg]
_OTHERS = ("agaricus-bisporus", "pleurotus-ostreatus")
_PROBE_K = 0.3


def _points(species: str, name: str) -> list[tuple[float, Range]]:
    """Return what is published of a species by temperature."""
    found = [
        (float(row.name.removeprefix(name).removesuffix("_c")), range_of(row))
        for row in air_rows(species)
        if row.name.startswith(name)
    ]
    return sorted(found, key=lambda pair: pair[0])


def _between(points: Sequence[tuple[float, Range]], celsius: float, q10: Range) -> Range:
    """Return a rate between or beyond those that are published: its logarithm is straight."""
    within("temperature", celsius, COLDEST_C, WARMEST_C, "degC")
    below = [point for point in points if point[0] <= celsius]
    above = [point for point in points if point[0] >= celsius]
    if below and above:
        (low_c, low), (high_c, high) = below[-1], above[0]
        share = (celsius - low_c) / (high_c - low_c) if high_c > low_c else 0.0
        return over(lambda a, b: a ** (1.0 - share) * b**share, low, high)
    near_c, near = below[-1] if below else above[0]
    return over(lambda rate, ten: rate * ten ** ((celsius - near_c) / 10.0), near, q10)


def respiration(species: str, temperature_c: float) -> Range:
    """Return the CO2 that picked mushrooms give off, in mg/(kg h).

    Parameters
    ----------
    species : str
        Key. Of one of which nothing is published: from the least to the most of button and oyster.
    temperature_c : float
        0 to 35. [degC]

    Raises
    ------
    InputError
        If the temperature is out of range.
    """
    known = _points(species, "respires_")
    q10 = published("breath", "q10")
    if known:
        return _between(known, temperature_c, q10)
    both = [_between(_points(other, "respires_"), temperature_c, q10) for other in _OTHERS]
    middle = (both[0].middle + both[1].middle) / 2.0
    return Range(min(r.low for r in both), middle, max(r.high for r in both))


def respiration_heat(species: str, temperature_c: float) -> Range:
    """Return the heat that comes with it, in W/kg; as :func:`respiration`."""
    return respiration(species, temperature_c).times(_W_KG)


def mg_of_ml(ml: float) -> float:
    """Return CO2 of so many mL, as sheets give it at 0 degC, in mg.

    Raises
    ------
    InputError
        If it is below 0.
    """
    if not ml >= 0.0:
        raise InputError("CO2", ml, "0 mL or more")
    return ml * grams_m3(0.0) / 1e3


def cooled_to(start_c: float, air_c: float, half_s: float, seconds: float) -> float:
    """Return how warm what is cooled by air still is, in degC.

    Parameters
    ----------
    start_c, air_c : float
        [degC]
    half_s : float
        Half-cooling time, above 0: learnt of each kind of crate. [s]
    seconds : float
        0 or more. [s]

    Raises
    ------
    InputError
        If a time is out of range.
    """
    if not (half_s > 0.0 and seconds >= 0.0):
        raise InputError("half-cooling time and time", (half_s, seconds), "above 0 s; 0 s or more")
    return air_c + (start_c - air_c) * exp(-log(2.0) * seconds / half_s)


def half_cooling(seconds: float, first_c: float, then_c: float, air_c: float) -> Range:
    """Return the half-cooling time of a crate by two readings of a probe in it, in s.

    Parameters
    ----------
    seconds : float
        Between them, above 0. [s]
    first_c, then_c, air_c : float
        In the crate, later, and of the air, each within 0.3 K: falling towards the air. [degC]

    Raises
    ------
    InputError
        If it did not cool clearly, or is as cold as the air.
    """
    if not seconds > 0.0:
        raise InputError("time between the readings", seconds, "above 0 s")
    least = 2.0 * _PROBE_K
    if not (first_c - then_c > least and then_c - air_c > least):
        given = (first_c, then_c, air_c)
        raise InputError("readings", given, f"each more than {least:g} K below the one before")

    def time(first: float, then: float) -> float:
        return seconds * log(2.0) / log((first - air_c) / (then - air_c))

    return over(
        time,
        Range(first_c - _PROBE_K, first_c, first_c + _PROBE_K),
        Range(then_c - _PROBE_K, then_c, then_c + _PROBE_K),
    )


def keeps(species: str, temperature_c: float) -> Range | None:
    """Return how many days picked mushrooms keep at a temperature.

    Parameters
    ----------
    species : str
        Key.
    temperature_c : float
        0 to 35. [degC]

    Returns
    -------
    Range or None
        None where nothing is published of the species. [d]

    Raises
    ------
    InputError
        If the temperature is out of range: below 0 they freeze.
    """
    known = _points(species, "keeps_")
    if not known:
        return None
    rates = [(celsius, over(lambda days: 1.0 / days, days)) for celsius, days in known]
    rate = _between(rates, temperature_c, published("picked", "spoils_q10"))
    return over(lambda per_day: 1.0 / per_day, rate)


def life_spent(
    species: str, hours: Sequence[float], temperatures_c: Sequence[float]
) -> Range | None:
    """Return the share of its life that picked mushrooms have spent, 1 when it is over.

    Parameters
    ----------
    species : str
        Key.
    hours, temperatures_c : sequence of float
        How long at which temperature, one after the other; 0 or more; 0 to 35. [h] [degC]

    Returns
    -------
    Range or None
        None where nothing is published of the species.

    Raises
    ------
    InputError
        If a number is out of its range, or they are not as many.
    """
    if len(hours) != len(temperatures_c):
        raise InputError("hours and temperatures", (len(hours), len(temperatures_c)), "as many")
    within("hours", hours, 0.0, 1e5, "h")
    lives = [keeps(species, celsius) for celsius in temperatures_c]
    if not _points(species, "keeps_"):
        return None
    days = [hour / 24.0 for hour in hours]
    ends = np.array([[life.high, life.middle, life.low] for life in lives if life is not None])
    spent = np.sum(np.array(days)[:, None] / ends, axis=0) if days else np.zeros(3)
    return Range(float(spent[0]), float(spent[1]), float(spent[2]))
