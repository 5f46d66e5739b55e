"""Which suspects are over: they happened once, long ago, and nothing of theirs still grows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.learning.losses.by_stage import LATELY_DAYS

STANDS_DAYS = 182
"""A lot that was neither made nor looked at for so long keeps no cook or session on the list."""

GOES_ON_DAYS = 364
"""Nor a line, person or shelf, for so long; our own choices."""


def what_goes_on(lots: Iterable[LotHistory], now: datetime) -> frozenset[tuple[Shared, str]]:
    """Return the suspects that somebody can still do something about.

    Parameters
    ----------
    lots : iterable of LotHistory
        Of all lots.
    now : datetime
        The moment of which is spoken.

    Returns
    -------
    frozenset of (Shared, str)
        Lines, people and shelves with lots made or looked at within a year; and of what happens
        once what has lots that still grow and were made or looked at within half a year, or were
        made within eight weeks.
    """
    since = now - timedelta(days=LATELY_DAYS)
    stands, goes_on = (now - timedelta(days=days) for days in (STANDS_DAYS, GOES_ON_DAYS))
    return frozenset(
        (kind, level)
        for lot in lots
        for kind, level in lot.shared.items()
        if lot.last_seen_at >= goes_on
        and (
            kind in GOES_ON or (lot.standing and lot.last_seen_at >= stands) or lot.made_at >= since
        )
    )
