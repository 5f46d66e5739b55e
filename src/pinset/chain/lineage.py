"""What a new lot takes over from its parents: grain generation, plate transfers, a culture's state.

Two counters grow old together with a culture. ``transfers`` counts moves from agar to new agar
since the mother: plate to plate, plate to tube, tube to tube. Waking a stored tube onto a plate
does not count: that is what the tube is for. ``generation`` counts grain: master grain is 1, grain
started from it 2. Everything made from grain carries its generation on.

A fruit put back onto a plate (a clone) starts a new culture with both counters at 0, and that is
not cleared for use until its test plate and a first fruiting say so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pinset.chain.phases import find_step
from pinset.chain.register import Parent, RateBasis, Route, Step
from pinset.chain.spawn_rates import spawn_grams
from pinset.chain.stages import Stage
from pinset.errors import Finding, InputError, Severity

_AGAR = frozenset({Stage.TUBE, Stage.PLATE})
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Ancestor:
    """What is asked of a parent lot."""

    stage: Stage
    generation: int = 0
    transfers: int = 0


@dataclass(frozen=True, slots=True)
class Counters:
    """What a new lot carries."""

    generation: int
    transfers: int
    cleared: bool = True  # False for a clone: not offered until it is cleared


def child_counters(stage: Stage, parents: Sequence[Ancestor]) -> Counters:
    """Return the counters of a lot made from parents.

    Parameters
    ----------
    stage : Stage
        Stage of the new lot.
    parents : sequence of Ancestor
        Its parent lots; none for bought units or a culture newly received. The oldest counts.

    Returns
    -------
    Counters
        Generation 1 for grain without parents (bought spawn of unknown age counts as master
        unless its maker says otherwise), 0 for anything else without parents.

    Raises
    ------
    InputError
        If a counter is negative, a parent has nothing living in it, or a fruit is to become
        anything but a plate or tube.
    """
    for parent in parents:
        if parent.generation < 0 or parent.transfers < 0:
            raise InputError("generation and transfers", parent, "0 or more")
        if parent.stage is Stage.PREPARED:
            raise InputError("parent", parent.stage.value, "a lot with something living in it")
    if any(parent.stage is Stage.FRUIT for parent in parents):
        if stage not in _AGAR:
            raise InputError("stage of a clone", stage.value, "plate or tube")
        return Counters(generation=0, transfers=0, cleared=False)
    generation = max((parent.generation for parent in parents), default=0)
    if stage is Stage.GRAIN:
        generation += 1
    transfers = max(
        (moved_on(stage, parent.stage, parent.transfers) for parent in parents), default=0
    )
    return Counters(generation, transfers)


def moved_on(stage: Stage | None, parent: Stage | None, transfers: int) -> int:
    """Return the transfers since the mother of what is made of a parent that had so many.

    Parameters
    ----------
    stage, parent : Stage
        Of the new lot, and of what it is made of; None where it is not known (yet).
    transfers : int
        Of the parent.

    Returns
    -------
    int
        One more from agar to new agar; as many where a stored tube is woken on a plate, or culture
        goes into anything but agar.
    """
    is_waking_a_tube = parent is Stage.TUBE and stage is Stage.PLATE
    counts = stage in _AGAR and not is_waking_a_tube
    return transfers + (1 if counts else 0)


def limit_findings(
    route: Route, stage: Stage, counters: Counters, record: str
) -> tuple[Finding, ...]:
    """Return what is to be said of a lot's generation and transfers against its route's limits.

    Parameters
    ----------
    route : Route
        Its limits: `generation_limit` and `transfer_limit`.
    stage : Stage
        Stage of the lot.
    counters : Counters
        Of the lot.
    record : str
        The lot, as findings name it.

    Returns
    -------
    tuple of Finding
        A warning beyond a limit; a note at the last that is allowed, for stages that could go
        on; a warning for a culture that is not cleared.
    """
    found: list[Finding] = []
    if counters.generation > route.generation_limit:
        found.append(
            Finding(
                "lineage.generation",
                Severity.WARNING,
                record,
                f"grain generation {counters.generation}; the route allows "
                f"{route.generation_limit}.",
                "Go back to a plate and start master grain.",
            )
        )
    elif stage is Stage.GRAIN and counters.generation == route.generation_limit:
        found.append(
            Finding(
                "lineage.generation-last",
                Severity.NOTE,
                record,
                f"grain generation {counters.generation} is the last the route allows.",
                "Use it for sawdust or blocks, not for more grain.",
            )
        )
    if counters.transfers > route.transfer_limit:
        found.append(
            Finding(
                "lineage.transfers",
                Severity.WARNING,
                record,
                f"{counters.transfers} transfers since the mother; the route allows "
                f"{route.transfer_limit}.",
                "Go back to a stored tube.",
            )
        )
    elif stage in _AGAR and counters.transfers == route.transfer_limit > 0:
        found.append(
            Finding(
                "lineage.transfers-last",
                Severity.NOTE,
                record,
                f"{counters.transfers} transfers since the mother are the most the route allows.",
                "Use it for grain, not for more plates.",
            )
        )
    if not counters.cleared:
        found.append(
            Finding(
                "lineage.clone",
                Severity.WARNING,
                record,
                "a clone that is not cleared.",
                "Wait for its test plate and a first fruiting; a gene test if it came from "
                "the wild.",
            )
        )
    return tuple(found)


def may_start(route: Route, stage: Stage, parents: Sequence[Ancestor]) -> bool:
    """Return whether a lot made of these parents would stay within the route's limits."""
    counters = child_counters(stage, parents)
    return (
        counters.generation <= route.generation_limit and counters.transfers <= route.transfer_limit
    )


