"""Entries of a steriliser that was opened: after it was loaded, and after its cook can have ended.

Steam under pressure and boiling liquids hurt who opens too early, and vessels that were not held
long enough are not sterile: what does not fit in time is asked about before it is written down.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from pinset.chain.register import CookKind, Steriliser
from pinset.errors import RefusedError
from pinset.farm.entries import Kind, NewEntry
from pinset.services import cautions
from pinset.services.building.preparing import prepare
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.clock import farm_time
from pinset.services.loads.carried import loads_of
from pinset.services.words import minutes_in_words, near_day

COME_UP_SHARE = 0.5
"""Of the time a kind of cook takes beyond its hold, what goes by until the hold begins; the rest is
cooling and unloading. Common practice, no source."""

ALL_THE_SAME = (
    "If it was opened all the same, or loaded earlier than was written down, give a reason."
)


def opened(task: Task) -> NewEntry:
    """Return the entry of a steriliser that was opened and unloaded.

    Raises
    ------
    RefusedError
        If it was not loaded before; if its cook cannot have ended and no reason is given.
    """
    at, place = task.tap.at, task.job.place or task.job.steriliser or "The steriliser"
    loadings = [
        entry.happened_at
        for each in loads_of(task.job)
        for entry in each.entries
        if entry.kind is Kind.COOK
    ]
    if not loadings:
        raise RefusedError(
            f"{place} was not loaded yet, as far as the books know.",
            "Record the loading first, with the time when it happened.",
        )
    loaded = max(loadings)
    if at < loaded:
        raise RefusedError(
            f"{place} was loaded {_when(task, loaded)}, after it is said to have been opened "
            f"({_when(task, at)}).",
            "Look at the time; if the loading has the wrong one, take that entry back first.",
        )
    _ask_about_the_hold(task, loaded, place)
    return prepare(task)


def _ask_about_the_hold(task: Task, loaded: datetime, place: str) -> None:
    found = _kind(task)
    if found is None:
        return
    steriliser, kind = found
    up = come_up_minutes(kind)
    ends = loaded + timedelta(minutes=up + kind.hold_minutes)
    if task.tap.at >= ends:
        return
    steam = "pressure" if steriliser.rating_bar_gauge > 0 else "steam"
    said = (
        f"{place} was loaded {_when(task, loaded)}; with {minutes_in_words(up)} to come up to "
        f"heat and {minutes_in_words(kind.hold_minutes)} of hold its cook cannot have ended "
        f"before {_when(task, ends)}."
    )
    settle(task, [said], " ".join((*cautions.sentences((steam, "opening")), ALL_THE_SAME)))


def come_up_minutes(kind: CookKind) -> float:
    """Return the minutes from loading to the hold, at the least, of a kind of cook."""
    return max(0.0, kind.hours * 60.0 - kind.hold_minutes) * COME_UP_SHARE


def _kind(task: Task) -> tuple[Steriliser, CookKind] | None:
    """Return the steriliser and the kind of its cook; None if the farm describes them no more."""
    return next(
        (
            (steriliser, kind)
            for steriliser in task.reader.book.sterilisers
            if steriliser.code == task.job.steriliser
            for kind in steriliser.cooks
            if kind.code == task.job.cook_kind
        ),
        None,
    )


def _when(task: Task, moment: datetime) -> str:
    local = farm_time(moment, task.reader.book.farm.time_zone)
    return f"{near_day(local.date(), task.reader.today)} at {local:%H:%M}"
