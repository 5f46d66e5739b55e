"""What loads are made of: wood by its moisture, weighed bags, and measured bounds.

Moisture is a fraction: `moisture_wet` of the wet mass, `moisture_dry` of the dry mass. 0.6 wet is
1.5 dry; mixing them up is the usual slip.

The heat a bag holds is known to a few per cent once it is weighed. How well it conducts is not:
only measured ranges exist, so a conductivity comes as a :class:`Band` or has to be fitted to a log.
Values with their sources: `heat_materials.csv`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import overload

import numpy as np

from pinset.errors import InputError
from pinset.science.checks import Many, Values, plain, within
from pinset.science.heating.fractions import KILO
from pinset.science.steam.steam import KELVIN
from pinset.tables.heat_materials import amount, material

MEGA = 1e6
PERCENT = 100.0
COLDEST_C, HOTTEST_C = 0.0, 150.0
WETTEST = 0.97  # of wet mass; what is wetter is soup
LEAST_GRAVITY, MOST_GRAVITY = 0.3, 1.5
MOST_MOISTURE_OF_SOLID = 0.25  # dry basis


@dataclass(frozen=True, slots=True)
class Band:
    """A value that is only known to lie between two."""

    low: float
    likely: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a fitted value lies in it."""
        return self.low <= value <= self.high


class Group(StrEnum):
    """Groups of loads with measured ranges."""

    SAWDUST = "sawdust"  # with soil-compost, beef manure and turkey litter
    SILAGE = "silage"
    STRAW = "straw"  # of wheat, oat and soybean; cornstalks, hay, wood shavings


def dry_basis(moisture_wet: float) -> float:
    """Return the water per dry mass of a water per wet mass, 0 to 0.97.

    Examples
    --------
    >>> round(dry_basis(0.6), 3)
    1.5
    """
    within("moisture_wet", moisture_wet, 0.0, WETTEST, "of wet mass")
    return moisture_wet / (1.0 - moisture_wet)


def wet_basis(moisture_dry: float) -> float:
    """Return the water per wet mass of a water per dry mass."""
    within("moisture_dry", moisture_dry, 0.0, dry_basis(WETTEST), "of dry mass")
    return moisture_dry / (1.0 + moisture_dry)


@overload
def wood_heat_capacity(moisture_dry: float, temperature_c: float) -> float: ...
@overload
def wood_heat_capacity(moisture_dry: float, temperature_c: Many) -> Values: ...
def wood_heat_capacity(moisture_dry: float, temperature_c: float | Many) -> float | Values:
    """Return the heat capacity of moist wood, per wet mass.

    Parameters
    ----------
    moisture_dry : float
        Water per dry mass, 0 to 32. [1]
    temperature_c : float or array_like
        0 to 150; the formula is for 7 to 147 (memory). [degC]

    Returns
    -------
    float or ndarray
        [J/(kg K)]

    Raises
    ------
    InputError
        If moisture or a temperature is missing or out of range.

    Notes
    -----
    Up to fibre saturation (0.3) the handbook's term for water bound in the wall is added; above it
    water and dry wood are mixed without that term. So there is a fall at 0.3. If the wall kept the
    term it has at saturation, wood at 1.5 would hold 6 % more at 60 degC and 11 % more at 100 degC
    than said here, and heat that much more slowly.

    Examples
    --------
    >>> round(wood_heat_capacity(0.12, 66.85))
    1915
    """
    moisture = float(within("moisture_dry", moisture_dry, 0.0, dry_basis(WETTEST), "of dry mass"))
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    kelvin = celsius + KELVIN
    dry = amount("wood", "heat_capacity_0") + amount("wood", "heat_capacity_1") * kelvin
    capacity = (dry + amount("wood", "water_heat_capacity") * moisture) / (1.0 + moisture)
    if moisture <= amount("wood", "fibre_saturation"):
        percent = PERCENT * moisture
        capacity = capacity + percent * (
            amount("wood", "bond_1") * kelvin
            - amount("wood", "bond_0")
            - amount("wood", "bond_2") * percent
        )
    return plain(np.asarray(KILO * capacity))


