"""When a chore is due, worked out from when it was last done, what was read off and what was used.

Nothing of it is stored. A chore that was never done is due at once: nobody knows how it stands. A
reading at its limit, or something found amiss, asks for the thing to be changed or mended until
somebody says that it was. How fast a reading rises only says when its limit may be reached; nothing
falls due by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from pinset.chain.upkeep import WEARS, Chore, Reads

SOON_SHARE = 7
"""A chore comes soon in the last seventh of its days; our own choice."""

MOST_SOON_DAYS = 14
USES_SHARE = 5
"""By use it comes soon in the last fifth of its uses; our own choice."""

PACE_DAYS = 7
"""Readings less far apart than this say nothing about how fast they rise. [d]"""

MOST_AHEAD_DAYS = 3650
"""A limit further ahead than this is not told: nobody knows so far. [d]"""


class State(StrEnum):
    """Where a chore stands; the order is that of lists."""

    OVERDUE = "overdue"
    TODAY = "due today"
    SOON = "due soon"
    LATER = "later"


class Because(StrEnum):
    """What decides when it is due."""

    NEVER = "never"  # nobody wrote down that it was done
    DAYS = "days"
    USES = "uses"
    LIMIT = "limit"  # the last reading is at its limit
    AMISS = "amiss"  # something was found and not mended
    PLANNED = "planned"  # the room is put out of use for it


@dataclass(frozen=True, slots=True)
class DoneOnce:
    """One time that a chore was done."""

    on: date
    reading: float | None = None
    is_changed: bool = False  # a new one was put in, or it was mended; the reading is the new one's
    is_amiss: bool = False  # something was found that was not mended


@dataclass(frozen=True, slots=True)
class Wear:
    """How far something is worn or clogged."""

    now: float  # hours since it was new; pressure drop [Pa]; off either way
    on: date
    limit: float | None
    expected_on: date | None = None  # at the pace since it was new; None: not to be told

    @property
    def left(self) -> float | None:
        """Return what is left to the limit, 0 if nothing."""
        return None if self.limit is None else max(0.0, self.limit - self.now)

    @property
    def is_over(self) -> bool:
        """Say whether the limit is reached."""
        return self.limit is not None and self.now >= self.limit


@dataclass(frozen=True, slots=True)
class Due:
    """When a chore is due, and why."""

    state: State
    on: date | None  # None: by use, and not reached yet
    because: Because
    last: date | None
    uses: int = 0  # since it was last done
    wear: Wear | None = None

    @property
    def is_due(self) -> bool:
        """Say whether it is to be done now."""
        return self.state in {State.OVERDUE, State.TODAY}

    @property
    def asks_change(self) -> bool:
        """Say whether something is to be changed or mended."""
        return self.because in {Because.LIMIT, Because.AMISS}


def with_before(chore: Chore, done: Sequence[DoneOnce]) -> tuple[DoneOnce, ...]:
    """Return what was done, oldest first, with what was read or found before the books begin.

    Of an instrument ``since`` is the day of its last comparison.
    """
    if chore.since is None or (chore.last_reading is None and not chore.amiss):
        return tuple(done)
    before = DoneOnce(chore.since, chore.last_reading, is_amiss=bool(chore.amiss))
    return tuple(sorted((before, *done), key=lambda each: each.on))


def due_of(
    chore: Chore,
    done: Sequence[DoneOnce],
    uses: Sequence[date],
    today: date,
    *,
    planned: date | None = None,
) -> Due:
    """Return when a chore is due.

    Parameters
    ----------
    chore : Chore
        Of an instrument with its days and its last comparison filled in.
    done : sequence of DoneOnce
        Oldest first, as of :func:`with_before`.
    uses : sequence of date
        Days of what was used since it was last done, oldest first; empty if it is not by use.
    today : date
        The farm's day.
    planned : date, optional
        First day on which its room is out of use, today or later: then it is due that day.
    """
    wear = wear_of(chore, done)
    last = max([each.on for each in done] + ([chore.since] if chore.since else []), default=None)
    if done and done[-1].is_amiss:
        on, because = done[-1].on, Because.AMISS
    elif wear is not None and wear.is_over:
        on, because = wear.on, Because.LIMIT
    elif planned is not None:
        on, because = planned, Because.PLANNED
    elif last is None:
        on, because = today, Because.NEVER
    else:
        first = min(_falls(chore, last, uses), default=None)
        if first is None:
            return Due(_by_use(chore, uses), None, Because.USES, last, len(uses), wear)
        on, because = first[0], first[1]
    soon = MOST_SOON_DAYS if because is Because.PLANNED else soon_days(chore.every_days)
    return Due(_state(on, today, soon), on, because, last, len(uses), wear)


def _falls(chore: Chore, last: date, uses: Sequence[date]) -> list[tuple[date, Because]]:
    """Return the days on which it falls due by days and, once it was used often enough, by use."""
    found = []
    if chore.every_days:
        found.append((last + timedelta(days=chore.every_days), Because.DAYS))
    if chore.every_uses and len(uses) >= chore.every_uses:
        found.append((uses[chore.every_uses - 1], Because.USES))
    return found


def _by_use(chore: Chore, uses: Sequence[date]) -> State:
    every = chore.every_uses or 0
    return State.SOON if every - len(uses) <= max(1, every // USES_SHARE) else State.LATER


def soon_days(every_days: int | None) -> int:
    """Return how many days before its day a chore is said to come soon."""
    return min(MOST_SOON_DAYS, max(1, (every_days or 0) // SOON_SHARE))


def _state(on: date, today: date, soon: int) -> State:
    ahead = (on - today).days
    if ahead < 0:
        return State.OVERDUE
    if ahead == 0:
        return State.TODAY
    return State.SOON if ahead <= soon else State.LATER


def limit_of(chore: Chore, done: Sequence[DoneOnce]) -> float | None:
    """Return the reading at which something is changed or mended, in the unit of the reading.

    Where it is so many times that of a new one and nobody wrote that down, the first reading stands
    for it.
    """
    if chore.limit is not None or chore.limit_times is None:
        return chore.limit
    new = new_reading(chore, done)
    return None if new is None else new * chore.limit_times


def new_reading(chore: Chore, done: Sequence[DoneOnce]) -> float | None:
    """Return what it read when it was new, as far as it is known."""
    since = _since_new(done)
    if since and since[0].is_changed:
        return since[0].reading
    if chore.first_reading is not None:
        return chore.first_reading
    if chore.reads is Reads.HOURS:
        return 0.0
    return since[0].reading if since else None


def _since_new(done: Sequence[DoneOnce]) -> list[DoneOnce]:
    """Return the readings since it was last changed, that of the change first."""
    read = [each for each in done if each.reading is not None]
    changed = [place for place, each in enumerate(read) if each.is_changed]
    return read[changed[-1] :] if changed else read


def wear_of(chore: Chore, done: Sequence[DoneOnce]) -> Wear | None:
    """Return how far something is worn, by its last reading; None if nothing was read off."""
    since = _since_new(done)
    if not since or since[-1].reading is None:
        return None
    limit, latest = limit_of(chore, done), since[-1]
    base = (new_reading(chore, done) or 0.0) if chore.reads is Reads.HOURS else 0.0
    now = abs(since[-1].reading) - base
    expected = _reached(since, limit, base) if chore.reads in WEARS else None
    return Wear(now, latest.on, limit, expected)


def _reached(since: Sequence[DoneOnce], limit: float | None, base: float) -> date | None:
    """Return when the limit is reached at the mean pace from the first to the last reading."""
    first, last = since[0], since[-1]
    days = (last.on - first.on).days
    if limit is None or days < PACE_DAYS or first.reading is None or last.reading is None:
        return None
    pace = (last.reading - first.reading) / days
    if pace <= 0.0:
        return None
    ahead = (limit + base - last.reading) / pace
    return last.on + timedelta(days=round(ahead)) if 0.0 <= ahead < MOST_AHEAD_DAYS else None
