"""What was really weighed, and what sets the mix right again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pinset.science.air.ranges import Range
from pinset.science.mixing.batch import Batch, water_for
from pinset.science.mixing.blend import Portion, blended
from pinset.science.mixing.two import mass_for_moisture
from pinset.services.mixing.asked import MixAsked
from pinset.services.mixing.reading import water as read_water
from pinset.services.mixing.words import nitrogen, percent, water, weight

HALF = 0.5


@dataclass(frozen=True, slots=True)
class Correction:
    """What to do about what was really weighed."""

    sentence: str
    water_kg: float  # all the water that belongs in it; below 0: it is too wet without any
    water_in_kg: float  # already in it
    more_kg: float  # still to be added; below 0: so much is too much
    add_name: str  # of the ingredient that takes the wet up; empty
    add_kg: float
    nitrogen: Range  # of what then is in it
    nitrogen_said: str
    dry_kg: float


def correction(
    asked: MixAsked, batch: Batch, given: Mapping[str, str], system: str
) -> Correction | None:
    """Return what sets a mix right; None if nothing else was weighed than the card says.

    An ingredient of which no weight is given counts as the card says.

    Raises
    ------
    InputError
        If the water is not accepted, or nothing dry was weighed.
    """
    typed = given.get("water-in", "").strip()
    if not typed and all(row.weighed_kg is None for row in asked.rows):
        return None
    within = read_water(typed, "water-in", system) if typed else 0.0
    portions = tuple(
        portion
        if row.weighed_kg is None
        else Portion(portion.ingredient, row.weighed_kg, portion.moisture_wet)
        for portion, row in zip(batch.portions, asked.rows, strict=True)
    )
    wanted = asked.filling.at_filling
    needed = water_for(portions, wanted)
    more = needed - within
    filling = asked.filling
    if more >= -HALF * filling.water_step_kg:
        added = water(max(0.0, more), filling.water_step_kg, system)
        word = " more" if within else ""
        enough = "No water is missing" if more < HALF * filling.water_step_kg else ""
        blend = blended(portions, within + max(0.0, more))
        sentence = enough or f"Add {added}{word} of water"
        return Correction(
            f"{sentence}: then it is {percent(blend.moisture_wet, 1)} % wet, as wanted.",
            needed,
            within,
            max(0.0, more),
            "",
            0.0,
            blend.nitrogen,
            nitrogen(blend.nitrogen),
            blend.dry_kg,
        )
    return _too_wet(asked, portions, needed, within, system)


def _too_wet(
    asked: MixAsked, portions: tuple[Portion, ...], needed: float, within: float, system: str
) -> Correction:
    """Return how much of the main ingredient takes up what is too much."""
    filling, wanted = asked.filling, asked.filling.at_filling
    now = blended(portions, within)
    able = [each for each in portions if each.dry_kg and each.moisture_wet < wanted]
    sentence = (
        f"It is too wet: {percent(now.moisture_wet, 1)} % where {percent(wanted, 1)} % is wanted"
    )
    over = within - needed
    name, extra, blend = "", 0.0, now
    if able:
        main = max(able, key=lambda each: each.dry_kg)
        name = main.ingredient.name
        whole = Portion(main.ingredient, now.mass_kg, now.moisture_wet)
        extra = mass_for_moisture(whole, main.moisture_wet, wanted)
        blend = blended((*portions, Portion(main.ingredient, extra, main.moisture_wet)), within)
        sentence += f". Mix in {weight(extra, filling.step_kg, system)} more {name}"
    else:
        sentence += ", and nothing in it is dry enough to take that up. Let it drain or dry"
    too_much = water(over, filling.water_step_kg, system)
    return Correction(
        f"{sentence}; {too_much} of water is too much.",
        needed,
        within,
        -over,
        name,
        extra,
        blend.nitrogen,
        nitrogen(blend.nitrogen),
        blend.dry_kg,
    )
