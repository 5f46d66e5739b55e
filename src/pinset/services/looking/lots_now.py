"""The step a lot is in now: where most of it stands, or the one it was made in."""

from __future__ import annotations

from datetime import date

from pinset.chain.register import FarmBook
from pinset.farm.queries.alive import living
from pinset.farm.queries.lots import LotRow
from pinset.services.clock import farm_day, now_utc


def step_now(row: LotRow, book: FarmBook, today: date | None = None) -> str:
    """Return the code of the step in which most units of a lot are."""
    day = today or farm_day(now_utc(), book.farm.time_zone)
    parts = living(day, lots=[row.code])
    return max(parts, key=lambda part: part.alive).step if parts else row.step
