"""From which moment on vessels that are still shut in their steriliser, or warm, may be used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.planning.model.cook_times import is_for_laboratory
from pinset.planning.model.staffed import Staffed
from pinset.services.clock import farm_time, hour_is_known
from pinset.services.day.fitting import NEXT_DAY, clock_of, is_next_day
from pinset.services.jobs.records import PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.loads.opening_hour import will_open
from pinset.services.loads.unopened import openings_of
from pinset.services.loads.vessels import Vessels


def cool_from(vessels: Iterable[Vessels], book: FarmBook, at: datetime) -> dict[str, datetime]:
    """Return when vessels are cool that are not yet, by lot code, by the farm's clock.

    Parameters
    ----------
    vessels : iterable of Vessels
        That stand prepared; those of a cook whose opening nobody was asked for are left out.
    book : FarmBook
        The farm; what was to be opened before now and is not, is opened when somebody is here.
    at : datetime
        Now. Where the hour is not known, vessels that were taken out count as cool.
    """
    vessels = tuple(vessels)
    now = farm_time(at, book.farm.time_zone).replace(tzinfo=None)
    cool: dict[str, datetime] = {}
    for cook, opening in openings_of(vessels):
        hours = timedelta(hours=opening.job.cool_hours)
        opened: datetime | None
        if not done_count(opening.entries):
            opened = _will_open(opening.job, book, now)
        elif hour_is_known():
            happened = max(each.happened_at for each in opening.entries)
            opened = farm_time(happened, book.farm.time_zone).replace(tzinfo=None)
        else:
            continue
        if opened is not None and opened + hours > now:
            cool[cook] = max(cool.get(cook, now), opened + hours)
    return {each.lot.code: cool[each.lot.cook] for each in vessels if each.lot.cook in cool}


def usable_days(
    cool: Mapping[str, datetime], vessels: Iterable[Vessels], book: FarmBook
) -> dict[str, date]:
    """Return the day on which each of these lots may first be inoculated.

    Parameters
    ----------
    cool : mapping of lot code to datetime
        Of :func:`cool_from`.
    vessels : iterable of Vessels
        Those it was asked for: what they are for says who may inoculate them.
    book : FarmBook
        The farm.
    """
    staffed = Staffed(book)
    cooks = {(r.code, step.code): step.cook for r in book.routes for step in r.steps}
    kinds = {each.lot.code: cooks.get((each.lot.route, each.lot.step), "") for each in vessels}
    found = {
        code: staffed.usable_on(
            moment, 0.0, in_laboratory=is_for_laboratory(book, kinds.get(code, ""))
        )
        for code, moment in cool.items()
    }
    return {code: day for code, day in found.items() if day is not None}


def _will_open(job: PlannedJob, book: FarmBook, now: datetime) -> datetime | None:
    at = clock_of(job.fixed_at.removesuffix(NEXT_DAY))
    next_day = is_next_day(job.fixed_at)
    planned = datetime.combine(job.first_day or job.day, at) if at is not None else now
    planned += timedelta(days=next_day)
    return will_open(book, job.steriliser, max(planned, now))
