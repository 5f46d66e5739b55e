"""Is there so much in the store as is said to be packed? Packing itself moves no weight."""

from __future__ import annotations

from collections import defaultdict

from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.store.days import on_store
from pinset.services.words import GRAMS, joined

HINT = (
    "Record what was picked first, or say what was packed; if it is right all the same, give a "
    "reason."
)


def ask_about_packed(task: Task) -> None:
    """Ask for a reason where more is packed than is in the store.

    Raises
    ------
    RefusedError
        If there is none.
    """
    store = on_store(task.reader.book, task.day)
    there: dict[str, int] = defaultdict(int)
    for each in (*store.good, *store.past):
        there[each.variety] += each.grams
    packed = _packed(task)
    if task.job.weights and packed == task.job.grams:
        found = [
            _too_much(task, task.reader.name(each.variety), there[each.variety], each.grams)
            for each in task.job.weights
            if _is_more(task, each.grams, there[each.variety])
        ]
    else:
        wanted = [each.variety for each in task.job.weights] or list(there)
        whole = sum(there[variety] for variety in wanted)
        names = joined([task.reader.name(variety) for variety in wanted])
        found = [_too_much(task, names, whole, packed)] if _is_more(task, packed, whole) else []
    settle(task, found, HINT)


def _is_more(task: Task, packed: int, there: int) -> bool:
    """Say whether more is packed than is there, by more than is lost in rounding."""
    return packed > there and task.reader.said(packed) != task.reader.said(there)


def _too_much(task: Task, names: str, there: int, packed: int) -> str:
    """Return in words that there is less than is said to be packed."""
    said = task.reader.said
    has = f"Only {said(there)} of {names} are" if there else f"Nothing of {names or 'anything'} is"
    return f"{has} in the cold store, and {said(packed)} are to be packed."


def _packed(task: Task) -> int:
    """Return the grams packed: those given, else the units, where they are other than planned."""
    if task.answer.grams is not None:
        return task.answer.grams
    if task.count == task.job.count and task.job.grams:
        return task.job.grams
    return task.count * GRAMS
