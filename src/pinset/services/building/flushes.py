"""Is the flush that somebody names one of its route? A slip there would end the lot in the plan."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.chain.register import StepKind
from pinset.farm.queries.alive import living
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.words import plural

HINT = "Look at the number of the flush; if it is right, give a reason."


def ask_about_flush(task: Task, codes: Iterable[str]) -> None:
    """Ask for a reason where a flush is named that a lot's route does not have.

    Raises
    ------
    RefusedError
        If there is none.
    """
    flush = task.answer.flush
    if flush is None:
        return
    most: dict[str, int] = {}
    for part in living(task.day, lots=list(codes)):
        step = part.now_step()
        if step.kind is StepKind.FRUIT and step.flushes:
            most[part.code] = max(most.get(part.code, 0), len(step.flushes))
    settle(
        task,
        [
            f"Flush {flush} of lot {code} is named; its route has "
            f"{plural(has, 'flush', 'flushes')}."
            for code, has in most.items()
            if flush > has
        ],
        HINT,
    )
