"""Which promise gets which kilograms: one allotment for Today, for Promises and for what is short.

The order of preference, the same everywhere: what is due first; on one day what is handed over
first; at one hour what was promised first, as the farm's book lists it. What was missed on an
earlier day and is asked for again was due before anything of today. Each takes what is past its
days soonest, so a kilogram is given once, and none is kept back for somebody who comes later.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from math import floor

from pinset.chain.day_hours import clock_minute
from pinset.planning.building.from_book import Picked
from pinset.planning.plan import ExpectedPick
from pinset.services.book_reader import Reader
from pinset.services.promises.due_deliveries import (
    DueDelivery,
    hour_of,
    open_amount,
    packed_on,
)

GRAM = "gram"


@dataclass(frozen=True, slots=True)
class Share:
    """The grams that are allotted to one delivery."""

    in_store: float = 0.0
    of_today: float = 0.0  # expected to be picked today
    later: float = 0.0  # expected of the days up to its packing

    @property
    def grams(self) -> float:
        """Return all of them. [g]."""
        return self.in_store + self.of_today + self.later


NOTHING = Share()


@dataclass(frozen=True, slots=True)
class Unasked:
    """Grams of one picking that no delivery gets."""

    variety: str
    picked_on: date
    until: date  # the last day they can be handed over
    grams: float
    is_stored: bool  # False: expected


@dataclass(frozen=True, slots=True)
class Allotment:
    """What each delivery of picked weight gets, by promise and the day it is due."""

    shares: Mapping[tuple[str, date], Share] = field(default_factory=dict)
    unasked: tuple[Unasked, ...] = ()  # what is left when all are served, soonest past first

    def of(self, each: DueDelivery) -> Share:
        """Return what one delivery gets."""
        return self.shares.get((each.promise.code, each.day), NOTHING)


@dataclass(slots=True)
class _Lying:
    """Grams of one picking, in the store or expected."""

    grams: float
    picked_on: date
    until: date  # the last day they are handed over
    is_stored: bool


def in_order(due: Iterable[DueDelivery], reader: Reader) -> tuple[DueDelivery, ...]:
    """Return deliveries in the order of preference."""
    place = {promise.code: number for number, promise in enumerate(reader.book.promises)}

    def turn(each: DueDelivery) -> tuple[date, int, int]:
        hour = clock_minute(hour_of(each, reader))
        return each.day, hour, place.get(each.promise.code, len(place))

    return tuple(sorted(due, key=turn))


def allot(
    due: Iterable[DueDelivery],
    store: Iterable[Picked],
    expected: Mapping[str, float],
    reader: Reader,
    picks: Iterable[ExpectedPick] = (),
    since: time | None = None,
) -> Allotment:
    """Return which delivery gets what.

    Parameters
    ----------
    due : iterable of DueDelivery
        All that are open, of earlier days and to come; units are left out.
    store : iterable of Picked
        What stands in the cold store.
    expected : mapping of str to float
        What is expected to be picked today, by variety. [g]
    reader : Reader
        The farm's book and day.
    picks : iterable of ExpectedPick
        What the plan expects to be picked later; what it says of today is left out.
    since : time, optional
        The hour it is now: what should have left before it gets nothing that is still to be picked.
    """
    lying = _lying(store, expected, reader, picks)
    shares = {}
    for each in in_order(due, reader):
        if each.promise.measure == GRAM:
            here = lying.get(each.promise.variety, [])
            shares[each.promise.code, each.day] = _taken(each, here, reader, since)
    unasked = tuple(
        Unasked(variety, part.picked_on, part.until, part.grams, part.is_stored)
        for variety, parts in lying.items()
        for part in parts
        if part.grams > 0
    )
    return Allotment(shares, unasked)


def _lying(
    store: Iterable[Picked],
    expected: Mapping[str, float],
    reader: Reader,
    picks: Iterable[ExpectedPick],
) -> dict[str, list[_Lying]]:
    """Return what there is and will be of each variety, first what is past its days first."""
    found: dict[str, list[_Lying]] = {}
    keeps = {code: floor(each.picked_keeps_days) for code, each in reader.varieties.items()}
    parts = [(each.variety, each.grams, each.picked_on, True) for each in store]
    parts += [(variety, grams, reader.today, False) for variety, grams in expected.items()]
    parts += [(e.variety, e.grams, e.day, False) for e in picks if e.day > reader.today]
    for variety, grams, day, is_stored in parts:
        until = day + timedelta(days=keeps.get(variety, 0))
        found.setdefault(variety, []).append(_Lying(grams, day, until, is_stored))
    for each in found.values():
        each.sort(key=lambda part: (part.until, not part.is_stored))
    return found


def _taken(each: DueDelivery, lying: Iterable[_Lying], reader: Reader, since: time | None) -> Share:
    """Take what one delivery gets from what is left."""
    wanted = float(open_amount(each))
    last, day = packed_on(each, reader, since), max(each.day, reader.today)
    stored = today = later = 0.0
    for part in lying:
        is_there = part.is_stored or part.picked_on <= last
        if not is_there or part.until < day:
            continue
        grams = max(0.0, min(wanted, part.grams))
        part.grams -= grams
        wanted -= grams
        if part.is_stored:
            stored += grams
        elif part.picked_on == reader.today:
            today += grams
        else:
            later += grams
    return Share(stored, today, later)
