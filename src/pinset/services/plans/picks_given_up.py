"""Picks that are not to be done at all: what was ripe by then is not waited for any more."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.planning.unpicked import STANDS_DAYS
from pinset.services.clock import at_clock
from pinset.services.jobs.records import JobKind


def with_picks_given_up(
    lots: Iterable[LivingLot], book: FarmBook, today: date
) -> tuple[LivingLot, ...]:
    """Return the lots with the last day whose pick was dropped, as far as it could hang still."""
    begin = at_clock(today - timedelta(days=STANDS_DAYS), "00:00", book.farm.time_zone)
    rows = {row.code: row for row in job_store.closed_since(begin, JobKind.PICK.value)}
    dropped: dict[str, date] = {}
    for entry in job_store.entries_of(rows):
        if entry.kind is Kind.DROP:
            row = rows[entry.job]
            for lot in row.body.get("lots", ()):
                code = str(lot["lot"])
                dropped[code] = max(row.day, dropped.get(code, row.day))
    return tuple(
        replace(lot, given_up_on=dropped[lot.code]) if lot.code in dropped else lot for lot in lots
    )