def wood_conductivity(specific_gravity: float, moisture_dry: float) -> float:
    """Return the conductivity of solid wood across the grain; no word on loose sawdust.

    Parameters
    ----------
    specific_gravity : float
        Dry mass over volume as it is, over the density of water, 0.3 to 1.5. [1]
    moisture_dry : float
        Water per dry mass, 0 to 0.25. [1]

    Returns
    -------
    float
        At 24 degC. [W/(m K)]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    within("specific_gravity", specific_gravity, LEAST_GRAVITY, MOST_GRAVITY, "")
    within("moisture_dry", moisture_dry, 0.0, MOST_MOISTURE_OF_SOLID, "of dry mass")
    per_gravity = amount("wood", "conductivity_1")
    per_gravity += amount("wood", "conductivity_2") * PERCENT * moisture_dry
    return specific_gravity * per_gravity + amount("wood", "conductivity_0")


def bulk_density(mass_kg: float, volume: float) -> float:
    """Return the density of a weighed bag, in kg/m3."""
    for name, given in (("mass_kg", mass_kg), ("volume", volume)):
        if not np.isfinite(given) or given <= 0.0:
            raise InputError(name, given, "a number above 0")
    return mass_kg / volume


def free_share(mass_kg: float, volume: float, moisture_wet: float) -> float:
    """Return the share of a bag of wood that is air.

    Parameters
    ----------
    mass_kg, volume : float
        Of the filled part. [kg], [m3]
    moisture_wet : float
        Water per wet mass, 0 to 0.97.

    Raises
    ------
    InputError
        If a value is missing or out of range, or so much does not fit into the volume.
    """
    density = bulk_density(mass_kg, volume)
    within("moisture_wet", moisture_wet, 0.0, WETTEST, "of wet mass")
    filled = density * (moisture_wet / KILO + (1.0 - moisture_wet) / amount("wood", "wall_density"))
    if filled > 1.0:
        most = f"{volume * density / filled:.3g} kg or less in {volume:.3g} m3 at that moisture"
        raise InputError("mass_kg", mass_kg, most)
    return 1.0 - filled


def bag_heat_capacity(
    mass_kg: float, volume: float, moisture_wet: float, temperature_c: float = 60.0
) -> float:
    """Return the heat capacity of the volume of a weighed bag of sawdust, chips or straw.

    Parameters
    ----------
    mass_kg, volume : float
        Of the filled part. [kg], [m3]
    moisture_wet : float
        Water per wet mass, 0 to 0.97. [1]
    temperature_c : float
        In the middle of what it goes through. [degC]

    Returns
    -------
    float
        By mixing dry wood and water; the air in it counts for nothing. [J/(m3 K)]

    Raises
    ------
    InputError
        If a value is missing or out of range, or so much does not fit into the volume.

    Examples
    --------
    >>> round(bag_heat_capacity(2.3, 0.0035343, 0.6) / 1e6, 2)
    1.99
    """
    free_share(mass_kg, volume, moisture_wet)
    by_mass = wood_heat_capacity(dry_basis(moisture_wet), temperature_c)
    return bulk_density(mass_kg, volume) * by_mass


def measured_conductivity(group: Group) -> Band:
    """Return the measured range of a group of loads; bounds for a fit; in W/(m K)."""
    return _band(f"measured.{group.value}", "conductivity", 1.0)


def measured_heat_capacity(group: Group) -> Band:
    """Return the measured range of a group of loads; bounds for a fit; in J/(m3 K)."""
    return _band(f"measured.{group.value}", "heat_capacity", MEGA)


def _band(key: str, name: str, factor: float) -> Band:
    row = material(key, name)
    low, high = (row.value if edge is None else edge for edge in (row.low, row.high))
    return Band(factor * low, factor * row.value, factor * high)
