"""The pieces of one day's work, and the turn in which they are fitted into it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time

from pinset.chain.register import CLEANLINESS, RoomKind

CLEANEST = CLEANLINESS[RoomKind.LABORATORY]
DIRTIEST = CLEANLINESS[RoomKind.GROWING]


@dataclass(frozen=True, slots=True)
class Task:
    """A piece of work of one day."""

    key: str
    words: str
    minutes: int
    rank: int  # cleanliness of its room, 1 the cleanest
    fixed_at: time | None = None
    latest_end: time | None = None
    earliest: time | None = None
    comes_until: time | None = None  # somebody comes for it after work, until then
    needs_laboratory: bool = False  # only by somebody who may work there, whatever the room
    comes_first: bool = False  # before the laboratory: a load waits for it
    waits_days: int = 0  # it may be left for so many days before anything is lost by it
    prefers: str = ""  # code of the person it should go to if they can begin it in order
    after: tuple[str, ...] = ()  # keys of tasks that must have ended before
    rests: tuple[tuple[str, int], ...] = ()  # and minutes that must pass after their begin


def minute_of(moment: time) -> int:
    """Return the minute of the day of a clock time."""
    return moment.hour * 60 + moment.minute


def _free_order(task: Task, by: dict[str, int]) -> tuple[int, int, int, str]:
    """What comes first, laboratory, then by latest end, cleanliness, longer work before short."""
    turn = 0 if task.comes_first else 1 if task.rank == CLEANEST else 2
    latest = 0 if turn == 1 else by[task.key]
    return (turn, latest, task.rank, f"{10_000 - task.minutes:05}{task.key}")


def _latest_ends(tasks: Sequence[Task], *, is_urgent: bool) -> dict[str, int]:
    """Return the minute by which each task should have ended.

    Where time is short what others wait for is as urgent as they are; else there is room for the
    order of cleanliness.
    """
    by = {t.key: minute_of(t.latest_end) if t.latest_end else 24 * 60 for t in tasks}
    for _ in tasks if is_urgent else ():
        for task in tasks:
            for before in set(task.after) & by.keys():
                by[before] = min(by[before], max(0, by[task.key] - task.minutes))
    return by


def in_turn(tasks: Sequence[Task], *, is_urgent: bool) -> list[Task]:
    """Return the tasks in their order, each behind those it must come after."""
    by = _latest_ends(tasks, is_urgent=is_urgent)
    waiting = sorted(tasks, key=lambda task: _free_order(task, by))
    left = {task.key for task in waiting}
    turn: list[Task] = []
    while waiting:
        free = next((t for t in waiting if not left & set(t.after)), waiting[0])
        waiting.remove(free)
        left.discard(free.key)
        turn.append(free)
    return turn
