"""A cold store: what it must carry away, source by source."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.checks import within

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
