"""One job of the day as people and programs see it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time

from pinset.chain.register import FarmBook
from pinset.farm.glance import Glance
from pinset.farm.queries.seen_bad import SeenBad
from pinset.services import cautions
from pinset.services.book_reader import Reader
from pinset.services.building.task import without
from pinset.services.day.as_it_was_done import Shelves
from pinset.services.day.fitting import Fitted
from pinset.services.day.hanging_on import NAMING, with_what_hangs
from pinset.services.day.lateness import late_cost, spoilt_words, unplaced_cost
from pinset.services.day.lots_meant import lot_use, shelves_in_words
from pinset.services.day.put_off import is_put_off, laid_anew
from pinset.services.day.weights_said import counted
from pinset.services.jobs.records import ACTS, ON_ITS_LOTS, JobKind, LotAmount, PlannedJob
from pinset.services.jobs.seen_contaminated import bad_words
from pinset.services.jobs.state import StoredJob, done_by_lot, state_of
from pinset.services.loads.cooling import with_cooling
from pinset.services.loads.lost_loads import LoadingWords, late_opening_words, loading_words
from pinset.services.loads.vessels_doubted import stop_words
from pinset.services.plans import planning_day
from pinset.services.upkeep.instructions import kind_of_job
from pinset.services.views import JobView


def view_of(
    stored: StoredJob,
    book: FarmBook,
    today: date,
    looks: dict[str, Glance],
    fitted: Fitted,
    since: time | None = None,
    doubted: Mapping[str, str] | None = None,
    reached: Shelves | None = None,
    bad: Mapping[str, SeenBad] | None = None,
) -> JobView:
    """Return a job as people and programs see it.

    Parameters
    ----------
    looks : dict of lot code to Glance
        Of the lots it names.
    fitted : Fitted
        Hours and people by job; may be empty.
    since : datetime.time, optional
        The hour from which today's work was laid.
    doubted : mapping of lot code to words, optional
        Vessels that are not to be used without a reason.
    reached : mapping of job and lot code to shelves, optional
        Where moves that are done carried to.
    bad : mapping of lot code to SeenBad, optional
        What was seen contaminated and stands of the lots that jobs use.
    """
    reached, is_away = reached or {}, is_put_off(stored, today)
    job, row = laid_anew(stored.job) if is_away else stored.job, stored.row
    late = max(0, (today - (job.first_day or job.day)).days)
    reader = Reader(book, today)
    if late and not row.is_closed and job.kind in NAMING:
        newest = planning_day.latest()
        job = with_what_hangs(job, newest.plan if newest else None, reader)
    said = counted(job, book.farm.units, stored.entries)
    spoils, cost, loading = job.spoils, "", LoadingWords()
    if not row.is_closed:
        cost = late_cost(job, late, max(job.day, today))
        if job.kind is JobKind.COOK and not is_away:
            loading = loading_words(job, book, today)
            spoils, cost = loading.if_left or spoils, loading.too_late or cost
        elif job.kind is JobKind.OPEN:
            cost = late_opening_words(stored, late, book, today) or cost
    if not cost and since is not None and row.code in fitted.unplaced:
        cost = unplaced_cost(job, today)
    hangs = "" if row.is_closed or is_away else spoilt_words(job, max(job.day, today))
    lots = _lots_left(stored)
    shelves = "" if row.is_closed else shelves_in_words(lots, looks)
    return JobView(
        job=row.code,
        kind=job.kind.value,
        task=job.task,
        day=max(job.day, today) if not row.is_closed else job.day,
        count=said.count,
        unit=said.unit,
        what=said.what,
        detail="; ".join(
            part
            for part in (
                with_cooling(stored, reader),
                "" if cost else hangs,
                loading.by,
                shelves,
            )
            if part
        ),
        stage=job.stage,
        step=job.step,
        variety=job.variety_name,
        variety_code=job.variety,
        place=job.place,
        room_kind=job.room_kind,
        from_lots=tuple(
            lot_use(lot, looks, reader, today, reached.get((row.code, lot.lot), ())) for lot in lots
        ),
        minutes=job.minutes,
        due=job.due,
        at=job.fixed_at or ("" if is_away else fitted.at.get(row.code, "")),
        fixed=bool(job.fixed_at),
        suits=fitted.who.get(row.code, ""),
        why=job.why,
        serves=job.serves,
        spoils=spoils or (f"{hangs}." if hangs else ""),
        late_days=late if not row.is_closed else 0,
        late_cost=cost,
        state=state_of(stored, today),
        done_count=said.done_count,
        done_said=said.done_said,
        claimed_by=row.claimed_name,
        cautions=cautions.sentences(job.cautions),
        act=ACTS[job.kind],
        last_entry=stored.entries[-1].client_id if stored.entries else "",
        link=_link(job),
        chore=job.chore,
        instructed=kind_of_job(job),
        stop="" if row.is_closed else _stop(job, lots, doubted or {}, bad or {}),
    )


def _stop(
    job: PlannedJob,
    lots: tuple[LotAmount, ...],
    doubted: Mapping[str, str],
    bad: Mapping[str, SeenBad],
) -> str:
    """Return why a job is not to be done as it was laid out; nothing if it may be."""
    said = (stop_words(job, doubted), bad_words(job, lots, bad))
    return " ".join(each for each in said if each)


def _link(job: PlannedJob) -> str:
    """Return the page on which a job is done, if that is not its own form."""
    if job.kind is JobKind.JUDGE:
        return f"/heat/cook/{job.cook}/"
    if job.kind is JobKind.CHORE and (job.reads or job.mends):
        return f"/books/upkeep/chore/{job.chore}/"
    if job.kind is JobKind.CULTURE:
        return f"/books/cultures/{job.lots[0].lot}/"
    return f"/heat/cook/{job.cook}/#made" if job.kind is JobKind.DECIDE else ""


def _lots_left(stored: StoredJob) -> tuple[LotAmount, ...]:
    """Return the lots of a job; of one that is part done, what is left of each."""
    job = stored.job
    if stored.row.is_closed or job.kind not in ON_ITS_LOTS:
        return job.lots
    return without(job.lots, done_by_lot(stored))
