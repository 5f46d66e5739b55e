"""How long to hold a cook: until the coldest core has earned what is asked, and may be touched.

The chamber is a plan: up to the hold, held, and down again. What the core earns after the steam is
off counts if it is asked to, since a large bag's core goes on rising then; without it the answer
is the cautious one. The same core then cools in still air until it may be opened or inoculated.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from math import ceil

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Unit
from pinset.science.heating.heating import Material, Shape, core_curve, modes_of
from pinset.science.lethality.lethality import f_of_log
from pinset.science.lethality.target import seconds_to_reach

Values = NDArray[float64]

MINUTE, HOUR = 60.0, 3600.0
STEP_S = 60.0
LONGEST_HOLD_S = 48 * HOUR
LOOKED_AT_S = (6 * HOUR, 16 * HOUR)  # holds tried before the longest
LONGEST_COOLING_S = 10 * 24 * HOUR
STILL_AIR = 10.0  # surface coefficient of a unit standing free, W/(m2 K)
NEARLY = 1e-6


@dataclass(frozen=True, slots=True)
class ChamberPlan:
    """What the chamber is meant to do; minutes from the start of heating, and after steam-off."""

    start_c: float
    hold_c: float
    come_up: tuple[tuple[float, float], ...]  # (minutes, degC); the last is at hold_c
    cool_down: tuple[tuple[float, float], ...] = ((15.0, 100.0), (60.0, 35.0))

    def __post_init__(self) -> None:
        """Refuse a chamber that is no cook."""
        minutes = [0.0, *(each for each, _ in self.come_up)]
        if not self.come_up or self.come_up[-1][1] != self.hold_c:
            raise InputError("come_up", self.come_up, "points that end at the hold's temperature")
        for name, times in (
            ("come_up", minutes),
            ("cool_down", [0.0, *(each for each, _ in self.cool_down)]),
        ):
            if any(after <= before for before, after in pairwise(times)):
                raise InputError(name, times, "minutes that rise from above 0")
        if not self.start_c < self.hold_c:
            raise InputError("hold_c", self.hold_c, f"hotter than the start, {self.start_c:g} degC")

    @property
    def come_up_s(self) -> float:
        """When the hold begins, in s."""
        return self.come_up[-1][0] * MINUTE

    def curve(self, hold_s: float, *, with_cooling: bool = True) -> tuple[Values, Values]:
        """Return the chamber every minute and at its corners: s, degC."""
        off = self.come_up_s + hold_s
        points = [(0.0, self.start_c), *((m * MINUTE, c) for m, c in self.come_up)]
        if hold_s > 0.0:
            points.append((off, self.hold_c))
        if with_cooling:
            points += [(off + m * MINUTE, c) for m, c in self.cool_down]
        corners, degrees = (np.array(each, dtype=float64) for each in zip(*points, strict=True))
        times = np.arange(0.0, corners[-1] + STEP_S / 2, STEP_S)
        if np.any(np.remainder(corners, STEP_S) > 0.0):  # even steps are quicker, uneven as exact
            times = np.union1d(times[times < corners[-1]], corners)
        return times, np.interp(times, corners, degrees)


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold that is long enough, and the core under it."""

    hold_s: float
    seconds: Values  # of the whole cook
    chamber_c: Values
    core_c: Values
    f0: float  # min, as it was asked to be counted
    f0_at_steam_off: float  # min


def hold_for(unit: Unit, chamber: ChamberPlan, f0: float, *, count_cooling: bool = True) -> Hold:
    """Return the shortest hold, in whole minutes, by which the core earns what is asked.

    Parameters
    ----------
    unit : Unit
        The one that heats slowest.
    chamber : ChamberPlan
        Up to the hold and down again.
    f0 : float
        Wanted at the core, above 0. [min]
    count_cooling : bool
        Whether what is earned after the steam is off counts.

    Raises
    ------
    InputError
        If the target is not above 0, or no hold of two days reaches it: the chamber is too cold.
    """
    if not np.isfinite(f0) or f0 <= 0.0:
        raise InputError("f0", f0, "minutes above 0")
    reached = _first_time(unit, chamber, partial(seconds_to_reach, f0))
    if reached is None:
        hours = LONGEST_HOLD_S / HOUR
        accepted = f"a temperature at which the core earns F0 {f0:g} min within {hours:.0f} h"
        raise InputError("hold_c", chamber.hold_c, accepted)
    enough = max(0, ceil((reached - chamber.come_up_s) / MINUTE - NEARLY))
    if count_cooling:
        too_short = -1
        while enough - too_short > 1:
            middle = (enough + too_short) // 2
            if under(unit, chamber, middle * MINUTE).f0 >= f0:
                enough = middle
            else:
                too_short = middle
    return under(unit, chamber, enough * MINUTE, count_cooling=count_cooling)


