"""Every chore of the farm with when it is due: worked out, never stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

from pinset.chain.outages import OutageOf
from pinset.chain.register import FarmBook
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.chain.upkeep_due import DoneOnce, Due, State, due_of, with_before
from pinset.farm.queries.upkeep import ChoreDone, cooks_since, done_since_new, sessions_since
from pinset.services.clock import at_clock, farm_day

LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)
ORDER = {state: rank for rank, state in enumerate(State)}


@dataclass(frozen=True, slots=True)
class ChoreNow:
    """A chore, what was done of it, and when it is due."""

    chore: Chore  # of an instrument with its days and its last comparison
    due: Due
    done: tuple[DoneOnce, ...]  # oldest first, with what was known before the books begin


def chores_now(book: FarmBook, today: date) -> tuple[ChoreNow, ...]:
    """Return every chore with when it is due, what is overdue longest first."""
    if not book.upkeep:
        return ()
    zone = book.farm.time_zone
    done = done_lately(book)
    uses = _uses(book, done)
    found = []
    for chore in book.upkeep:
        timed = timed_chore(chore, book)
        times = with_before(timed, done_once(done.get(chore.code, ()), zone))
        days = [farm_day(at, zone) for at in uses.get(chore.code, ())]
        due = due_of(timed, times, days, today, planned=_planned(chore, book, today))
        found.append(ChoreNow(timed, due, times))
    return tuple(sorted(found, key=lambda each: (ORDER[each.due.state], each.due.on or date.max)))


def done_lately(book: FarmBook) -> dict[str, tuple[ChoreDone, ...]]:
    """Return of each chore that was ever done what says when it is due next, oldest first."""
    found = {
        each.code: done_since_new(each.code, since_new=each.reads is not Reads.NOTHING)
        for each in book.upkeep
    }
    return {code: times for code, times in found.items() if times}


def done_once(done: Sequence[ChoreDone], zone: str) -> tuple[DoneOnce, ...]:
    """Return what was done as days of the farm."""
    return tuple(
        DoneOnce(farm_day(each.at, zone), each.reading, each.is_changed, each.is_amiss)
        for each in done
    )


def timed_chore(chore: Chore, book: FarmBook) -> Chore:
    """Return a chore at an instrument with the days and the last comparison of that instrument."""
    if chore.at is not ChoreAt.INSTRUMENT:
        return chore
    instrument = next((each for each in book.instruments if each.code == chore.which), None)
    if instrument is None:
        return chore
    return replace(chore, every_days=instrument.every_days, since=instrument.calibrated_on)


def _planned(chore: Chore, book: FarmBook, today: date) -> date | None:
    """Return the first day on which the room to be emptied is out of use; today if it is now."""
    if chore.kind is not ChoreKind.ROOM_EMPTIED or chore.at is not ChoreAt.ROOM:
        return None
    days = [
        max(each.from_date, today)
        for each in book.outages
        if (each.what, each.which) == (OutageOf.ROOM, chore.which) and each.until >= today
    ]
    return min(days, default=None)


def _uses(
    book: FarmBook, done: Mapping[str, Sequence[ChoreDone]]
) -> dict[str, tuple[datetime, ...]]:
    """Return when the thing of each chore was used since the chore was last done."""
    zone = book.farm.time_zone
    since: dict[str, datetime] = {}
    for chore in book.upkeep:
        if chore.every_uses is None:
            continue
        ended = at_clock(chore.since, "23:59", zone) if chore.since is not None else LONG_AGO
        since[chore.code] = max([each.at for each in done.get(chore.code, ())] + [ended])
    if not since:
        return {}
    first = min(since.values())
    found: dict[str, tuple[datetime, ...]] = {}
    used = {ChoreAt.STERILISER: cooks_since(first), ChoreAt.BENCH: sessions_since(first)}
    for chore in book.upkeep:
        if chore.code in since and chore.at in used:
            times = used[chore.at].get(chore.which, ())
            found[chore.code] = tuple(at for at in times if at > since[chore.code])
    return found
