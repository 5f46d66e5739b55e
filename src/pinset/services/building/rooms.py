"""Entries of shelves and grow rooms: moved, shaken, looked over, cleared."""

from __future__ import annotations

from pinset.chain.register import RoomKind
from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.services.building.parts_taken import places
from pinset.services.building.shelves import shelves_to
from pinset.services.building.suitable import (
    ask_about_age,
    ask_about_carried,
    ask_about_missing,
    ask_about_moved,
    ask_about_units,
)
from pinset.services.building.task import (
    Task,
    chosen,
    looked_up,
    need_units,
    together,
)
from pinset.services.jobs.of_failed_cooks import CAUSE, TASK


def move(task: Task) -> NewEntry:
    """Return the entry of units moved into a room or the next step.

    What begins its next step in the room where it stands keeps its shelf.
    """
    lots = chosen(task)
    looked_up(task, lots)
    need_units(task)
    ask_about_missing(task, lots)
    ask_about_units(task, lots)
    ask_about_moved(task, lots)
    ask_about_carried(task, lots)
    taken = places(task, lots)
    ask_about_age(task, taken)
    room = next((r for r in task.reader.book.rooms if r.code == task.job.to_room), None)
    step = task.job.to_step
    entries = [
        trade.move(task.tap, each, target, step=step)
        for each, target in shelves_to(task, room, taken)
        if step or each.place != target
    ]
    return together(entries, task)


def shake(task: Task) -> NewEntry:
    """Return the entry of shaken units."""
    lots = chosen(task)
    looked_up(task, lots)
    need_units(task)
    ask_about_missing(task, lots)
    return together([trade.shake(task.tap, taken) for taken in places(task, lots)], task)


def look(task: Task) -> NewEntry:
    """Return the entry of units looked over with nothing found."""
    lots = chosen(task)
    looked_up(task, lots)
    need_units(task)
    ask_about_missing(task, lots)
    return trade.look(task.tap, places(task, lots), details=task.details)


def walk(task: Task) -> NewEntry:
    """Return the entry of a morning round."""
    need_units(task)
    rooms = [r.code for r in task.reader.book.rooms if r.kind is RoomKind.GROWING]
    return trade.rounds(task.tap, rooms, details=task.details)


def clear(task: Task) -> NewEntry:
    """Return the entry of spent units cleared out."""
    lots = chosen(task)
    looked_up(task, lots)
    need_units(task)
    ask_about_missing(task, lots)
    return together([trade.spend(task.tap, taken) for taken in places(task, lots)], task)


def discard(task: Task) -> NewEntry:
    """Return the entry of units thrown out: past their time, or of a cook that failed."""
    lots = chosen(task)
    looked_up(task, lots)
    need_units(task)
    ask_about_missing(task, lots)
    cause = task.answer.reason or (CAUSE if task.job.task == TASK else "past its time")
    return together([trade.cull(task.tap, t, cause=cause) for t in places(task, lots)], task)
