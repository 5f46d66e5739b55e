"""The opening of a load that was made so early, or so late, that it is for another day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from pinset.chain.in_use import loaded_on
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.services.clock import farm_time, hour_is_known
from pinset.services.day.fitting import clock_of
from pinset.services.jobs.records import PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.loads.opening_hour import Opening, opening_of_cook
from pinset.services.loads.unopened import opening_of


def lay_opening(code: str, load: PlannedJob, at: datetime, book: FarmBook) -> None:
    """Lay an opening so long after its load as the cook takes, where that is for another day.

    That is where the load came a day early, and where nobody is there to open it on its day as
    planned, or somebody is on its day after all. Its hour of one day is told when it is shown.

    Parameters
    ----------
    code : str
        Of the job of the load.
    load : PlannedJob
        That job.
    at : datetime
        When it was loaded.
    book : FarmBook
        The farm.
    """
    opening = opening_of(code)
    loaded = farm_time(at, book.farm.time_zone).replace(tzinfo=None)
    if opening is None or done_count(opening.entries):
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
    found = opening_of_cook(book, steriliser.code, loaded.date(), ended)
    if loaded.date() >= load.day and _is_told_when_shown(found, opening.job.day):
        return
    moved = replace(opening.job, day=found.day, first_day=None, missed_at="")
    job_store.move(opening.row.code, found.day, to_plain(found.given_to(moved)))


def _is_told_when_shown(found: Opening, planned: date) -> bool:
    return found.day == found.loaded >= planned
