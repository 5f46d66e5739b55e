"""Entries of preparation: soaked, boiled, mixed, filled."""

from __future__ import annotations

from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task, need_units
from pinset.services.loads.steps_before import step_before


def prepare(task: Task) -> NewEntry:
    """Return the entry of preparation, or of what was opened and unloaded.

    Raises
    ------
    RefusedError
        If more are prepared than the step before gave and no reason is given.
    """
    count = need_units(task)
    _ask_about_step_before(task, count)
    said = {**task.details, "mix": task.job.what, "steriliser": task.job.steriliser}
    return trade.prepare(task.tap, task.job.task, count, details=said)


def _ask_about_step_before(task: Task, count: int) -> None:
    before = step_before(task.job, task.reader.book)
    if before is None or count <= before.left:
        return
    verb = "is" if count == 1 else "are"
    said = f"{count} {verb} said for {task.job.task}, and {before.task} before it leaves "
    settle(
        task,
        [f"{said}{before.left or 'none'}."],
        f"Look at the number, or write down the rest of {before.task} first; if it is right all "
        "the same, give a reason.",
    )
