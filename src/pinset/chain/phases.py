"""How the steps of a route follow one another on the same units, and where its units go.

A block is made in one step (spawn run), may stand through a second (ripening) and is picked in a
third (fruiting): three phases of the same units. A jar of grain is one phase and is then used up
by the steps that name it as a parent.
"""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import Route, Step, StepKind
from pinset.chain.spreads import DaysAhead, days_through
from pinset.errors import InputError

CONTINUING = frozenset({StepKind.STAND, StepKind.FRUIT})
"""Kinds of step in which the same units go on."""


def _position(route: Route, code: str) -> int:
    for i, step in enumerate(route.steps):
        if step.code == code:
            return i
    accepted = ", ".join(step.code for step in route.steps)
    raise InputError("step", code, f"a step of route {route.code}: {accepted}")


def find_step(route: Route, code: str) -> Step:
    """Return the step of that code.

    Raises
    ------
    InputError
        If the route has no such step; the message names those it has.
    """
    return route.steps[_position(route, code)]


def next_phase(route: Route, code: str) -> Step | None:
    """Return the step into which the same units go on, or None if there is none.

    Raises
    ------
    InputError
        If the route has no such step.
    """
    following = _position(route, code) + 1
    if following < len(route.steps) and route.steps[following].kind in CONTINUING:
        return route.steps[following]
    return None


def began_on(route: Route, code: str, made_on: date, today: date) -> date:
    """Return the day on which a step on the same units began, where nobody says it.

    Parameters
    ----------
    route : Route
        The route of the units.
    code : str
        The step they are in.
    made_on : date
        The day on which the units were made.
    today : date
        No step begins later.

    Returns
    -------
    date
        ``made_on`` for the step in which they are made; else as many days later as the steps
        before it take at the mean.

    Raises
    ------
    InputError
        If the route has no such step.
    """
    position, days = _position(route, code), 0.0
    while position > 0 and route.steps[position].kind in CONTINUING:
        position -= 1
        days += route.steps[position].days.mean
    return min(today, made_on + timedelta(days=round(days)))


def phases(route: Route, code: str) -> tuple[Step, ...]:
    """Return a step and all that follow on the same units, in order.

    Raises
    ------
    InputError
        If the route has no such step.
    """
    found = [route.steps[_position(route, code)]]
    while (following := next_phase(route, found[-1].code)) is not None:
        found.append(following)
    return tuple(found)


def made_in(route: Route, code: str) -> Step:
    """Return the step in which the units of a step were made (itself, unless they go on in it).

    Raises
    ------
    InputError
        If the route has no such step.
    """
    i = _position(route, code)
    while i > 0 and route.steps[i].kind in CONTINUING:
        i -= 1
    return route.steps[i]


def children(route: Route, code: str) -> tuple[Step, ...]:
    """Return the steps that can be started from units of a step, in the order of the route."""
    return tuple(
        step for step in route.steps if any(parent.step == code for parent in step.parents)
    )


def days_to_end(route: Route, code: str) -> DaysAhead:
    """Return the days from the start of a step to the readiness of the last phase of its units.

    For a block this is from spawning to the first pick, ripening included.

    Parameters
    ----------
    route : Route
        The route.
    code : str
        Code of the step that begins.

    Returns
    -------
    DaysAhead
        [d]

    Raises
    ------
    InputError
        If the route has no such step.
    """
    return days_through([step.days for step in phases(route, code)])
