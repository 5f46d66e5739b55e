"""Which shelf of a room is carried to; where too few places are free, a reason is asked for."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.chain.living import LivingLot
from pinset.chain.register import Room, RoomKind
from pinset.errors import RefusedError
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.words import plural

_TINY = 1e-9


def shelves_to(task: Task, room: Room | None, taken: Sequence[Taken]) -> list[str]:
    """Return the shelf each amount is carried to: the emptiest, and the next once that is full.

    What begins its next step in the room where it stands keeps its shelf.

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
    wanted = [
        0.0 if each.place in free else each.quantity * per_unit.get((each.lot, each.place), 1.0)
        for each in taken
    ]
    if not task.job.to_step or room.kind is RoomKind.GROWING:
        _ask_about_places(task, room, sum(wanted), sum(free.values()))
    target = max(free, key=lambda code: free[code])
    targets = []
    for each, places in zip(taken, wanted, strict=True):
        if not task.job.to_step and free[target] + _TINY < places:
            target = max(free, key=lambda code: free[code])
        free[target] -= places
        targets.append(each.place if task.job.to_step and each.place in free else target)
    return targets


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