class PartMeasure(StrEnum):
    """In what a part taken of a vessel is counted; the words of the ledger's measures."""

    UNIT = "unit"  # pieces of a slant or plate
    GRAM = "gram"  # of a bag or jar
    MILLILITRE = "millilitre"  # of liquid


@dataclass(frozen=True, slots=True)
class PartTaken:
    """What starting some units takes from parent vessels."""

    vessels: int  # whole vessels opened
    amount: int  # of all opened vessels together, in `measure`, rounded up
    measure: PartMeasure
    left: int  # in the last vessel opened, in `measure`; 0: nothing


def part_taken(route: Route, parent: Parent, step: Step, units: int, *, left: int = 0) -> PartTaken:
    """Return what starting units of a step takes from one of its parent steps.

    Parameters
    ----------
    route : Route
        The route both belong to.
    parent : Parent
        The link, one of ``step.parents``.
    step : Step
        What is started.
    units : int
        How many units. [units]
    left : int
        What an already opened vessel still holds; it is used first and not counted among the
        vessels opened. [measure]

    Returns
    -------
    PartTaken
        Pieces of agar, grams of spawn (by the spawn rate where there is one), or millilitres of
        liquid (the fill of a liquid vessel is in mL).

    Raises
    ------
    InputError
        If a number is negative, a parent starts no units, or its fill is missing.
    """
    if units < 0 or left < 0:
        raise InputError("units and rest", (units, left), "0 or more")
    source = find_step(route, parent.step)
    measure, holds, each = _holding(source, parent, step)
    amount = math.ceil(units * each - _TINY)
    beyond = max(0, amount - left)
    vessels = math.ceil(beyond / holds - _TINY)
    rest = math.floor(left + vessels * holds - amount + _TINY)
    return PartTaken(vessels, amount, measure, rest)


def _holding(source: Step, parent: Parent, step: Step) -> tuple[PartMeasure, float, float]:
    """Return the measure, what one parent vessel holds, and what one child takes."""
    if not parent.units_per_parent > 0.0:
        raise InputError(f"{step.code} units per parent", parent.units_per_parent, "more than 0")
    if source.stage in _AGAR:
        return PartMeasure.UNIT, parent.units_per_parent, 1.0
    if source.fill_g <= 0:
        raise InputError(f"{source.code} fill", source.fill_g, "a weight above 0 (mL for liquid)")
    if source.stage is Stage.LIQUID:
        each = source.fill_g / parent.units_per_parent
        return PartMeasure.MILLILITRE, float(source.fill_g), each
    if parent.spawn_rate is None:
        return PartMeasure.GRAM, float(source.fill_g), source.fill_g / parent.units_per_parent
    each = spawn_grams(
        step.fill_g,
        parent.spawn_rate,
        parent.spawn_rate_basis or RateBasis.WET_ON_WET,
        spawn_moisture=source.fill_moisture,
        substrate_moisture=step.fill_moisture,
    )
    return PartMeasure.GRAM, float(source.fill_g), each
