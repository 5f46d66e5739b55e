"""The opening of a load that was made on a day before the one it was planned for."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from pinset.chain.in_use import loaded_on
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.services.clock import farm_time, hour_is_known
from pinset.services.day.fitting import NEXT_DAY, clock_of
from pinset.services.jobs.records import PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.loads.opening_hour import opening_hour
from pinset.services.loads.unopened import opening_of


def bring_opening_forward(code: str, load: PlannedJob, at: datetime, book: FarmBook) -> None:
    """Lay an opening so long after its load as the cook takes, where the load came a day early.

    Parameters
    ----------
    code : str
        Of the job of the load.
    load : PlannedJob
        That job; where it was loaded on its day, or later, nothing is changed.
    at : datetime
        When it was loaded.
    book : FarmBook
        The farm.
    """
    opening = opening_of(code)
    loaded = farm_time(at, book.farm.time_zone).replace(tzinfo=None)
    if opening is None or done_count(opening.entries) or loaded.date() >= load.day:
        return
    steriliser = next((s for s in book.sterilisers if s.code == load.steriliser), None)
    cooks = steriliser.cooks if steriliser is not None else ()
    kind = next((kind for kind in cooks if kind.code == load.cook_kind), None)
    if steriliser is None or kind is None:
        return
    own = loaded_on(book, steriliser, loaded.date()) or steriliser
    usual = clock_of(own.load_at)
    if not hour_is_known() and usual is not None:
        loaded = datetime.combine(loaded.date(), usual)
    ended = loaded + timedelta(hours=kind.hours)
    opens = opening_hour(book, steriliser.code, loaded.date(), ended)
    day = max(loaded.date(), opens.date() - timedelta(days=1))
    hour = f"{opens:%H:%M}{NEXT_DAY if opens.date() > day else ''}"
    moved = replace(
        opening.job, day=day, first_day=None, fixed_at=hour, due=f"after {hour}", missed_at=""
    )
    job_store.move(opening.row.code, day, to_plain(moved))
