"""Grain in a jar: what its kernels consist of, the air between them, and how such a bed conducts.

Grain as it is stored has measured properties, up to a quarter of water; boiled grain is at nearly
half, so it is reckoned from the fractions of :mod:`~pinset.science.heating.fractions` and the air
between the kernels. Agar is the same sum without air. Values with their sources:
`heat_materials.csv`.
"""

from __future__ import annotations

from enum import StrEnum

from pinset.errors import InputError
from pinset.science.checks import within
from pinset.science.heating.fractions import (
    KILO,
    Composition,
    mixture_conductivity,
    mixture_density,
)
from pinset.science.heating.headspace import air_conductivity
from pinset.science.heating.materials import PERCENT, WETTEST, Band
from pinset.tables.heat_materials import amount

MOST_DISSOLVED = 0.3
MOST_VOID = 0.9


class DryGrain(StrEnum):
    """Kinds of grain with measured properties, dry enough to store."""

    WHEAT = "wheat"
    MAIZE = "maize"
    SORGHUM = "sorghum"


def dry_grain(kind: DryGrain, moisture_wet: float) -> tuple[float, float]:
    """Return conductivity and heat capacity of grain in bulk as it is stored, not boiled.

    Parameters
    ----------
    kind : DryGrain
        Which.
    moisture_wet : float
        Water per wet mass, 0 to 0.25. [1]

    Returns
    -------
    (float, float)
        [W/(m K)], per mass [J/(kg K)]

    Raises
    ------
    InputError
        If moisture is missing or beyond what was measured.
    """
    key = f"dry-grain.{kind.value}"
    within("moisture_wet", moisture_wet, 0.0, amount(key, "wettest"), "of wet mass")
    conductivity, capacity = (
        amount(key, f"{name}_0") + amount(key, f"{name}_1") * PERCENT * moisture_wet
        for name in ("conductivity", "heat_capacity")
    )
    return conductivity, KILO * capacity


def kernel(moisture_wet: float) -> Composition:
    """Return what boiled kernels of a cereal consist of, by their water per wet mass."""
    moisture = float(within("moisture_wet", moisture_wet, 0.0, WETTEST, "of wet mass"))
    names = ("protein", "carbohydrate", "fibre", "ash")
    dry = {name: amount("boiled-grain", name) for name in names}
    scale = (1.0 - moisture) / sum(dry.values())
    return Composition(moisture, **{name: scale * share for name, share in dry.items()})


def agar(dissolved: float) -> Composition:
    """Return what agar consists of: water, and agar with malt or sugar as carbohydrate.

    Parameters
    ----------
    dissolved : float
        Share of all that is dissolved, 0 to 0.3; 0.02 for 20 g in a kilogram.
    """
    share = float(within("dissolved", dissolved, 0.0, MOST_DISSOLVED, "of the mass"))
    return Composition(1.0 - share, carbohydrate=share)


def void_of_grain(bulk: float, composition: Composition, temperature_c: float = 25.0) -> float:
    """Return the share of air between kernels by the weighed density of the jar's content.

    Parameters
    ----------
    bulk : float
        Mass over the volume it fills. [kg/m3]
    composition : Composition
        Of the kernels.
    temperature_c : float
        When it was weighed. [degC]

    Raises
    ------
    InputError
        If it is not above 0, or denser than the kernels themselves.
    """
    solid = mixture_density(composition, temperature_c)
    if not 0.0 < bulk <= solid:
        raise InputError("bulk", bulk, f"above 0, to {solid:.0f} kg/m3, the kernels' own")
    return 1.0 - bulk / solid


def bed_conductivity(composition: Composition, void: float, temperature_c: float) -> Band:
    """Return the conductivity of wet kernels with still air between them.

    Parameters
    ----------
    composition : Composition
        Of the kernels.
    void : float
        Share of air in the bed, 0 to 0.9.
    temperature_c : float
        0 to 130. [degC]

    Returns
    -------
    Band
        The bounds hold for any bed that is the same in all directions (Z. Hashin & S. Shtrikman,
        1962; memory): kernels that hardly touch, and kernels grown together. Likely is the
        geometric mean by volume (W. Woodside & J. H. Messmer, 1961; memory). Vapour in the air is
        left out; see :mod:`~pinset.science.heating.vapour`. [W/(m K)]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    share = float(within("void", void, 0.0, MOST_VOID, "of the bed"))
    solid = mixture_conductivity(composition, temperature_c)
    air = air_conductivity(temperature_c)
    return Band(
        low=_spheres(air, solid, 1.0 - share),
        likely=solid ** (1.0 - share) * air**share,
        high=_spheres(solid, air, share),
    )


def _spheres(around: float, inside: float, share: float) -> float:
    """Return Maxwell's conductivity of spheres of one stuff, apart, in another."""
    gain = share * (inside - around)
    both = inside + 2.0 * around
    return around * (both + 2.0 * gain) / (both - gain)
