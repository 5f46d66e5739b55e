"""What a lot is looked at as: a plate, a jar of grain, a block, what fruits in a room."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.register import FarmBook, StepKind
from pinset.chain.stages import Stage
from pinset.tables.signs import Medium, places_in, signs_of

_OF_STAGE = {
    Stage.TUBE: Medium.PLATE,
    Stage.PLATE: Medium.PLATE,
    Stage.LIQUID: Medium.LIQUID,
    Stage.GRAIN: Medium.GRAIN,
    Stage.SAWDUST: Medium.SAWDUST,
    Stage.BLOCK: Medium.BLOCK,
    Stage.BOTTLE: Medium.BLOCK,
    Stage.BED: Medium.BLOCK,
    Stage.FRUIT: Medium.ROOM,
}


def medium_of_stage(stage: Stage) -> Medium:
    """Return what units of a stage are looked at as while they grow."""
    return _OF_STAGE.get(stage, Medium.BLOCK)


def medium_of(stage: str, step: str, book: FarmBook) -> Medium:
    """Return what units are looked at as.

    Parameters
    ----------
    stage : str
        Of the lot; prepared vessels count as what they are prepared for, and what is only announced
        as a block.
    step : str
        Code of the step it is in now.
    book : FarmBook
        The farm, as it stands.
    """
    steps = [each for route in book.routes for each in route.steps if each.code == step]
    if any(each.kind is StepKind.FRUIT for each in steps):
        return Medium.ROOM
    if stage == Stage.PREPARED.value and steps:
        return _OF_STAGE.get(steps[0].stage, Medium.BLOCK)
    return _OF_STAGE.get(Stage(stage), Medium.BLOCK) if stage else Medium.BLOCK


@dataclass(frozen=True, slots=True)
class Showing:
    """What can be seen on units, by keys."""

    is_in_room: bool  # they fruit in a grow room
    signs: frozenset[str]
    places: frozenset[str]


def showing(stage: str, step: str, book: FarmBook) -> Showing:
    """Return what can be seen on units; arguments as of :func:`medium_of`."""
    medium = medium_of(stage, step, book)
    return Showing(
        medium is Medium.ROOM,
        frozenset(each.key for each in signs_of(medium)),
        frozenset(each.key for each in places_in(medium)),
    )
