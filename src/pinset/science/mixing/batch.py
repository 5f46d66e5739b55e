"""How much of each ingredient, and of water, goes into so many units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isclose

from pinset.errors import InputError
from pinset.science.mixing.blend import Blend, Portion, blended
from pinset.science.mixing.ingredients import Ingredient, checked_moisture

SUM_WITHIN = 1e-6
LEAST_STEPS = 20
"""A weight of fewer steps of the scale is out by more than 2.5 percent; our own choice."""


@dataclass(frozen=True, slots=True)
class Part:
    """An ingredient with its share of the dry mass, and today's moisture."""

    ingredient: Ingredient
    dry_share: float
    moisture_wet: float


@dataclass(frozen=True, slots=True)
class Batch:
    """What is weighed out for so many units."""

    portions: tuple[Portion, ...]
    water_kg: float
    blend: Blend


def batch_for(
    parts: Sequence[Part], mass_kg: float, moisture_wet: float, *, steam_gain: float = 0.0
) -> Batch:
    """Return what goes into a batch.

    Parameters
    ----------
    parts : sequence of Part
        Shares of dry mass that add up to 1.
    mass_kg : float
        Of the whole batch when it is filled: units times their fill weight. [kg]
    moisture_wet : float
        Wanted, after cooking.
    steam_gain : float
        By how much cooking raises the moisture: 0.01 to 0.04 in a steriliser that is not drained
        (common practice, no source). It is left out of the water.

    Raises
    ------
    InputError
        If shares do not add up to 1, or the ingredients are wetter by themselves than wanted.
    """
    total = sum(each.dry_share for each in parts)
    if not isclose(total, 1.0, abs_tol=SUM_WITHIN):
        raise InputError("shares of dry mass", total, "shares that add up to 1")
    if any(each.dry_share < 0.0 for each in parts):
        raise InputError("share", min(each.dry_share for each in parts), "0 to 1 of dry mass")
    if not 0.0 < mass_kg < float("inf"):
        raise InputError("mass of the batch", mass_kg, "above 0 kg")
    if not 0.0 <= steam_gain <= 0.1:  # noqa: PLR2004
        raise InputError("gain of moisture in the cook", steam_gain, "0 to 0.1")
    at_filling = checked_moisture("the mix", moisture_wet) - steam_gain
    dry = mass_kg * (1.0 - at_filling)
    portions = tuple(
        Portion(
            each.ingredient,
            dry
            * each.dry_share
            / (1.0 - checked_moisture(each.ingredient.name, each.moisture_wet)),
            each.moisture_wet,
        )
        for each in parts
    )
    water = mass_kg - sum(each.mass_kg for each in portions)
    if water < -1e-9 * mass_kg:
        alone = 1.0 - dry / sum(each.mass_kg for each in portions)
        raise InputError(
            "moisture wanted",
            at_filling,
            f"{alone:.3f} or more: so wet are the ingredients without any water",
            "Let the wettest dry, or take less of it.",
        )
    water = max(0.0, water)
    return Batch(portions, water, blended(portions, water))


def on_scale(batch: Batch, step_kg: float, water_step_kg: float | None = None) -> Batch:
    """Return a batch in weights that a scale can show, with what is then in it.

    Parameters
    ----------
    batch : Batch
        As reckoned.
    step_kg : float
        Smallest step of the scale. [kg]
    water_step_kg : float, optional
        Smallest step of water; that of the scale if None. [kg]

    Raises
    ------
    InputError
        If a step is not above 0.
    """
    steps = (step_kg, step_kg if water_step_kg is None else water_step_kg)
    if not min(steps) > 0.0:
        raise InputError("step of the scale", min(steps), "above 0 kg")
    portions = tuple(
        Portion(each.ingredient, _rounded(each.mass_kg, steps[0]), each.moisture_wet)
        for each in batch.portions
    )
    water = _rounded(batch.water_kg, steps[1])
    return Batch(portions, water, blended(portions, water))


def _rounded(mass_kg: float, step_kg: float) -> float:
    return round(round(mass_kg / step_kg) * step_kg, 9)


def too_fine(batch: Batch, step_kg: float) -> tuple[Portion, ...]:
    """Return the portions that a scale of such a step cannot weigh well."""
    return tuple(each for each in batch.portions if 0.0 < each.mass_kg < LEAST_STEPS * step_kg)


def water_for(portions: Sequence[Portion], moisture_wet: float) -> float:
    """Return the water that brings what was really weighed to a moisture; below 0: it is too wet.

    Raises
    ------
    InputError
        If nothing dry is there or the moisture is none.

    Examples
    --------
    Ten kilograms of straw at 10 percent to 70 percent:

    >>> from pinset.science.air.ranges import Range
    >>> straw = Ingredient("straw", 0.455, Range.exactly(0.004), 0.07, 0.1)
    >>> round(water_for([Portion(straw, 10.0, 0.1)], 0.7), 6)
    20.0
    """
    dry = sum(each.dry_kg for each in portions)
    if not dry > 0.0:
        raise InputError("ingredients", len(portions), "some dry matter among them")
    wanted = dry / (1.0 - checked_moisture("the mix", moisture_wet))
    return wanted - sum(each.mass_kg for each in portions)
