"""What fills a bag, a jar or a bottle: how it conducts without vapour, how much heat it takes.

The heat is known once a unit is weighed and its moisture known. The conductivity is a value from
`heat_materials.csv`, flagged there by how little it is known; a fit to a log replaces it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import pi

from pinset.errors import InputError
from pinset.science.checks import within
from pinset.science.heating.fractions import (
    mixture_conductivity,
    mixture_density,
    mixture_heat_capacity,
)
from pinset.science.heating.grain import agar, bed_conductivity, kernel, void_of_grain
from pinset.science.heating.heating import Cylinder, Shape
from pinset.science.heating.materials import bag_heat_capacity, bulk_density
from pinset.tables.heat_materials import amount, material

LEAST_KG, MOST_KG = 0.001, 500.0
DRIEST, WETTEST = 0.0, 0.97
WETTEST_LIQUID = 0.99  # agar and broth; below some 10 g dissolved in a kilogram it is water
LIGHTEST = 0.4  # of the lightest that is usual: a slipped digit
TOO_DENSE = 1.05  # of what it consists of; a scale or a tape reads a little off
TALLER = 4.0 / 3.0  # than wide, of a unit nobody has measured
FULL = 0.05  # share of air left in a bottle of agar


class Filling(StrEnum):
    """What is in a unit."""

    SAWDUST = "sawdust"
    STRAW = "straw"
    GRAIN = "grain"  # boiled
    AGAR = "agar"  # and other liquids


@dataclass(frozen=True, slots=True)
class Fill:
    """What a unit is full of, as heat sees it."""

    conductivity: float  # without what vapour carries [W/(m K)]
    low: float  # between these it may be ...
    high: float
    heat_capacity: float  # of a volume [J/(m3 K)]
    surface: float  # coefficient of its vessel in steam [W/(m2 K)]
    has_vapour: bool  # air between grains through which vapour carries heat
    basis: str  # where the conductivity comes from, in words


def wettest(filling: Filling) -> float:
    """Return the most water per wet mass that is believed: liquids hold more than solids."""
    return WETTEST_LIQUID if filling is Filling.AGAR else WETTEST


def usual_size(filling: Filling, mass_kg: float, moisture_wet: float) -> Cylinder:
    """Return a cylinder a third taller than wide that holds so much at a common density.

    A guess to begin with: thickness decides how long a cook takes, so a grower measures the unit.

    Raises
    ------
    InputError
        If mass or moisture is out of range.
    """
    within("mass_kg", mass_kg, LEAST_KG, MOST_KG, "kg")
    if filling is Filling.AGAR:
        density = float(mixture_density(agar(1.0 - moisture_wet), 25.0))
    else:
        density = amount(f"load.{filling.value}", "density")
    diameter = (mass_kg / density * 4.0 / (pi * TALLER)) ** (1.0 / 3.0)
    return Cylinder(diameter / 2.0, TALLER * diameter)


def packed(filling: Filling, mass_kg: float, shape: Shape) -> float | None:
    """Return how dense a unit is beside the lightest that is usual; None: it has one density.

    Below 1 it is light: weight or size may be wrong, and what is too light is reckoned to heat too
    soon.
    """
    if filling is Filling.AGAR:
        return None
    row = material(f"load.{filling.value}", "density")
    usual = row.value if row.low is None else row.low
    return bulk_density(mass_kg, shape.volume) / usual


def fill_of(
    filling: Filling, shape: Shape, mass_kg: float, moisture_wet: float, temperature_c: float = 70.0
) -> Fill:
    """Return what a weighed unit is to heat.

    Parameters
    ----------
    filling : Filling
        What is in it.
    shape : Shape
        Of the filled part. [m]
    mass_kg : float
        Of the filling of one unit, 0.001 to 500. [kg]
    moisture_wet : float
        Water per wet mass, 0 to 0.97, of agar and other liquids to 0.99. [1]
    temperature_c : float
        In the middle of what it goes through, 0 to 130. [degC]

    Raises
    ------
    InputError
        If a value is out of range, or so much does not fit into the volume.

    Examples
    --------
    >>> from pinset.science.heating.heating import Cylinder
    >>> bag = fill_of(Filling.SAWDUST, Cylinder(0.075, 0.2), 2.3, 0.6, 60.0)
    >>> bag.conductivity, round(bag.heat_capacity / 1e6, 2)
    (0.3, 1.99)
    """
    within("mass_kg", mass_kg, LEAST_KG, MOST_KG, "kg")
    within("moisture_wet", moisture_wet, DRIEST, wettest(filling), "of wet mass")
    within("temperature_c", temperature_c, 0.0, 130.0, "degC")
    density = bulk_density(mass_kg, shape.volume)
    share = packed(filling, mass_kg, shape)
    if share is not None and share < LIGHTEST:
        least = LIGHTEST * mass_kg / share
        accepted = f"{least:.3g} kg or more in that size; so light it is hardly full"
        raise InputError("mass_kg", mass_kg, accepted, "Weigh a unit and measure its filled part.")
    surface = amount(f"load.{filling.value}", "surface")
    if filling is Filling.GRAIN:
        return _grain(density, moisture_wet, temperature_c, surface)
    if filling is Filling.AGAR:
        return _agar(density, moisture_wet, temperature_c, surface)
    row = material(f"load.{filling.value}", "conductivity")
    return Fill(
        conductivity=row.value,
        low=row.value if row.low is None else row.low,
        high=row.value if row.high is None else row.high,
        heat_capacity=bag_heat_capacity(mass_kg, shape.volume, moisture_wet, temperature_c),
        surface=surface,
        has_vapour=True,
        basis=f"{row.basis}; {row.note}",
    )


def _grain(density: float, moisture_wet: float, temperature_c: float, surface: float) -> Fill:
    kernels = kernel(moisture_wet)
    void = void_of_grain(density, kernels)
    band = bed_conductivity(kernels, void, temperature_c)
    return Fill(
        conductivity=band.likely,
        low=band.low,
        high=band.high,
        heat_capacity=density * mixture_heat_capacity(kernels, temperature_c),
        surface=surface,
        has_vapour=True,
        basis="boiled kernels with still air between them, from what they consist of",
    )


def _agar(density: float, moisture_wet: float, temperature_c: float, surface: float) -> Fill:
    liquid = agar(1.0 - moisture_wet)
    own = mixture_density(liquid, 25.0)
    if density > own * TOO_DENSE or density < own * (1.0 - FULL):
        least, most = own * (1.0 - FULL), own * TOO_DENSE
        raise InputError(
            "mass_kg",
            f"{density:.0f} kg/m3",
            f"{least:.0f} to {most:.0f} kg/m3: weight and size of the liquid, not of its bottle",
        )
    conductivity = mixture_conductivity(liquid, temperature_c)
    return Fill(
        conductivity=conductivity,
        low=conductivity,
        high=conductivity,
        heat_capacity=density * mixture_heat_capacity(liquid, temperature_c),
        surface=surface,
        has_vapour=False,
        basis="as if it stood still; a liquid turns over and heats faster than this",
    )
