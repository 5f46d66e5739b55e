"""Expansion down a route, and back from an amount wanted to the units that must be started."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pinset.chain.losses import fewest_to_start, kept_through
from pinset.chain.phases import CONTINUING, find_step
from pinset.chain.register import Parent, Route, Step
from pinset.chain.spawn_rates import planned_units_per_parent
from pinset.errors import InputError

_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Reached:
    """Units of one step on the way down. Fractions are expectations."""

    step: str
    started: float
    usable: float  # started less the mean loss of the step


@dataclass(frozen=True, slots=True)
class Needed:
    """Whole units of one step on the way back up."""

    step: str
    start: int  # units to start (or to have, for a continuing step)
    usable: int  # whole units needed of them
    parents: int  # whole parent units opened; 0 for the first step and for continuing steps


def usual_path(route: Route, to_step: str) -> tuple[Step, ...]:
    """Return the steps of the usual way to a step: always the first parent, itself left aside.

    Parameters
    ----------
    route : Route
        The route.
    to_step : str
        Code of the last step wanted.

    Returns
    -------
    tuple of Step
        First step first.

    Raises
    ------
    InputError
        If a step is unknown or its parents run in a circle.
    """
    path: list[Step] = []
    code = to_step
    while True:
        step = find_step(route, code)
        if step in path:
            raise InputError("parents", code, "steps that do not run in a circle")
        path.append(step)
        if step.kind in CONTINUING:
            position = route.steps.index(step)
            if position == 0:
                break
            code = route.steps[position - 1].code
            continue
        parent = first_parent(step)
        if parent is None:
            break
        code = parent.step
    return tuple(reversed(path))


def first_parent(step: Step) -> Parent | None:
    """Return the usual parent of a step that is not the step itself, or None."""
    return next((parent for parent in step.parents if parent.step != step.code), None)


def _factor(route: Route, step: Step) -> float:
    """Return units of a step from one unit of the step before it on the usual path."""
    parent = None if step.kind in CONTINUING else first_parent(step)
    if parent is None:
        return 1.0
    factor = planned_units_per_parent(parent, find_step(route, parent.step), step)
    if not factor > 0.0:
        raise InputError(f"{step.code} units per parent", factor, "more than 0")
    return factor


def expand(route: Route, units: float, to_step: str) -> tuple[Reached, ...]:
    """Return what a number of units of the first step becomes, step by step, in expectation.

    Parameters
    ----------
    route : Route
        The route.
    units : float
        Units started of the first step of the usual path. [units]
    to_step : str
        Code of the last step wanted.

    Returns
    -------
    tuple of Reached
        Started and usable units of every step on the path. [units]

    Raises
    ------
    InputError
        If the units are negative, a step is unknown, or a parent starts no units.
    """
    if not units >= 0.0:
        raise InputError("units", units, "0 or more")
    reached: list[Reached] = []
    for i, step in enumerate(usual_path(route, to_step)):
        started = units if i == 0 else reached[-1].usable * _factor(route, step)
        reached.append(Reached(step.code, started, started * (1.0 - step.loss.mean)))
    return tuple(reached)


def needed_back(
    route: Route, to_step: str, usable: int, service: float | None = None
) -> tuple[Needed, ...]:
    """Return the whole units to start at every step so that enough of the last are usable.

    Parameters
    ----------
    route : Route
        The route.
    to_step : str
        Code of the step wanted.
    usable : int
        Usable units of it wanted. [units]
    service : float, optional
        Chance of enough at each step by itself, such as 0.95; without it the mean loss is made
        up for and the result rounded up. [-]

    Returns
    -------
    tuple of Needed
        First step first. Parents are whole: part of a unit opens the whole unit.

    Raises
    ------
    InputError
        If a number is out of range, a step is unknown, or everything is lost on the way.
    """
    if usable < 0:
        raise InputError("units", usable, "0 or more")
    path = usual_path(route, to_step)
    found: list[Needed] = []
    wanted = usable
    for i in range(len(path) - 1, -1, -1):
        step = path[i]
        start = _to_start(wanted, 1.0 - step.loss.mean, service, step.code)
        is_made_of_parents = i > 0 and step.kind not in CONTINUING
        parents = math.ceil(start / _factor(route, step) - _TINY) if is_made_of_parents else 0
        found.append(Needed(step.code, start, wanted, parents))
        wanted = parents if is_made_of_parents else start
    return tuple(reversed(found))


def _to_start(wanted: int, kept: float, service: float | None, code: str) -> int:
    if not kept > 0.0:
        raise InputError(f"{code} loss", 1.0 - kept, "a mean loss below 1")
    if service is not None:
        return fewest_to_start(wanted, kept, service)
    return math.ceil(wanted / kept - _TINY)


def units_for_weight(grams: float, yield_g: float) -> int:
    """Return the whole units that carry a weight.

    Parameters
    ----------
    grams : float
        Weight wanted. [g]
    yield_g : float
        Yield of one unit. [g]

    Returns
    -------
    int
        Rounded up. [units]

    Raises
    ------
    InputError
        If the weight is negative or the yield not above 0.

    Examples
    --------
    >>> units_for_weight(45_000, 900)
    50
    """
    if not (grams >= 0.0 and yield_g > 0.0):
        raise InputError("weight and yield", (grams, yield_g), "0 or more, and more than 0")
    return math.ceil(grams / yield_g - _TINY)


def bags_from_plates(
    plates: float,
    jars_per_plate: float,
    grain_expansion: float,
    generations: int,
    bags_per_jar: float,
    losses: Sequence[float] = (),
) -> float:
    """Return the bags that plates lead to through generations of grain.

    Parameters
    ----------
    plates, jars_per_plate, grain_expansion, bags_per_jar : float
        Plates used, master jars from one plate, jars from one jar, bags from one jar. [units]
    generations : int
        Grain generations; 1 is master grain alone. [-]
    losses : sequence of float
        Fraction lost at every stage, in any order. [-]

    Returns
    -------
    float
        ``plates * jars_per_plate * grain_expansion**(generations - 1) * bags_per_jar`` times the
        product of one less each loss [1]_. [units]

    Raises
    ------
    InputError
        If a number is negative, there is no generation, or a loss lies outside 0 to 1.

    References
    ----------
    .. [1] Arithmetic of the trade; expansions per stage in tables/expansion.csv.

    Examples
    --------
    >>> bags_from_plates(1, 8, 10, 2, 2.5)
    200.0
    """
    for name, value in (
        ("plates", plates),
        ("jars per plate", jars_per_plate),
        ("grain expansion", grain_expansion),
        ("bags per jar", bags_per_jar),
    ):
        if not value >= 0.0:
            raise InputError(name, value, "0 or more")
    if generations < 1:
        raise InputError("grain generations", generations, "1 (master grain) or more")
    jars = plates * jars_per_plate * grain_expansion ** (generations - 1)
    return jars * bags_per_jar * kept_through(losses)
