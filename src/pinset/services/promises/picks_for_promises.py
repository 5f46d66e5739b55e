"""Which promises today's picking goes to, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pinset.services.book_reader import Reader
from pinset.services.promises.allotment import Allotment, in_order
from pinset.services.promises.due_deliveries import DueDelivery, hour_of
from pinset.services.words import due_words, joined, near_day

NAMED_BUYERS = 2


@dataclass(frozen=True, slots=True)
class GoesTo:
    """What a picking serves."""

    serves: tuple[str, ...] = ()  # promises in words, with the day each is due
    due: str = ""  # "before 14:00", if today's van must take some of it
    said: str = ""  # buyers and days in a few words


def goes_to(
    variety: str, due: Iterable[DueDelivery], allotted: Allotment, reader: Reader
) -> GoesTo:
    """Return which promises a picking of today serves.

    Parameters
    ----------
    variety : str
        Code of the variety.
    due : iterable of DueDelivery
        Promises from before today to the next days.
    allotted : Allotment
        What each of them gets of the store and of today's picking.
    reader : Reader
        The farm's book and day.
    """
    served = [
        each
        for each in in_order(due, reader)
        if each.promise.variety == variety and allotted.of(each).of_today > 0
    ]
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
