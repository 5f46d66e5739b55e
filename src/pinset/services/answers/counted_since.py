"""An entry that a later count by hand rests on is not taken back before that count."""

from __future__ import annotations

from pinset.errors import RefusedError
from pinset.farm.queries import story
from pinset.services.clock import farm_day
from pinset.services.plans import planning_day
from pinset.services.words import near_day


def refuse_if_counted_since(entry: str) -> None:
    """Refuse to take an entry back that a count was made after.

    Raises
    ------
    RefusedError
        If units of a lot it moved were counted since; the sentence names the lot.
    """
    since = story.count_since(entry)
    if since is None:
        return
    lot, at = since
    book, today = planning_day.farm_book()
    day = near_day(farm_day(at, book.farm.time_zone), today)
    raise RefusedError(
        f"Lot {lot} was counted again {day}, after this entry: taken back now, its units would "
        "come on top of that count.",
        f"Take back the count at lot {lot} first, then this entry; then say what stands there.",
    )
