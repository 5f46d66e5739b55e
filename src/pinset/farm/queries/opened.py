"""Which units of a lot are opened: a part of them was taken, and they still stand.

A part is taken from a vessel that is open already, as long as there is one within its opened life;
else another is opened. What is lost or thrown out is the opened one first (common practice, no
source). Sealed units of the lot keep as any other.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import cast
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from pinset.chain.living import LivingLot
from pinset.chain.register import Route
from pinset.farm.entries import Account, Measure
from pinset.farm.models import Balance, Mention, Posting

ROLE = "opened"


@dataclass(slots=True)
class Opened:
    """Units of a lot that were opened on one day and stand."""

    on: date
    units: int


@dataclass(frozen=True, slots=True)
class Told:
    """What one entry says of opened units of a lot, in the order in which it happened."""

    at: datetime
    entry: str  # client id: entries of one moment stand in its order
    is_out: bool  # units left; else a part was taken of so many
    units: int
    on: date


def part_taken(at: datetime, entry: str, count: int, value: str, zone: ZoneInfo) -> Told:
    """Return what a mention says: of so many units a part was taken.

    One that names its day is of a lot that was opened before it was written down: of one unit.
    """
    on = date.fromisoformat(value) if value else at.astimezone(zone).date()
    return Told(at, entry, is_out=False, units=max(1, count), on=on)


def opened_units(
    taken: Mapping[int, Sequence[Told]],
    alive: QuerySet[Balance],
    keeps_days: Mapping[int, float | None],
) -> dict[int, list[Opened]]:
    """Return the opened units of lots that stand, those opened first first; lots without: none.

    Parameters
    ----------
    taken : mapping of int to sequence of Told
        By row number of the lot: when a part was taken of its units.
    alive : QuerySet of Balance
        The lots that stand.
    keeps_days : mapping of int to float or None
        How long an opened unit of each lot keeps; None: no limit of its own. [d]
    """
    told = defaultdict(list, {number: list(said) for number, said in taken.items()})
    opened = Mention.objects.filter(lot__in=alive.values("lot_id"), role=ROLE, is_cancelled=False)
    gone = Posting.objects.filter(
        lot__in=opened.values("lot_id"),
        account__in=(Account.LOST.value, Account.CULLED.value),
        measure=Measure.UNIT.value,
        quantity__gt=0,
        entry__is_corrected=False,
        entry__corrects_client="",
    )
    for number, at, entry, units in gone.values_list(
        "lot_id", "entry__happened_at", "entry__client_id", "quantity"
    ):
        told[number].append(Told(at, entry, is_out=True, units=units, on=at.date()))
    return {number: still_open(each, keeps_days.get(number)) for number, each in told.items()}


def still_open(told: Iterable[Told], keeps_days: float | None) -> list[Opened]:
    """Return what is open after all that was told, those opened first first.

    Examples
    --------
    >>> from datetime import UTC
    >>> def said(day, is_out=False):
    ...     return Told(datetime(2026, 3, day, tzinfo=UTC), "", is_out, 1, date(2026, 3, day))
    >>> still_open([said(1), said(4)], 7.0)
    [Opened(on=datetime.date(2026, 3, 1), units=1)]
    >>> still_open([said(1), said(9), said(10, is_out=True)], 7.0)
    [Opened(on=datetime.date(2026, 3, 9), units=1)]
    """
    found: list[Opened] = []
    for each in sorted(told, key=lambda one: (one.at, one.entry, one.is_out)):
        if each.is_out:
            left = each.units
            for unit in found:
                taken = min(left, unit.units)
                unit.units -= taken
                left -= taken
            found = [unit for unit in found if unit.units]
            continue
        usable = sum(unit.units for unit in found if _is_usable(unit, each.on, keeps_days))
        if each.units > usable:
            found.append(Opened(each.on, each.units - usable))
            found.sort(key=lambda unit: unit.on)
    return found


def _is_usable(unit: Opened, on: date, keeps_days: float | None) -> bool:
    return keeps_days is None or on <= unit.on + timedelta(days=math.floor(keeps_days + 1e-9))


def opened_keep(rows: Iterable[Balance], routes: dict[int, Route]) -> dict[int, float | None]:
    """Return how long opened units of each lot keep, by the step it was made in. [d]."""
    return {
        row.lot_id: next(
            (
                step.opened_keeps_days
                for step in routes[cast("int", row.lot.route_id)].steps
                if step.code == row.lot.step
            ),
            None,
        )
        for row in rows
    }


def opened_apart(lot: LivingLot, opened: Sequence[Opened]) -> Iterator[LivingLot]:
    """Yield the opened and the sealed units of a lot apart, those opened first first.

    What is taken of ``opened`` is taken off it: it stands here, and not at another place.
    """
    left = lot.alive
    for each in opened:
        units = min(each.units, left)
        if units:
            yield replace(lot, alive=units, opened_on=each.on)
        each.units -= units
        left -= units
    if left:
        yield replace(lot, alive=left)
