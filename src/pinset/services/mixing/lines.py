"""A batch line by line, as it is weighed out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.science.mixing.batch import LEAST_STEPS, Batch, on_scale, too_fine
from pinset.services.mixing.asked import Filling
from pinset.services.mixing.rows import Row
from pinset.services.mixing.words import money, percent, water, weight
from pinset.services.words import joined

DUST, LIFTING, LIME = "dust", "lifting", "lime"
HEAVY_KG = 25.0
"""From here on a load is shared: common practice, as the caution says."""


@dataclass(frozen=True, slots=True)
class WeighLine:
    """One ingredient as it is weighed out."""

    key: str
    name: str
    kg: float
    weight: str  # in the farm's units, as the scale shows it
    dry_share: float  # of dry mass
    share: str
    moisture_wet: float
    moisture: str  # with how it is known
    is_too_fine: bool  # for this scale
    price_per_kg: float | None
    cost: str  # empty without a price
    usual: str  # a mineral's usual share
    known: str  # where its nitrogen comes from


@dataclass(frozen=True, slots=True)
class Costing:
    """What a batch costs."""

    total: float
    each: float
    sentence: str


def weighed_batch(batch: Batch, filling: Filling) -> Batch:
    """Return a batch as the scale shows it."""
    return on_scale(batch, filling.step_kg, filling.water_step_kg)


def lines_of(
    batch: Batch,
    exact: Batch,
    rows: Sequence[Row],
    filling: Filling,
    system: str,
    currency: str,
) -> tuple[WeighLine, ...]:
    """Return the lines of a batch; ``exact`` is the same before it was rounded."""
    fine = {each.ingredient.name for each in too_fine(exact, filling.step_kg)}
    dry = batch.blend.dry_kg
    lines = []
    for portion, row in zip(batch.portions, rows, strict=True):
        price = row.price_per_kg
        lines.append(
            WeighLine(
                key=row.key,
                name=row.name,
                kg=portion.mass_kg,
                weight=weight(portion.mass_kg, filling.step_kg, system),
                dry_share=portion.dry_kg / dry,
                share=f"{percent(portion.dry_kg / dry, 1)} %",
                moisture_wet=row.moisture_wet,
                moisture=f"{percent(row.moisture_wet, 1)} %, {row.moisture_from}",
                is_too_fine=row.name in fine,
                price_per_kg=price,
                cost="" if price is None else money(price * portion.mass_kg, currency),
                usual=row.usual,
                known=row.known,
            )
        )
    return tuple(lines)


def weigh_out(lines: Sequence[WeighLine], batch: Batch, filling: Filling, system: str) -> str:
    """Return what is weighed out for all units, as a sentence."""
    parts = joined([f"{each.weight} {each.name}" for each in lines if each.kg])
    if batch.water_kg:
        added = water(batch.water_kg, filling.water_step_kg, system)
        return f"For {filling.counted}: {parts}, with {added} of water."
    return f"For {filling.counted}: {parts}, without any water."


def costing(lines: Sequence[WeighLine], filling: Filling, currency: str) -> Costing | None:
    """Return what a batch costs; None unless every ingredient in it has a price."""
    used = [each for each in lines if each.kg]
    if any(each.price_per_kg is None for each in used):
        return None
    total = sum(each.kg * (each.price_per_kg or 0.0) for each in used)
    each = total / filling.units
    said = f"{money(total, currency)} of ingredients, {money(each, currency)} each; water is free."
    return Costing(total, each, said)


def fine_words(lines: Sequence[WeighLine], filling: Filling, system: str) -> tuple[str, ...]:
    """Return what the scale cannot weigh well, as sentences."""
    step = weight(filling.step_kg, filling.step_kg, system)
    return tuple(
        f"{each.name[:1].upper()}{each.name[1:]}: {each.weight} is less than {LEAST_STEPS} steps "
        f"of a scale of {step}. Weigh it on a finer one."
        for each in lines
        if each.is_too_fine
    )


def cautions_of(keys: Sequence[str], mass_kg: float) -> tuple[str, ...]:
    """Return the cautions that stand beside a mix of these ingredients."""
    found = [DUST]
    if "hydrated-lime" in keys:
        found.append(LIME)
    if mass_kg > HEAVY_KG:
        found.append(LIFTING)
    return tuple(found)
