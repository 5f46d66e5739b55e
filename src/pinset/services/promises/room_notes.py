"""Notes for Today on grow rooms: when one changes its climate, and what will lapse unused."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from pinset.planning.plan import KeptClimate, Plan
from pinset.planning.reading.short_reason import ShortReason
from pinset.services.book_reader import Reader
from pinset.services.promises.lapse_notes import lapse_notes
from pinset.services.words import joined, short_day

AHEAD_DAYS = 7
"""A change of climate, and what lapses by another cause, is not said sooner; common practice, no
source."""


def room_notes(plan: Plan, reader: Reader) -> tuple[str, ...]:
    """Return the changes of climate of the next days, then what will lapse, soonest first.

    What lapses because a room is kept in another climate is told as soon as it is known, since
    what would help takes days.
    """
    last = reader.today + timedelta(days=AHEAD_DAYS)
    lapses = (
        lapse
        for lapse in plan.lapses
        if lapse.last_day >= reader.today
        and (lapse.cause is ShortReason.CLIMATE or lapse.last_day <= last)
    )
    return (*_changes(plan, reader), *lapse_notes(lapses, reader))


def _changes(plan: Plan, reader: Reader) -> Iterator[str]:
    names = {room.code: room.name for room in reader.book.rooms}
    before: dict[str, KeptClimate] = {}
    for kept in sorted(plan.climates, key=lambda each: each.since):
        earlier = before.get(kept.room)
        before[kept.room] = kept
        is_soon = reader.today <= kept.since <= reader.today + timedelta(days=AHEAD_DAYS)
        if not kept.is_set or not is_soon:
            continue
        room = names.get(kept.room, kept.room)
        when = "today" if kept.since == reader.today else short_day(kept.since)
        change = f"{kept.words} for {joined(list(kept.varieties))}"
        if earlier is None:
            yield f"{room} is to be {change} from {when}, before anything is moved in."
        else:
            yield (
                f"{room} is kept {earlier.words} for {joined(list(earlier.varieties))} until "
                f"{short_day(earlier.until)}; set it to {change} by {when}, before anything is "
                "moved in."
            )
