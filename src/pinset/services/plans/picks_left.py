"""Picks that left something hanging by what a person said: done in part, or not at all.

The rest of a pick that was done in part still hangs; what was ripe on the day of one that is not to
be done at all is not waited for any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry, JobRow
from pinset.services.answers.same_answer import ANSWER
from pinset.services.jobs.records import JobKind

FLUSH_DAYS = 14
"""What was said of a pick counts for so many days: no flush is picked over for longer. Our own
choice. [d]"""


@dataclass(slots=True)
class _Left:
    """What was said so far of the picks of lots, by lot code."""

    dropped: dict[str, date] = field(default_factory=dict)  # the last day dropped
    parts: dict[str, tuple[date, str]] = field(default_factory=dict)  # the last part, and its job

    def tell(self, entry: JobEntry, row: JobRow, day: date) -> None:
        """Take in the next entry that answers a pick."""
        if entry.kind is Kind.DROP:
            for lot in _asked(row):
                self.dropped[lot] = max(row.day, self.dropped.get(lot, row.day))
        elif entry.kind is Kind.PICK:
            said: Mapping[str, Any] = entry.details.get(ANSWER) or {}
            lots = frozenset(str(lot).upper() for lot in said.get("lots") or _asked(row))
            if said.get("how") == "part":
                for lot in lots:
                    self.parts[lot] = max((day, row.code), self.parts.get(lot, (day, "")))
            else:  # that pick is over, also of lots named before
                self.parts = {
                    lot: (when, job)
                    for lot, (when, job) in self.parts.items()
                    if job != row.code and (lot not in lots or when > day)
                }

    def of(self, lot: LivingLot) -> LivingLot:
        """Return a lot with what was said of its picks."""
        day, _ = self.parts.get(lot.code, (None, ""))
        return replace(lot, part_picked_on=day, given_up_on=self.dropped.get(lot.code))


def _asked(row: JobRow) -> list[str]:
    """Return the lots that a job asks for."""
    return [str(lot["lot"]) for lot in row.body.get("lots", ())]


def with_picks_left(
    lots: Iterable[LivingLot], book: FarmBook, today: date
) -> tuple[LivingLot, ...]:
    """Return the lots with the last day of a pick in part, and of one that was dropped."""
    laid = job_store.laid_since(today - timedelta(days=FLUSH_DAYS), JobKind.PICK.value)
    rows = {row.code: row for row in laid}
    zone, left = ZoneInfo(book.farm.time_zone), _Left()
    for entry in job_store.entries_of(rows):
        left.tell(entry, rows[entry.job], entry.happened_at.astimezone(zone).date())
    said = left.dropped.keys() | left.parts.keys()
    return tuple(left.of(lot) if lot.code in said else lot for lot in lots)
