"""Which flush a pick belongs to; a flush that somebody names and a lot cannot be in is asked about.

A slip there would end the lot in the plan, or let it bear anew what was picked.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from pinset.chain.bearing import flush_ends, flush_of, fruits
from pinset.chain.living import LivingLot
from pinset.farm.queries.alive import living
from pinset.farm.whereabouts import LastFlush
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.words import plural

HINT = "Look at the number of the flush; if it is right, give a reason."

FLUSH_LASTS_DAYS = 5
"""Picks within this many days of the last belong to the same flush; common practice, no source."""


def standing_of(day: date, codes: Iterable[str]) -> dict[str, list[LivingLot]]:
    """Return what stands of each of these lots."""
    here: dict[str, list[LivingLot]] = {}
    for lot in living(day, lots=list(codes)):
        here.setdefault(lot.code, []).append(lot)
    return here


def next_flush(last: LastFlush | None, parts: Sequence[LivingLot], day: date) -> int:
    """Return which flush a pick of a lot belongs to, by the flush before it.

    One that was picked before the lot was written down was over when its route says, at the latest
    when the lot was written down.

    Parameters
    ----------
    last : LastFlush, optional
        The last flush picked; None if none was.
    parts : sequence of LivingLot
        What stands of the lot.
    day : date
        Of the pick.
    """
    if last is None:
        return 1
    over = last.on
    if last.is_before:
        ends = [flush_ends(part, last.flush) for part in parts if fruits(part)]
        over = min(over, max(ends, default=over))
    return last.flush if (day - over).days <= FLUSH_LASTS_DAYS else last.flush + 1


def ask_about_flush(task: Task, codes: Iterable[str]) -> None:
    """Ask for a reason where a flush is named that a lot's route does not have, or that is over.

    Raises
    ------
    RefusedError
        If there is none.
    """
    flush = task.answer.flush
    if flush is None:
        return
    against = []
    for code, parts in standing_of(task.day, codes).items():
        bearing = [part for part in parts if fruits(part) and part.now_step().flushes]
        if not bearing:
            continue
        has = max(len(part.now_step().flushes) for part in bearing)
        picked = min(flush_of(part) for part in bearing)
        if flush > has:
            said = plural(has, "flush", "flushes")
            against.append(f"Flush {flush} of lot {code} is named; its route has {said}.")
        elif flush < picked:
            against.append(f"Flush {flush} of lot {code} is named; flush {picked} is picked of it.")
    settle(task, against, HINT)