def hold_at(unit: Unit, chamber: ChamberPlan, core_c: float, minutes: float) -> Hold:
    """Return the shortest hold, in whole minutes, that keeps the core so hot for so long.

    Parameters
    ----------
    unit, chamber : Unit, ChamberPlan
        As :func:`hold_for`.
    core_c : float
        The core at least, below the chamber's hold. [degC]
    minutes : float
        So long before the steam is off, 0 or more. [min]

    Raises
    ------
    InputError
        If the core never comes there within two days.
    """
    if not chamber.start_c < core_c < chamber.hold_c:
        accepted = f"between the start, {chamber.start_c:g}, and the chamber, {chamber.hold_c:g}"
        raise InputError("core_c", core_c, f"{accepted} degC")
    if not 0.0 <= minutes * MINUTE <= LONGEST_HOLD_S:
        raise InputError("minutes", minutes, f"0 to {LONGEST_HOLD_S / MINUTE:.0f} min")
    reached = _first_time(unit, chamber, partial(_first_at, core_c))
    if reached is None or reached + minutes * MINUTE > chamber.come_up_s + LONGEST_HOLD_S:
        hours = LONGEST_HOLD_S / HOUR
        raise InputError("core_c", core_c, f"a temperature the core reaches within {hours:.0f} h")
    enough = max(0, ceil((reached - chamber.come_up_s) / MINUTE + minutes - NEARLY))
    return under(unit, chamber, enough * MINUTE, count_cooling=False)


def _first_time(
    unit: Unit, chamber: ChamberPlan, sought: Callable[[Values, Values], float | None]
) -> float | None:
    """Return when something is first so under a hold, in s; longer ones are tried until it is."""
    for hold_s in (*LOOKED_AT_S, LONGEST_HOLD_S):
        seconds, degrees = chamber.curve(hold_s, with_cooling=False)
        found = sought(seconds, unit.core(seconds, degrees, chamber.start_c))
        if found is not None:
            return found
    return None


def _first_at(core_c: float, seconds: Values, core: Values) -> float | None:
    there = np.flatnonzero(core >= core_c)
    if len(there) == 0:
        return None
    around = slice(there[0] - 1, there[0] + 1)
    return float(np.interp(core_c, core[around], seconds[around]))


def under(unit: Unit, chamber: ChamberPlan, hold_s: float, *, count_cooling: bool = True) -> Hold:
    """Return the core and what it earns under a hold of so many seconds."""
    if not 0.0 <= hold_s <= LONGEST_HOLD_S:
        raise InputError("hold_s", hold_s, f"0 to {LONGEST_HOLD_S:.0f} s")
    seconds, degrees = chamber.curve(hold_s)
    core = unit.core(seconds, degrees, chamber.start_c)
    is_on = seconds <= chamber.come_up_s + hold_s
    at_off = f_of_log(seconds[is_on], core[is_on])
    return Hold(
        hold_s=hold_s,
        seconds=seconds,
        chamber_c=degrees,
        core_c=core,
        f0=f_of_log(seconds, core) if count_cooling else at_off,
        f0_at_steam_off=at_off,
    )


def cooling_time(
    shape: Shape,
    material: Material,
    from_c: float,
    to_c: float,
    air_c: float,
    *,
    surface: float = STILL_AIR,
) -> float:
    """Return how long the core takes to cool in still air from one even temperature, in s.

    Parameters
    ----------
    shape, material : Shape, Material
        The unit; its own surface coefficient is replaced by that of still air.
    from_c, to_c, air_c : float
        Even temperature at first, core wanted, and air. [degC]
    surface : float
        Coefficient in still air; less for units that stand close. [W/(m2 K)]

    Raises
    ------
    InputError
        If the air is not colder than what is wanted, or that takes more than ten days.

    Notes
    -----
    No evaporation through a filter; standing close is slower.
    """
    if not air_c < to_c < from_c:
        raise InputError("to_c", to_c, f"between the air's {air_c:g} and {from_c:g} degC")
    modes = modes_of(shape, Material(material.conductivity, material.heat_capacity, surface))
    step = LONGEST_COOLING_S
    for _ in range(3):  # a coarse look first, then finer over what it takes
        seconds = np.linspace(0.0, step, 2001)
        core = core_curve(modes, seconds, np.full(2001, air_c), from_c)
        below = np.flatnonzero(core <= to_c)
        if len(below) == 0:
            raise InputError("to_c", to_c, "a temperature it reaches within ten days")
        step = float(seconds[min(below[0] + 1, 2000)])
    return float(np.interp(-to_c, -core, seconds))
