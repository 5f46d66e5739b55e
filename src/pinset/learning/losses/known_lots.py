"""Lots of which enough is known to hold them against the usual, in the order they became so."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from pinset.chain.histories import LotHistory, Shared
from pinset.learning.losses.told import Told, Work

SHOWN_ENOUGH = 0.5
"""A lot counts from when half of what will show would have shown, or from its first find; common
practice, no source."""

Rows = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class KnownLots:
    """What is known of each lot, and since when; arrays of shape (lots,)."""

    lots: tuple[LotHistory, ...]
    found: Rows
    units: Rows  # in so far as it would have shown
    work: Rows  # position in `works`
    works: tuple[Work, ...]
    at: tuple[datetime, ...]

    @property
    def years(self) -> float:
        """From the first to the last, a day at least."""
        if not self.at:
            return 0.0
        return max((self.at[-1] - self.at[0]) / timedelta(days=365), 1.0 / 365.0)


def known_lots(told: Told) -> KnownLots:
    """Return the lots of which at least half would have shown, or something was found."""
    rows = []
    for lot in told.lots:
        shown = told.showing[lot.stage]
        known_at = None
        for each in lot.seen:
            if each.found or float(shown.shown_by(each.until_days)) >= SHOWN_ENOUGH:
                known_at = each.until_days
                break
        if known_at is None:
            continue
        by_now = float(shown.shown_by(lot.last_seen_days))
        before = min((each.after_days for each in lot.seen), default=0.0)
        seen = max(by_now - float(shown.shown_by(before)), 1e-6)
        units = max(lot.found, round(lot.units * seen))
        if units > 0:
            rows.append((lot.made_at + timedelta(days=known_at), lot.lot, lot, units))
    rows.sort(key=lambda row: row[:2])
    works = tuple(sorted({(lot.variety, lot.step) for _, _, lot, _ in rows}))
    numbers = {work: at for at, work in enumerate(works)}
    return KnownLots(
        lots=tuple(row[2] for row in rows),
        found=np.array([row[2].found for row in rows], dtype=np.int64),
        units=np.array([row[3] for row in rows], dtype=np.int64),
        work=np.array([numbers[row[2].variety, row[2].step] for row in rows], dtype=np.int64),
        works=works,
        at=tuple(row[0] for row in rows),
    )


def by_level(known: KnownLots, kinds: Sequence[Shared]) -> dict[tuple[str, str], Rows]:
    """Return the positions of the lots of every level of some kinds."""
    found: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for at, lot in enumerate(known.lots):
        for kind in kinds:
            if kind in lot.shared:
                found[kind.value, lot.shared[kind]].append(at)
    return {level: np.array(rows, dtype=np.int64) for level, rows in found.items()}


def by_round(known: KnownLots, rows: Rows) -> list[Rows]:
    """Return lots by the bench session they were made in, or by day and step, in their order.

    Lots of one session are no independent witnesses: they are counted as one.
    """
    found: dict[tuple[object, ...], list[int]] = {}
    for at in rows:
        lot = known.lots[at]
        session = lot.shared.get(Shared.SESSION)
        key = (session,) if session else (lot.made_at.date(), lot.variety, lot.step)
        found.setdefault(key, []).append(int(at))
    return [np.array(each, dtype=np.int64) for each in found.values()]
