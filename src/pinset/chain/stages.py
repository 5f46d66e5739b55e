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


def noun_of(stage: Stage, count: int, *, is_bought: bool = False) -> str:
    """Return the noun a grower says for that many units: ``grain jars``.

    Bought spawn comes in bags, whatever grew it.
    """
    if is_bought and stage in {Stage.GRAIN, Stage.SAWDUST}:
        singular, plural = "spawn bag", "spawn bags"
    else:
        singular, plural = _WORDS[stage]
    return singular if count == 1 else plural


def units_in_words(stage: Stage, count: int, *, is_bought: bool = False) -> str:
    """Return the count with its noun: ``24 grain jars``."""
    return f"{count} {noun_of(stage, count, is_bought=is_bought)}"
