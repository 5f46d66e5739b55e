"""The stages a living unit can be in."""

from __future__ import annotations

from enum import StrEnum


class Stage(StrEnum):
    """What a unit is; ordered from the culture to what is sold."""

    TUBE = "tube"  # slant or other stored culture, kept cold
    PLATE = "plate"  # agar plate
    LIQUID = "liquid"  # liquid culture, taken by the millilitre
    GRAIN = "grain"  # grain spawn in a jar or bag
    SAWDUST = "sawdust"  # sawdust spawn
    BLOCK = "block"  # fruiting block or bag
    BOTTLE = "bottle"  # fruiting bottle
    BED = "bed"  # bed or tray, counted in its own units
    PREPARED = "prepared"  # filled and heat-treated, nothing living in it yet
    FRUIT = "fruit"  # a picked fruit taken for cloning; sold weight is grams, not a stage


SPAWN_STAGES = frozenset({Stage.PLATE, Stage.LIQUID, Stage.GRAIN, Stage.SAWDUST})
"""Stages whose units inoculate others."""

FRUITING_STAGES = frozenset({Stage.BLOCK, Stage.BOTTLE, Stage.BED})
"""Stages whose units carry mushrooms."""


_WORDS = {
    Stage.TUBE: ("tube", "tubes"),
    Stage.PLATE: ("plate", "plates"),
    Stage.LIQUID: ("liquid culture", "liquid cultures"),
    Stage.GRAIN: ("grain jar", "grain jars"),
    Stage.SAWDUST: ("sawdust spawn bag", "sawdust spawn bags"),
    Stage.BLOCK: ("block", "blocks"),
    Stage.BOTTLE: ("bottle", "bottles"),
    Stage.BED: ("bed", "beds"),
    Stage.PREPARED: ("prepared vessel", "prepared vessels"),
    Stage.FRUIT: ("fruit", "fruits"),
}


def units_in_words(stage: Stage, count: int) -> str:
    """Return the count with the noun a grower says: ``24 grain jars``."""
    singular, plural = _WORDS[stage]
    return f"{count} {singular if count == 1 else plural}"
