"""Alarms: lots that lose more than the farm's own usual, as soon as it can be told.

Two kinds. What happens once (a cook, a session, a parent lot) is held against all the others by
itself. What goes on (a stage, a culture line, a person, a shelf) is followed by a running sum, so
that small rises come to light; what stood out once takes no part in it. One outbreak is told once,
with everything else that rests on the same finds named beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from pinset.chain.histories import Shared
from pinset.learning.losses.alarms_going import STAGE, alarms_going
from pinset.learning.losses.alarms_once import ONCE, alarms_once
from pinset.learning.losses.known_lots import KnownLots, Rows, known_lots
from pinset.learning.losses.told import Told, Work

FALSE_A_YEAR = 4.0
"""False alarms that a quiet farm may have a year, all charts together; our own choice."""

LOOKED_BACK_DAYS = 182
"""An alarm is told of if it arose within so many days."""

SAME_FINDS = 0.8
"""An alarm of which so much of the finds are another's as well is no outbreak of its own; our own
choice."""

ORDER = (*(kind.value for kind in ONCE), Shared.LINE.value, Shared.PLACE.value, STAGE)
"""Of what goes on with as many of the same finds the first of these is told; people always last, so
that who leads nobody still reads of the rise."""


@dataclass(frozen=True, slots=True)
class Alarm:
    """One alarm."""

    factor: str  # a kind of `Shared`, or "stage"
    level: str
    at: datetime  # when the last lot it rests on became known
    lots: int  # it rests on
    units: int
    found: int
    expected: float
    chance: float | None  # of as many or more by chance, of what happens once; None of a sum
    a_year: float  # false alarms of a quiet farm: of all that is once, or of its chart
    names: tuple[str, ...]  # lots with finds, the newest first
    alike: tuple[tuple[str, str], ...] = ()  # factor and level of what rests on the same finds


def alarms(
    told: Told, expected: Mapping[Work, float], now: datetime, seed: int = 1
) -> tuple[Alarm, ...]:
    """Return the alarms of the last half year, the newest first.

    Parameters
    ----------
    told : Told
        Histories of lots, and how soon contamination shows.
    expected : mapping of Work to float
        Share of units that the route of a variety expects to lose in a step.
    now : datetime
        From which half a year is counted back.
    seed : int
        Of the quiet lots that are drawn to set limits.

    Notes
    -----
    Of the false alarms a quiet farm may have, half are left to what goes on and half to what
    happens once.
    """
    known = known_lots(told)
    since = now - timedelta(days=LOOKED_BACK_DAYS)
    once = alarms_once(known, expected, since, a_year=FALSE_A_YEAR / 2.0)
    told_already = np.zeros(len(known.lots), dtype=bool)
    for each in once:
        told_already[each.rows] = True
    rng = np.random.Generator(np.random.PCG64(seed))
    rises = alarms_going(known, expected, told_already, a_year=FALSE_A_YEAR / 2.0, rng=rng)
    found = [
        *(
            (_alarm(known, o.factor, o.level, o.rows, o.expected, o.a_year, o.chance), o.rows)
            for o in once
        ),
        *((_alarm(known, r.factor, r.level, r.rows, r.expected, r.a_year), r.rows) for r in rises),
    ]
    kept = _told_once(known, [pair for pair in found if since <= pair[0].at <= now])
    return tuple(sorted(kept, key=lambda each: (each.at, each.factor, each.level), reverse=True))


def _told_once(known: KnownLots, found: list[tuple[Alarm, Rows]]) -> list[Alarm]:
    """Return every outbreak once, with what rests on a part of its finds beside it."""

    def rank(pair: tuple[Alarm, Rows]) -> tuple[float, float, int]:
        alarm = pair[0]
        place = ORDER.index(alarm.factor) if alarm.factor in ORDER else len(ORDER)
        first = 0.0 if alarm.chance is not None else 1.0 if place < len(ORDER) else 2.0
        return first, alarm.expected - alarm.found, place

    def are_one(rows: Rows, others: Rows) -> bool:
        return _is_part(known, rows, others) or _is_part(known, others, rows)

    kept: list[tuple[Alarm, Rows]] = []
    for alarm, rows in sorted(found, key=rank):
        same = next((at for at, (_, other) in enumerate(kept) if are_one(rows, other)), None)
        if same is None:
            kept.append((alarm, rows))
        else:
            first, others = kept[same]
            kept[same] = (
                replace(first, alike=(*first.alike, (alarm.factor, alarm.level))),
                others,
            )
    return [alarm for alarm, _ in kept]


def _is_part(known: KnownLots, one: Rows, other: Rows) -> bool:
    """Say whether (nearly) all finds of one are finds of another."""
    both = float(known.found[np.intersect1d(one, other)].sum())
    return both >= SAME_FINDS * float(known.found[one].sum())


def _alarm(
    known: KnownLots,
    factor: str,
    level: str,
    rows: Rows,
    expected: float,
    a_year: float,
    chance: float | None = None,
) -> Alarm:
    newest = sorted((int(at) for at in rows), reverse=True)
    return Alarm(
        factor=factor,
        level=level,
        at=known.at[newest[0]],
        lots=len(newest),
        units=int(known.units[rows].sum()),
        found=int(known.found[rows].sum()),
        expected=expected,
        chance=chance,
        a_year=a_year,
        names=tuple(known.lots[at].lot for at in newest if known.found[at]),
    )
