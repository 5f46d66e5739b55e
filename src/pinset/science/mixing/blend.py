"""What is in a blend of weighed ingredients and water.

Carbon and nitrogen are summed up and divided once: ratios are never averaged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.ranges import Range, Swing
from pinset.science.mixing.ingredients import Ingredient, checked_moisture


@dataclass(frozen=True, slots=True)
class Portion:
    """So much of an ingredient, as it lies there, with today's moisture.

    Raises
    ------
    InputError
        If the mass is below 0 or the moisture none.
    """

    ingredient: Ingredient
    mass_kg: float  # as it is
    moisture_wet: float  # today's, of its whole mass

    def __post_init__(self) -> None:
        """Refuse what cannot be."""
        if not 0.0 <= self.mass_kg < float("inf"):
            raise InputError(f"mass of {self.ingredient.name}", self.mass_kg, "0 kg or more")
        checked_moisture(self.ingredient.name, self.moisture_wet)

    @property
    def dry_kg(self) -> float:
        """Its dry mass, in kg."""
        return self.mass_kg * (1.0 - self.moisture_wet)


@dataclass(frozen=True, slots=True)
class Blend:
    """What is in a blend."""

    mass_kg: float
    dry_kg: float
    moisture_wet: float
    nitrogen: Range  # of dry mass
    carbon_to_nitrogen: Range | None  # None: no nitrogen at all at the low end
    ash: float  # of dry mass
    supplement: float  # of dry mass
    volume_m3: float | None  # poured loosely, at most; None: of one the bulk is not known
    doubts: tuple[Swing, ...]  # whose nitrogen moves that of the blend, the most first


def blended(portions: Sequence[Portion], water_kg: float = 0.0) -> Blend:
    """Return what is in a blend.

    Parameters
    ----------
    portions : sequence of Portion
        All of it but the water that is added.
    water_kg : float
        Added, 0 or more. [kg]

    Raises
    ------
    InputError
        If there is no dry matter in it, or water is below 0.

    Notes
    -----
    moisture = water / mass; N = sum(d n) / sum(d); C:N = sum(d c) / sum(d n), d the dry masses. The
    volume is the sum of loose volumes, as if nothing filled the gaps of anything else: a mix takes
    up less.
    """
    if not 0.0 <= water_kg < float("inf"):
        raise InputError("water", water_kg, "0 kg or more")
    dry = sum(each.dry_kg for each in portions)
    if not dry > 0.0:
        raise InputError("ingredients", len(portions), "some dry matter among them")
    mass = sum(each.mass_kg for each in portions) + water_kg
    carbon = sum(each.dry_kg * each.ingredient.carbon for each in portions)
    low, middle, high = (
        sum(each.dry_kg * end for each, end in zip(portions, ends, strict=True))
        for ends in zip(*(each.ingredient.nitrogen.ends for each in portions), strict=True)
    )
    nitrogen = Range(low / dry, middle / dry, high / dry)
    return Blend(
        mass_kg=mass,
        dry_kg=dry,
        moisture_wet=1.0 - dry / mass,
        nitrogen=nitrogen,
        carbon_to_nitrogen=Range(carbon / high, carbon / middle, carbon / low) if low > 0 else None,
        ash=sum(each.dry_kg * each.ingredient.ash for each in portions) / dry,
        supplement=sum(each.dry_kg for each in portions if each.ingredient.is_supplement) / dry,
        volume_m3=_volume(portions),
        doubts=_doubts(portions, nitrogen, dry),
    )


def _volume(portions: Sequence[Portion]) -> float | None:
    total = 0.0
    for each in portions:
        if each.mass_kg and each.ingredient.bulk_kg_m3 is None:
            return None
        if each.ingredient.bulk_kg_m3 is not None:
            total += each.mass_kg / each.ingredient.bulk_kg_m3
    return total


def _doubts(portions: Sequence[Portion], nitrogen: Range, dry: float) -> tuple[Swing, ...]:
    found = []
    for each in portions:
        own = each.ingredient.nitrogen
        if each.dry_kg and not own.is_known:
            share = each.dry_kg / dry
            answer = Range(
                nitrogen.middle - share * (own.middle - own.low),
                nitrogen.middle,
                nitrogen.middle + share * (own.high - own.middle),
            )
            found.append(Swing(each.ingredient.name, answer))
    return tuple(sorted(found, key=lambda swing: -swing.width))
