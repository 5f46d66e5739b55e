"""Food from what it consists of: conductivity, density and heat capacity of mixtures without air.

Each of six fractions has a polynomial of the temperature; heat capacities add by mass, volumes by
mass over density, conductivities by volume (heat runs beside, not across, the fractions: the most
such a mixture can conduct).

Source: Y. Choi & M. R. Okos, 1986; coefficients with their places in `heat_materials.csv`. Some
transcriptions in circulation have a wrong heat capacity of water; this one is within 0.2 % of IAPWS
from 20 to 120 degC.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import cache
from typing import overload

import numpy as np

from pinset.errors import InputError
from pinset.science.checks import Many, Values, plain, within
from pinset.tables.heat_materials import amount

COLDEST_C, HOTTEST_C = 0.0, 150.0
KILO = 1000.0
ALL = 1e-3  # how near the fractions must add up to 1


@dataclass(frozen=True, slots=True)
class Composition:
    """Mass fractions of wet mass; they add up to 1."""

    water: float
    protein: float = 0.0
    fat: float = 0.0
    carbohydrate: float = 0.0
    fibre: float = 0.0
    ash: float = 0.0

    def __post_init__(self) -> None:
        for name, share in self.shares().items():
            within(name, share, 0.0, 1.0, "of wet mass")
        total = sum(self.shares().values())
        if abs(total - 1.0) > ALL:
            raise InputError("composition", round(total, 4), "fractions that add up to 1")

    def shares(self) -> dict[str, float]:
        """Return each fraction by its name."""
        return {each.name: getattr(self, each.name) for each in fields(self)}


@cache
def _coefficients(name: str, quantity: str) -> tuple[float, ...]:
    return tuple(amount(f"fraction.{name}", f"{quantity}_{n}") for n in range(3))


def _fraction(quantity: str, name: str, temperature_c: float | Many) -> Values:
    if name not in Composition.__slots__:
        raise InputError("name", name, f"one of {', '.join(Composition.__slots__)}")
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    a, b, c = _coefficients(name, quantity)
    return a + b * celsius + c * celsius**2


@overload
def fraction_conductivity(name: str, temperature_c: float) -> float: ...
@overload
def fraction_conductivity(name: str, temperature_c: Many) -> Values: ...
def fraction_conductivity(name: str, temperature_c: float | Many) -> float | Values:
    """Return the conductivity of one fraction.

    Parameters
    ----------
    name : str
        A field of :class:`Composition`.
    temperature_c : float or array_like
        0 to 150. [degC]

    Returns
    -------
    float or ndarray
        [W/(m K)]

    Raises
    ------
    InputError
        If there is no such fraction, or a temperature is missing or out of range.

    Examples
    --------
    >>> round(fraction_conductivity("water", 100.0), 4)
    0.6803
    """
    return plain(_fraction("conductivity", name, temperature_c))


@overload
def fraction_density(name: str, temperature_c: float) -> float: ...
@overload
def fraction_density(name: str, temperature_c: Many) -> Values: ...
def fraction_density(name: str, temperature_c: float | Many) -> float | Values:
    """Return the density of one fraction, as :func:`fraction_conductivity`, in kg/m3."""
    return plain(_fraction("density", name, temperature_c))


@overload
def fraction_heat_capacity(name: str, temperature_c: float) -> float: ...
@overload
def fraction_heat_capacity(name: str, temperature_c: Many) -> Values: ...
def fraction_heat_capacity(name: str, temperature_c: float | Many) -> float | Values:
    """Return the heat capacity of one fraction, as :func:`fraction_conductivity`, in J/(kg K)."""
    return plain(np.asarray(KILO * _fraction("heat_capacity", name, temperature_c)))


def _sum(
    composition: Composition, temperature_c: float | Many, of: Callable[[str, Values], Values]
) -> Values:
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    total = np.zeros(celsius.shape)
    for name, share in composition.shares().items():
        total = total + share * of(name, celsius)
    return total


@overload
def mixture_density(composition: Composition, temperature_c: float) -> float: ...
@overload
def mixture_density(composition: Composition, temperature_c: Many) -> Values: ...
def mixture_density(composition: Composition, temperature_c: float | Many) -> float | Values:
    """Return the density of a mixture without air.

    Parameters
    ----------
    composition : Composition
        Mass fractions.
    temperature_c : float or array_like
        0 to 150. [degC]

    Returns
    -------
    float or ndarray
        [kg/m3]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.
    """
    volume = _sum(composition, temperature_c, lambda name, t: 1.0 / _fraction("density", name, t))
    return plain(np.asarray(1.0 / volume))


@overload
def mixture_heat_capacity(composition: Composition, temperature_c: float) -> float: ...
@overload
def mixture_heat_capacity(composition: Composition, temperature_c: Many) -> Values: ...
def mixture_heat_capacity(composition: Composition, temperature_c: float | Many) -> float | Values:
    """Return the heat capacity of a mixture by mass, as :func:`mixture_density`, in J/(kg K)."""
    total = _sum(composition, temperature_c, lambda name, t: _fraction("heat_capacity", name, t))
    return plain(np.asarray(KILO * total))


@overload
def mixture_conductivity(composition: Composition, temperature_c: float) -> float: ...
@overload
def mixture_conductivity(composition: Composition, temperature_c: Many) -> Values: ...
def mixture_conductivity(composition: Composition, temperature_c: float | Many) -> float | Values:
    """Return the conductivity of a mixture by volume, as :func:`mixture_density`, in W/(m K)."""
    total = _sum(
        composition,
        temperature_c,
        lambda name, t: _fraction("conductivity", name, t) / _fraction("density", name, t),
    )
    return plain(np.asarray(total * mixture_density(composition, temperature_c)))
