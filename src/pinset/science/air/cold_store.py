"""A cold store: what it must carry away, source by source, and the plant that does it."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from pinset.errors import InputError
from pinset.science.air.moist import MoistAir
from pinset.science.air.picked import SEVEN_EIGHTHS, respiration_heat
from pinset.science.air.ranges import Range, over, published
from pinset.science.checks import within

DAY_S = 86_400.0
_MOST_KG = 1e7


def heat_of_cooling(
    mass_kg: float, heat_capacity: float, from_c: float, to_c: float, latent: float = 0.0
) -> float:
    """Return the heat that comes out of what is cooled, in J.

    Parameters
    ----------
    mass_kg : float
        0 or more. [kg]
    heat_capacity : float
        Above 0. [J/(kg K)]
    from_c, to_c : float
        The second not above the first. [degC]
    latent : float
        Of freezing, where it freezes. [J/kg]

    Raises
    ------
    InputError
        If a number is out of its range, or it is not to become colder.
    """
    within("mass", mass_kg, 0.0, _MOST_KG, "kg")
    if not (heat_capacity > 0.0 and latent >= 0.0):
        raise InputError("heat capacity", (heat_capacity, latent), "above 0 J/(kg K)")
    if not to_c <= from_c:
        raise InputError("end temperature", to_c, f"at most {from_c:g} degC: it is cooled")
    return mass_kg * (heat_capacity * (from_c - to_c) + latent)


def averaged(power_w: float, hours_a_day: float) -> float:
    """Return what burns for some hours of a day, over the whole day, in W.

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("power", power_w, 0.0, 1e7, "W")
    within("hours a day", hours_a_day, 0.0, 24.0, "h")
    return power_w * hours_a_day / 24.0


@dataclass(frozen=True, slots=True)
class Store:
    """A cold store as it stands."""

    inside: MoistAir
    outside: MoistAir  # around it, and what comes in at the door
    walls_w_k: float  # walls and ceiling: U times area [W/K]
    floor_w_k: float = 0.0  # [W/K]
    ground_c: float = 10.0
    volume_m3: float = 0.0
    air_changes_day: float = 0.0
    others_w: float = 0.0  # lights, fans, people, defrosting, over the day


@dataclass(frozen=True, slots=True)
class Picked:
    """What is brought into a store and held there."""

    species: str
    brought_kg_day: float
    picked_c: float  # when it is brought
    held_kg: float
    half_cooling_s: float = 3.0 * 3600.0


@dataclass(frozen=True, slots=True)
class StoreLoad:
    """What a store must carry away, over a day, in W."""

    product: Range
    respiration: Range
    walls: float
    floor: float
    air: float
    others: float

    @property
    def total(self) -> Range:
        """All of it."""
        steady = self.walls + self.floor + self.air + self.others
        return self.product.plus(self.respiration).plus(Range.exactly(steady))

    @property
    def plant(self) -> Range:
        """The cooling power to install: with a margin, and hours in which it does not run."""
        margin, runs = published("store", "margin"), published("store", "runs")
        return over(lambda total, m, hours: total * m * 24.0 / hours, self.total, margin, runs)


def mushroom_heat_capacity() -> Range:
    """Return the heat capacity of fresh mushrooms, in J/(kg K)."""
    return published("mushroom", "heat_capacity").times(1e3)


def store_load(store: Store, picked: Picked) -> StoreLoad:
    """Return what a store must carry away over a day.

    Raises
    ------
    InputError
        If a number is out of its range, or the store is warmer than what is brought or around it.
    """
    _check(store, picked)
    inside, outside = store.inside, store.outside
    held = respiration_heat(picked.species, inside.temperature_c).times(picked.held_kg)
    while_cooling_c = (picked.picked_c + inside.temperature_c) / 2.0
    cooling_kg = picked.brought_kg_day * SEVEN_EIGHTHS * picked.half_cooling_s / DAY_S
    fresh = respiration_heat(picked.species, while_cooling_c).times(cooling_kg)
    flow = store.volume_m3 * store.air_changes_day / DAY_S
    warmer = outside.temperature_c - inside.temperature_c
    return StoreLoad(
        product=over(
            lambda capacity: (
                heat_of_cooling(
                    picked.brought_kg_day, capacity, picked.picked_c, inside.temperature_c
                )
                / DAY_S
            ),
            mushroom_heat_capacity(),
        ),
        respiration=held.plus(fresh),
        walls=store.walls_w_k * warmer,
        floor=store.floor_w_k * (store.ground_c - inside.temperature_c),
        air=inside.dry_air(flow) * (outside.enthalpy - inside.enthalpy),
        others=store.others_w,
    )


def _check(store: Store, picked: Picked) -> None:
    flows = [store.walls_w_k, store.floor_w_k, store.volume_m3, store.air_changes_day]
    within("walls, floor, volume, air changes", flows, 0.0, 1e6, "")
    within("other heat", store.others_w, 0.0, 1e7, "W")
    within("mushrooms", [picked.brought_kg_day, picked.held_kg], 0.0, _MOST_KG, "kg")
    within("half-cooling time", picked.half_cooling_s, 1.0, 1e6, "s")
    inside = store.inside.temperature_c
    if not (store.outside.temperature_c >= inside and store.ground_c >= inside):
        given = (store.outside.temperature_c, store.ground_c)
        raise InputError("temperatures around the store", given, f"at least its {inside:g} degC")


def early_load(mass_kg: float, half_cooling_s: float, picked_c: float, air_c: float) -> Range:
    """Return the heat that comes out of what was just brought: the evaporator meets this, in W.

    Raises
    ------
    InputError
        If a number is out of its range, or it is colder than the air already.
    """
    if not half_cooling_s > 0.0:
        raise InputError("half-cooling time", half_cooling_s, "above 0 s")
    return over(
        lambda capacity: (
            log(2.0) / half_cooling_s * heat_of_cooling(mass_kg, capacity, picked_c, air_c)
        ),
        mushroom_heat_capacity(),
    )
