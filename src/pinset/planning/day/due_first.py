"""On a day too short for all of it, what is due today before what can wait."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

from pinset.planning.day.tasks import Task


class Laid(Protocol):
    """A day laid out."""

    unplaced: list[Task]

    @property
    def too_late(self) -> int:
        """How many tasks end later than they should."""


D = TypeVar("D", bound=Laid)


def due_first(tasks: Sequence[Task], lay: Callable[[Sequence[Task]], D], day: D) -> D:
    """Return the day, laid anew if that places more of what is due today.

    Parameters
    ----------
    tasks : sequence of Task
        All of the day's work.
    lay : callable
        Lays some of it out.
    day : Laid
        All of it laid out, as it comes.

    Returns
    -------
    Laid
        What is due is laid alone; then what can wait, the less it can the sooner, as long as
        nothing that stands has to go for it. What has an hour keeps it.
    """
    due = _due(tasks)
    missing = [task for task in day.unplaced if task.key in due]
    waiting = [task for task in tasks if task.key not in due]
    if not missing or not waiting:
        return day
    chosen = [task for task in tasks if task.key in due]
    best = lay(chosen)
    if len(best.unplaced) >= len(missing):
        return day
    left = []
    for task in sorted(waiting, key=lambda each: (each.waits_days, each.rank, -each.minutes)):
        tried = lay([*chosen, task])
        if len(tried.unplaced) > len(best.unplaced) or tried.too_late > best.too_late:
            left.append(task)
        else:
            chosen, best = [*chosen, task], tried
    best.unplaced = [*best.unplaced, *left]
    return best


def _due(tasks: Sequence[Task]) -> frozenset[str]:
    """Return the keys of what is due: it cannot wait, has an hour, or such work follows it."""
    due = {task.key for task in tasks if not task.waits_days or task.fixed_at is not None}
    before = {task.key: {*task.after, *(key for key, _ in task.rests)} for task in tasks}
    for _ in tasks:
        due |= {key for each in due for key in before.get(each, ())} & before.keys()
    return frozenset(due)
