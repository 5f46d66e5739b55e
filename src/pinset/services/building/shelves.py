"""Which shelf of a room is carried to; where too few places are free, a reason is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import floor

from pinset.chain.living import LivingLot
from pinset.chain.register import Room, RoomKind
from pinset.errors import RefusedError
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.words import plural

_TINY = 1e-9


def shelves_to(task: Task, room: Room | None, taken: Sequence[Taken]) -> list[tuple[Taken, str]]:
    """Return what is carried to which shelf: the emptiest first, the rest to the next.

    What fits on one shelf stays together. What begins its next step in the room where it stands
    keeps its shelf. What finds no place at all is put on the emptiest.

    Raises
    ------
    RefusedError
        If the room has no shelf; if it has fewer free places than are carried there and no reason
        is given.
    """
    shelves = list(room.shelves) if room else []
    if room is None or not shelves:
        raise RefusedError(f"Room {task.job.to_room} has no shelf to move to.")
    free = {shelf.code: float(shelf.holds) for shelf in shelves}
    per_unit: dict[tuple[str, str], float] = {}
    for part in living(task.day):
        per_unit[part.code, part.place] = _places_of(part, task)
        if part.place in free:
            free[part.place] -= part.alive * part.now_step().places
    each_takes = [
        0.0 if each.place in free else per_unit.get((each.lot, each.place), 1.0) for each in taken
    ]
    if not task.job.to_step or room.kind is RoomKind.GROWING:
        wanted = sum(each.quantity * places for each, places in zip(taken, each_takes, strict=True))
        _ask_about_places(task, room, wanted, sum(free.values()))
    carried: list[tuple[Taken, str]] = []
    for each, places in zip(taken, each_takes, strict=True):
        if task.job.to_step and each.place in free:
            carried.append((each, each.place))
        else:
            carried += _over_shelves(each, places, free)
    return carried


def _over_shelves(taken: Taken, places: float, free: dict[str, float]) -> list[tuple[Taken, str]]:
    """Return one amount parted over shelves; their free places are taken off ``free``."""
    found: dict[str, int] = {}
    left = taken.quantity
    for code in sorted(free, key=lambda each: -free[each]):
        fits = left if places <= 0 else floor(max(0.0, free[code]) / places + _TINY)
        units = min(left, fits)
        if units:
            found[code] = units
            left -= units
    if left:
        emptiest = max(free, key=lambda each: free[each])
        found[emptiest] = found.get(emptiest, 0) + left
    for code, units in found.items():
        free[code] -= units * places
    return [(replace(taken, quantity=units), code) for code, units in found.items()]


def _places_of(part: LivingLot, task: Task) -> float:
    """Return the places a unit takes once it is moved: as the step that then begins says, if any.

    What is moved in from now on goes by the route in force.
    """
    variety = task.reader.varieties.get(part.variety)
    route = task.reader.routes.get(variety.route) if variety else None
    steps = route.steps if route else part.route.steps
    begins = next((step for step in steps if step.code == task.job.to_step), None)
    return (begins or part.now_step()).places


def _ask_about_places(task: Task, room: Room, wanted: float, free: float) -> None:
    if wanted <= max(0.0, free) + _TINY:
        return
    left = max(0, int(free + _TINY))
    said = plural(left, "place") if left else "no place"
    settle(
        task,
        [f"{room.name} has {said} left, and what is carried takes {wanted:.4g}."],
        "Make room first and write down what was cleared, or say how many were carried; if they "
        "stand there all the same, give a reason.",
    )
