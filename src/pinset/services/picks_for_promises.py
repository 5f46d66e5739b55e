"""Which promises today's picking goes to: what is in store first, then what is picked, by day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import floor

from pinset.planning.from_book import Picked
from pinset.services.book_reader import Reader
from pinset.services.jobs_of_selling import DueDelivery, hour_of, is_early, open_amount
from pinset.services.words import due_words, joined, near_day

NAMED_BUYERS = 2


@dataclass(frozen=True, slots=True)
class GoesTo:
    """What a picking serves."""

    serves: tuple[str, ...] = ()  # promises in words, with the day each is due
    due: str = ""  # "before 14:00", if today's van must take some of it
    said: str = ""  # buyers and days in a few words


def goes_to(
    variety: str,
    grams: float,
    due: Iterable[DueDelivery],
    store: Iterable[Picked],
    reader: Reader,
) -> GoesTo:
    """Return which promises a picking of today serves.

    Parameters
    ----------
    variety : str
        Code of the variety.
    grams : float
        What is expected to be picked. [g]
    due : iterable of DueDelivery
        Promises from before today to the next days.
    store : iterable of Picked
        What stands in the cold store; it is handed over before what is picked today.
    reader : Reader
        The farm's book; what is picked serves no later than it keeps.
    """
    if variety not in reader.varieties:
        return GoesTo()
    keeps = floor(reader.varieties[variety].picked_keeps_days)
    last = reader.today + timedelta(days=keeps)
    waiting = sorted(
        (
            each
            for each in due
            if each.promise.variety == variety
            and each.promise.measure == "gram"
            and open_amount(each)
            and each.day <= last
        ),
        key=lambda each: (each.day, hour_of(each, reader)),
    )
    in_store = sum(
        each.grams
        for each in store
        if each.variety == variety and each.picked_on + timedelta(days=keeps) >= reader.today
    )
    served = []
    for each in waiting:
        wanted = float(open_amount(each))
        from_store = min(wanted, in_store)
        in_store -= from_store
        wanted -= from_store
        if each.day == reader.today and is_early(hour_of(each, reader), reader):
            continue  # the van left before anything was picked
        if wanted > 0 and grams > 0:
            grams -= wanted
            served.append(each)
    return _said(served, reader)


def _said(served: Sequence[DueDelivery], reader: Reader) -> GoesTo:
    if not served:
        return GoesTo()
    today = reader.today
    hours = [hour_of(each, reader) for each in served if each.day == today]
    serves = [
        f"{line}, {due_words(each.day, today)}"
        for each in served
        for line in reader.promise_words([each.promise.code])
    ]
    names = {buyer.code: buyer.name for buyer in reader.book.buyers}
    buyers = [
        f"{names.get(each.promise.buyer, each.promise.buyer)} ({near_day(each.day, today)})"
        for each in served
    ]
    more = len(buyers) - NAMED_BUYERS
    said = joined(buyers) if more <= 0 else f"{', '.join(buyers[:NAMED_BUYERS])} and {more} more"
    return GoesTo(tuple(serves), f"before {min(hours)}" if hours else "", said)
