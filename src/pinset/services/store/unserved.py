"""What lies in the cold store, or is picked today, and serves no promise before its last day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from pinset.chain.register import FarmBook
from pinset.planning.building.from_book import Picked
from pinset.planning.outlets.surplus import SurplusPlan
from pinset.services.answers.parts_by_weight import grams_left
from pinset.services.book_reader import Reader
from pinset.services.day.put_off import is_put_off
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob
from pinset.services.outlets.given import given_on
from pinset.services.plans.stock_now import delivered_on
from pinset.services.promises.allotment import Allotment, Unasked, allot
from pinset.services.promises.due_deliveries import DueDelivery, due_on
from pinset.services.promises.late_deliveries import LONGEST_PAUSE, said_of_deliveries
from pinset.services.promises.picked_today import late_still_asked, pick_key
from pinset.services.store.days import keeping_days, on_store

LEAST_G = 100
"""Less of a variety is not worth a word: nobody goes to a buyer with it. [g]"""


@dataclass(frozen=True, slots=True)
class Unserved:
    """Grams of one day's picking that serve no promise, and where they go instead."""

    variety: str
    picked_on: date
    until: date  # the last day on which they can be handed over
    grams: float
    is_stored: bool  # False: still to be picked, today
    to_outlets: float = 0.0  # of the grams, what outlets are to get of them

    @property
    def nowhere(self) -> float:
        """Return the grams that nobody is to get. [g]."""
        return self.grams - self.to_outlets


def unserved(
    stored: Sequence[StoredJob],
    book: FarmBook,
    today: date,
    surplus: SurplusPlan | None,
    since: time | None = None,
) -> tuple[Unserved, ...]:
    """Return what is there, or picked today, and serves no promise; what is past its days first.

    Parameters
    ----------
    stored : sequence of StoredJob
        The jobs of the day: its open picking is reckoned with.
    book : FarmBook
        The farm.
    today : date
        Its present day.
    surplus : SurplusPlan, optional
        What outlets are to get, of a plan of today.
    since : datetime.time, optional
        The hour it is: what should have left before it gets nothing that is still to be picked.
    """
    reader = Reader(book, today)
    good = [
        Picked(each.variety, each.picked_on or today, each.grams)
        for each in on_store(book, today).good
    ]
    expected = _still_to_pick(stored, today)
    if not good and not expected:
        return ()
    keeps = keeping_days(book)
    there = {*(each.variety for each in good), *expected}
    last = today + timedelta(days=max(keeps.get(variety, 0) for variety in there))
    due = [*late_still_asked(book, today), *_asked(stored, book, today, last)]
    allotted: Allotment = allot(due, good, expected, reader, since=since)
    found = _by_day(allotted.unasked)
    return _with_outlets(found, surplus, reader) if surplus else tuple(found)


def _by_day(unasked: Iterable[Unasked]) -> list[Unserved]:
    """Return what is left of each day's picking, of all lots and places together."""
    grams: dict[tuple[str, date, date, bool], float] = defaultdict(float)
    for each in unasked:
        grams[each.variety, each.picked_on, each.until, each.is_stored] += each.grams
    return [
        Unserved(variety, picked_on, until, weight, is_stored)
        for (variety, picked_on, until, is_stored), weight in grams.items()
    ]


def _still_to_pick(stored: Sequence[StoredJob], today: date) -> dict[str, float]:
    """Return the grams of each variety that the open picking of today is expected to bring."""
    found: dict[str, float] = defaultdict(float)
    for each in stored:
        is_todays = each.job.key == pick_key(each.job.variety, today)
        is_open = not each.row.is_closed and not is_put_off(each, today)
        if each.job.kind is JobKind.PICK and is_todays and is_open:
            found[each.job.variety] += float(grams_left(each.job, each.entries))
    return dict(found)


def _asked(
    stored: Sequence[StoredJob], book: FarmBook, today: date, last: date
) -> list[DueDelivery]:
    """Return what is due up to a day and still asked for: not what was answered for today."""
    delivered = delivered_on(today - timedelta(days=LONGEST_PAUSE), last, book.farm.time_zone)
    answered = set(said_of_deliveries(today).dropped)
    answered |= {
        (each.job.promise, each.job.day)
        for each in stored
        if each.job.kind is JobKind.DELIVER and each.row.is_closed
    }
    return [
        each
        for ahead in range((last - today).days + 1)
        for each in due_on(book.promises, today + timedelta(days=ahead), delivered)
        if (each.promise.code, each.day) not in answered
    ]


def _with_outlets(
    found: Sequence[Unserved], surplus: SurplusPlan, reader: Reader
) -> tuple[Unserved, ...]:
    """Return the same with what outlets are to get of it, what is past its days soonest first."""
    left = list(found)
    for day, variety, grams in _shares(surplus, reader):
        wanted = grams
        for number, each in enumerate(left):
            if each.variety == variety and each.until >= day:
                taken = min(wanted, each.nowhere)
                left[number] = replace(each, to_outlets=each.to_outlets + taken)
                wanted -= taken
    return tuple(left)


def _shares(surplus: SurplusPlan, reader: Reader) -> list[tuple[date, str, float]]:
    """Return day, variety and grams of what outlets are still to get, by day."""
    today = reader.today
    given: Mapping[tuple[str, str], int] = _given_today(reader)
    return sorted(
        (share.day, share.variety, grams)
        for share in surplus.shares
        if share.day >= today
        and (
            grams := share.grams
            - (given.get((share.outlet, share.variety), 0) if share.day == today else 0)
        )
        > 0
    )


def _given_today(reader: Reader) -> Mapping[tuple[str, str], int]:
    given: dict[tuple[str, str], int] = defaultdict(int)
    for each in given_on(reader.today, reader.today, reader.book.farm.time_zone):
        given[each.outlet, each.variety] += each.grams
    return given
