"""Entries from the grow room to the buyer: picked, packed, delivered, sold, wasted, dried."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from pinset.farm.entries import Account, Kind, Measure, NewEntry, NewMention, NewPosting
from pinset.farm.trade.parts import Taken, Tap, appeared, moved, positive

OF_DAY = "picked"
"""The role in which an entry names the day of the picking that grams were taken of."""


def pick(
    tap: Tap,
    lot: str,
    grams: int,
    flush: int,
    store: str,
    *,
    grown_at: str = "",
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Mushrooms were picked.

    Parameters
    ----------
    tap : Tap
        Who and when.
    lot : str
        Code of the fruiting lot.
    grams : int
        Weight picked. [g]
    flush : int
        Which flush, 1 for the first.
    store : str
        Place in the cold store where they go.
    grown_at : str
        Shelf in the grow room they came from.
    details : mapping, optional
        What else was noted.
    """
    mention = NewMention(lot, "flush", positive("flush", flush), str(grams), grown_at)
    postings = appeared(lot, Account.GROWN, Account.STORE, Measure.GRAM, grams, place=store)
    return tap.entry(
        Kind.PICK,
        postings=postings,
        mentions=(mention,),
        details={"grams": grams, "flush": flush, **(details or {})},
    )


def pack(
    tap: Tap,
    taken: Sequence[Taken],
    *,
    to_place: str = "",
    packages: int = 0,
    promise: str = "",
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Grams in store were packed; with ``to_place`` they stand there from now on."""
    postings: list[NewPosting] = []
    for t in taken:
        if to_place and to_place != t.place:
            postings += moved(t, Account.STORE, Account.STORE, Measure.GRAM, to_place=to_place)
    return tap.entry(
        Kind.PACK,
        postings=tuple(postings),
        mentions=tuple(NewMention(t.lot, "packed", t.quantity, promise, t.place) for t in taken),
        details={"packages": packages, "promise": promise, **(details or {})},
    )


def deliver(
    tap: Tap,
    taken: Sequence[Taken],
    *,
    buyer: str,
    promise: str = "",
    for_day: date | None = None,
    price_cents: int = 0,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Grams were handed to a buyer.

    Parameters
    ----------
    tap : Tap
        Who and when.
    taken : sequence of Taken
        Grams from the store, by lot and place. [g]
    buyer, promise : str
        Codes; a sale without a promise leaves it empty.
    for_day : date, optional
        The day of the promise it answers, if another than the day it happened.
    price_cents : int
        Whole price of the delivery, in hundredths of the farm's currency.
    details : mapping, optional
        What else was noted.
    """
    said = _sale(buyer, promise, for_day, price_cents, details)
    postings = _each(taken, Account.DELIVERED)
    return tap.entry(Kind.DELIVER, postings=postings, mentions=_days(taken), details=said)


def sell(
    tap: Tap,
    taken: Sequence[Taken],
    *,
    buyer: str,
    promise: str = "",
    for_day: date | None = None,
    price_cents: int = 0,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Living units (spawn, blocks) were handed to a buyer; arguments as in :func:`deliver`."""
    postings: list[NewPosting] = []
    for t in taken:
        postings += moved(t, Account.ALIVE, Account.SOLD, Measure.UNIT)
    said = _sale(buyer, promise, for_day, price_cents, details)
    return tap.entry(Kind.SELL, postings=tuple(postings), details=said)


def waste(tap: Tap, taken: Sequence[Taken], *, cause: str = "") -> NewEntry:
    """Picked mushrooms were thrown away (trim, past their time)."""
    postings, said = _each(taken, Account.WASTE), {"cause": cause}
    return tap.entry(Kind.WASTE, postings=postings, mentions=_days(taken), details=said)


def dry(tap: Tap, taken: Sequence[Taken], *, details: Mapping[str, Any] | None = None) -> NewEntry:
    """Picked mushrooms went into the drier; grams are those put in."""
    postings = _each(taken, Account.DRIED)
    return tap.entry(
        Kind.DRY, postings=postings, mentions=_days(taken), details=dict(details or {})
    )


def sell_dried(
    tap: Tap,
    taken: Sequence[Taken],
    *,
    buyer: str,
    dry_grams: int,
    price_cents: int = 0,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Dried mushrooms were handed to a buyer.

    Parameters
    ----------
    tap : Tap
        Who and when.
    taken : sequence of Taken
        What of the weight that went into a drier they are counted as, by lot. [g fresh]
    buyer : str
        Code; empty: none of the buyers.
    dry_grams : int
        Their weight. [g dry]
    price_cents : int
        Whole price, in hundredths of the farm's currency.
    details : mapping, optional
        What else was noted.
    """
    said = _sale(buyer, "", None, price_cents, details)
    said["dry_grams"] = positive("dry_grams", dry_grams)
    postings: list[NewPosting] = []
    for t in taken:
        postings += moved(t, Account.DRIED, Account.DELIVERED, Measure.GRAM)
    return tap.entry(Kind.DELIVER, postings=tuple(postings), details=said)


def order(tap: Tap, what: str, count: int, *, details: Mapping[str, Any] | None = None) -> NewEntry:
    """Spawn or goods were ordered."""
    said = {"what": what, "count": positive("count", count), **(details or {})}
    return tap.entry(Kind.ORDER, details=said)


def _each(taken: Sequence[Taken], account: Account) -> tuple[NewPosting, ...]:
    postings: list[NewPosting] = []
    for t in taken:
        postings += moved(t, Account.STORE, account, Measure.GRAM)
    return tuple(postings)


def _days(taken: Sequence[Taken]) -> tuple[NewMention, ...]:
    """Return of which day's picking grams were, as far as it is known."""
    return tuple(
        NewMention(t.lot, OF_DAY, t.quantity, t.picked_on.isoformat(), t.place)
        for t in taken
        if t.picked_on is not None
    )


def _sale(
    buyer: str,
    promise: str,
    for_day: date | None,
    price_cents: int,
    details: Mapping[str, Any] | None,
) -> dict[str, Any]:
    return {
        "buyer": buyer,
        "promise": promise,
        "for_day": for_day.isoformat() if for_day else "",
        "price_cents": price_cents,
        **(details or {}),
    }
