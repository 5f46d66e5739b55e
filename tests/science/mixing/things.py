"""Ingredients for tests, with the values of the check table they belong to."""

from __future__ import annotations

from pinset.science.air.ranges import Range
from pinset.science.mixing.ingredients import Ingredient


def made(name: str, carbon: float, nitrogen: float, **more: object) -> Ingredient:
    """Return an ingredient whose nitrogen is known; moisture 0 and ash 0 unless given."""
    given: dict[str, object] = {"ash": 0.0, "moisture_wet": 0.0, **more}
    return Ingredient(name, carbon, Range.exactly(nitrogen), **given)  # type: ignore[arg-type]


GRASS = made("grass", 0.45, 0.024, moisture_wet=0.77)
LEAVES = made("leaves", 0.50, 0.0075, moisture_wet=0.35)
MANURE = made("layer manure", 0.60, 0.06, moisture_wet=0.70)  # C:N 10
SHAVINGS = made("sawdust", 0.55, 0.0011, moisture_wet=0.35)  # C:N 500
SAWDUST = Ingredient(
    "beech sawdust", 0.495, Range(0.0006, 0.0011, 0.0024), 0.006, 0.39, bulk_kg_m3=243
)
BRAN = Ingredient(
    "wheat bran", 0.45, Range(0.023, 0.0275, 0.031), 0.056, 0.125, 220, is_supplement=True
)
GYPSUM = made("gypsum", 0.0, 0.0, ash=1.0, bulk_kg_m3=1000)
