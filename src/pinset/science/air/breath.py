"""What substrate and mushrooms breathe out, by what hangs in a room, how old and how warm it is.

The weakest numbers of all: no measured rate of a block on wood could be read. Each is a range, and
one evening with the vents shut (`vents_shut`) replaces it by the room's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pinset.errors import InputError
from pinset.science.air.gas import HEAT_J_G
from pinset.science.air.ranges import Range, over, published
from pinset.science.checks import within


class Breather(StrEnum):
    """Whose breath something is known of."""

    OYSTER = "oyster"
    SHIITAKE = "shiitake"
    AGARICUS = "agaricus"
    UNKNOWN = "unknown"  # from the least of shiitake to the most of oyster


class Stage(StrEnum):
    """What a block does."""

    SPAWN_RUN = "spawn_run"
    FRUITING = "fruiting"  # and ripening


_BREATHERS = {
    "pleurotus-ostreatus": Breather.OYSTER,
    "pleurotus-pulmonarius": Breather.OYSTER,
    "pleurotus-citrinopileatus": Breather.OYSTER,
    "pleurotus-djamor": Breather.OYSTER,
    "lentinula-edodes": Breather.SHIITAKE,
    "agaricus-bisporus": Breather.AGARICUS,
}
_KNOWN_AT_C = {
    (Breather.AGARICUS, Stage.SPAWN_RUN): 25.0,
    (Breather.AGARICUS, Stage.FRUITING): 16.0,
}
_USUAL_C = {Stage.SPAWN_RUN: 21.0, Stage.FRUITING: 18.0}
_MUSHROOMS_C = 15.0
_PEAK_AT = 0.425  # of the run: the middle of days 5 to 12 of 20
_END_OVER_MEAN = 0.8  # fruiting over spawn run of oyster
_COLDEST_C, _HOTTEST_C = 0.0, 35.0  # beyond, the law of ten kelvins says nothing
_MOST_KG = 1e6


def breather_of(species: str) -> Breather:
    """Return whose breath is taken for a species: its own, or the wide range of the unknown."""
    return _BREATHERS.get(species, Breather.UNKNOWN)


def _warmth(temperature_c: float, known_c: float, q10: float) -> float:
    return float(q10 ** ((temperature_c - known_c) / 10.0))


def _at(rate: Range, temperature_c: float, known_c: float) -> Range:
    within("temperature", temperature_c, _COLDEST_C, _HOTTEST_C, "degC")
    return over(
        lambda grams, q10: grams * _warmth(temperature_c, known_c, q10),
        rate,
        published("breath", "q10"),
    )


def run_shape(age_days: float, run_days: float) -> Range:
    """Return how hard a spawn run breathes at an age, over the mean of the run.

    Parameters
    ----------
    age_days : float
        Since it was spawned, 0 to ``run_days``. [d]
    run_days : float
        Above 0. [d]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    From nothing up to a peak at 0.425 of the run and down to 0.8; the peak is 1 to 2 times the
    mean, 1.54 if the mean is to be 1. Our own estimate of a shape that growers describe.
    """
    if not (run_days > 0.0 and 0.0 <= age_days <= run_days):
        raise InputError("age", age_days, f"0 to the {run_days:g} days of the run")
    share = age_days / run_days

    def at(peak: float) -> float:
        if share <= _PEAK_AT:
            return peak * share / _PEAK_AT
        return peak - (peak - _END_OVER_MEAN) * (share - _PEAK_AT) / (1.0 - _PEAK_AT)

    return over(at, published("breath", "peak"))


@dataclass(frozen=True, slots=True)
class Hanging:
    """Some of what is in a room."""

    breather: Breather
    stage: Stage
    substrate_kg: float  # wet
    age_days: float | None = None  # of a spawn run; None: its mean
    run_days: float | None = None


def substrate_breath(what: Hanging, temperature_c: float) -> Range:
    """Return the CO2 that substrate gives off.

    Parameters
    ----------
    what : Hanging
        Weight 0 to 1 000 000 kg.
    temperature_c : float
        Of the substrate, 0 to 35. [degC]

    Returns
    -------
    Range
        [g/h]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("substrate", what.substrate_kg, 0.0, _MOST_KG, "kg")
    known_c = _KNOWN_AT_C.get((what.breather, what.stage), _USUAL_C[what.stage])
    rate = _at(published(f"breath.{what.breather}", what.stage), temperature_c, known_c)
    if what.stage is Stage.SPAWN_RUN and what.age_days is not None and what.run_days is not None:
        rate = over(lambda mean, shape: mean * shape, rate, run_shape(what.age_days, what.run_days))
    return rate.times(what.substrate_kg)


def mushroom_breath(growing_kg: float, temperature_c: float) -> Range:
    """Return the CO2 that mushrooms give off while they grow, in g/h.

    Parameters
    ----------
    growing_kg : float
        On the blocks now, 0 to 1 000 000. [kg]
    temperature_c : float
        0 to 35. [degC]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("growing mushrooms", growing_kg, 0.0, _MOST_KG, "kg")
    return _at(published("breath.mushrooms", "growing"), temperature_c, _MUSHROOMS_C).times(
        growing_kg
    )


def room_breath(hanging: Sequence[Hanging], growing_kg: float, temperature_c: float) -> Range:
    """Return the CO2 of all that is in a room, in g/h; errors as of its parts.

    All may be low together, or high: what is wrong with our numbers is wrong with all of them.
    """
    total = mushroom_breath(growing_kg, temperature_c)
    for what in hanging:
        total = total.plus(substrate_breath(what, temperature_c))
    return total


def heat_of_breath(grams_h: Range) -> Range:
    """Return the heat that comes with so much CO2, in W."""
    return grams_h.times(HEAT_J_G / 3600.0)
