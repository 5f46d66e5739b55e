"""What a room's air costs: heat, cold, fans and water, by day and by kilogram."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.errors import InputError
from pinset.science.air.grow_room import Hours
from pinset.science.air.ranges import Range
from pinset.science.checks import Values, within

_J_KWH = 3.6e6
_KG_M3 = 998.0


@dataclass(frozen=True, slots=True)
class Prices:
    """In the farm's money."""

    heat_kwh: float
    power_kwh: float
    water_m3: float


@dataclass(frozen=True, slots=True)
class Plant:
    """How well what is bought becomes what is needed."""

    heating_efficiency: float  # heat in the room over heat bought
    cooling_cop: float  # heat carried away over power
    fan_pa: float  # with loaded filters
    fan_efficiency: float  # of fan and motor
    mist_taken_up: float  # share of the water that does not run off

    def __post_init__(self) -> None:
        """Refuse what no plant does."""
        shares = [self.heating_efficiency, self.fan_efficiency, self.mist_taken_up]
        if min(shares) <= 0.0 or self.cooling_cop <= 0.0 or self.fan_pa < 0.0:
            given = (*shares, self.cooling_cop, self.fan_pa)
            raise InputError("plant", given, "shares and COP above 0, pressure 0 or more")


def cost(hours: Hours, plant: Plant, prices: Prices) -> Values:
    """Return what each hour costs.

    Parameters
    ----------
    hours : Hours
        As needed; each an hour long.
    plant : Plant
        As it stands.
    prices : Prices
        0 or more.

    Returns
    -------
    ndarray
        Of shape (3, rooms, hours). [money]

    Raises
    ------
    InputError
        If a price is below 0.
    """
    within("prices", [prices.heat_kwh, prices.power_kwh, prices.water_m3], 0.0, 1e6, "")
    heat = hours.heating_w / plant.heating_efficiency
    power = hours.cooling_w / plant.cooling_cop
    power = power + hours.fresh_m3_s * plant.fan_pa / plant.fan_efficiency
    water = hours.mist_kg_s / plant.mist_taken_up / _KG_M3
    bought = heat * prices.heat_kwh + power * prices.power_kwh
    return np.asarray(3600.0 * (bought / _J_KWH + water * prices.water_m3))


def cost_a_day(costs: Values, room: int) -> Range:
    """Return the mean cost of a day of a room, by what its hours cost.

    Raises
    ------
    InputError
        If there is no such room.
    """
    if not 0 <= room < costs.shape[1]:
        raise InputError("room", room, f"0 to {costs.shape[1] - 1}")
    low, middle, high = (24.0 * float(case) for case in np.mean(costs[:, room, :], axis=-1))
    return Range(min(low, middle, high), middle, max(low, middle, high))


def cost_a_kg(day: Range, picked_kg_day: float) -> Range:
    """Return the cost of the air of a kilogram picked.

    Raises
    ------
    InputError
        If nothing is picked.
    """
    if not picked_kg_day > 0.0:
        raise InputError("picked", picked_kg_day, "above 0 kg a day")
    return day.times(1.0 / picked_kg_day)
