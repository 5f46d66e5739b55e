"""How much of a second ingredient brings a first one to a moisture or to a C:N."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.mixing.blend import Portion
from pinset.science.mixing.ingredients import Ingredient, checked_moisture


def mass_for_moisture(first: Portion, second_moisture_wet: float, wanted_wet: float) -> float:
    """Return the mass of a second ingredient that brings a blend to a moisture.

    Raises
    ------
    InputError
        If the wanted moisture does not lie between the two.

    Notes
    -----
    Q2 = Q1 (G - M1) / (M2 - G) [1]_.

    References
    ----------
    .. [1] Trautmann and Krasny 1997, Composting in the Classroom, chapter 3.
    """
    one, two = first.moisture_wet, checked_moisture("the second", second_moisture_wet)
    if not min(one, two) < wanted_wet < max(one, two):
        accepted = f"between {min(one, two):g} and {max(one, two):g}, the two moistures"
        raise InputError("moisture wanted", wanted_wet, accepted)
    return first.mass_kg * (wanted_wet - one) / (two - wanted_wet)


def mass_for_ratio(
    first: Portion, second: Ingredient, second_moisture_wet: float, wanted_ratio: float
) -> float:
    """Return the mass of a second ingredient that brings a blend to a C:N, at middle nitrogens.

    Raises
    ------
    InputError
        If the wanted ratio does not lie between the two.

    Notes
    -----
    Carbon and nitrogen of both are summed up and divided once [1]_.

    References
    ----------
    .. [1] Trautmann and Krasny 1997, Composting in the Classroom, chapter 3.
    """
    checked_moisture(second.name, second_moisture_wet)
    lack = wanted_ratio * first.ingredient.nitrogen.middle - first.ingredient.carbon
    gain = second.carbon - wanted_ratio * second.nitrogen.middle
    if not (wanted_ratio > 0.0 and gain and lack / gain > 0.0):
        raise InputError("C:N wanted", wanted_ratio, "between the ratios of the two")
    return first.dry_kg * lack / gain / (1.0 - second_moisture_wet)
