"""Which suspects are over: they happened once, long ago, and nothing of theirs still grows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.learning.losses.by_stage import LATELY_DAYS


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
        Lines, people and shelves; and of what happens once what has lots that still grow, or were
        made within eight weeks.
    """
    since = now - timedelta(days=LATELY_DAYS)
    return frozenset(
        (kind, level)
        for lot in lots
        for kind, level in lot.shared.items()
        if kind in GOES_ON or lot.standing or lot.made_at >= since
    )
