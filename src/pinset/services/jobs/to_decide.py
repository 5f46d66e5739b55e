"""The work of deciding on lots whose cook was found too short: hold them back or keep them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from pinset.chain.living import LivingLot
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.stages import noun_of
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobToLay
from pinset.farm.queries.alive import living
from pinset.farm.queries.story import Happened
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_day
from pinset.services.cooks.judge.short_cooks import OfShortCook, cooks_short_of, undecided
from pinset.services.jobs.of_lots import lots_in_words
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import done_count, stored_jobs
from pinset.services.words import first_upper, joined

MINUTES_PER_UNIT = 0.15
"""Minutes to look a unit over; common practice, no source."""


def deciding(
    marked: Iterable[OfShortCook], living_now: Sequence[LivingLot], reader: Reader
) -> tuple[PlannedJob, ...]:
    """Return the work of deciding on what is alive of cooks that were too short, one job a cook.

    ``marked`` is what nobody has decided on yet.
    """
    parts: dict[str, list[LivingLot]] = defaultdict(list)
    for lot in living_now:
        if lot.alive > 0:
            parts[lot.code].append(lot)
    by_cook: dict[str, list[OfShortCook]] = defaultdict(list)
    for each in marked:
        if each.lot in parts:
            by_cook[each.cook].append(each)
    return tuple(_job(cook, lots, parts, reader) for cook, lots in by_cook.items())


def _job(
    cook: str,
    marked: Sequence[OfShortCook],
    parts: dict[str, list[LivingLot]],
    reader: Reader,
) -> PlannedJob:
    lots = [part for each in marked for part in parts[each.lot]]
    units = {code: sum(part.alive for part in parts[code]) for code in dict.fromkeys(_of(marked))}
    count = sum(units.values())
    stages = {lot.stage for lot in lots}
    noun = noun_of(lots[0].stage, count) if len(stages) == 1 else "units"
    room = reader.room_of(lots[0].place)
    below = [each.lot for each in marked if each.through]
    again = next((f". {each.reopened}" for each in marked if each.reopened), "")
    made = f"; {joined(below)} made from what stands in its vessels" if below else ""
    return PlannedJob(
        key=f"decide:{cook}",
        kind=JobKind.DECIDE,
        task=JobKind.DECIDE.value,
        day=reader.today,
        count=count,
        unit="units",
        what=f"{noun} {lots_in_words(lots)}: their cook was too short, hold back or keep",
        room_kind=(room.kind if room else RoomKind.INCUBATION).value,
        detail=f"{first_upper(marked[0].words)}{made}{again}",
        stage=lots[0].stage.value if len(stages) == 1 else "",
        place=lots[0].place,
        room=lots[0].room,
        lots=tuple(LotAmount(code, number, parts[code][0].step) for code, number in units.items()),
        minutes=max(3, round(MINUTES_PER_UNIT * count)),
        why="What lived through a short cook grows beside the spawn and goes into all that is made "
        "from it. Look them over; until somebody decides, the plan counts on them.",
        cautions=("mouldy-units",),
        cook=cook,
    )


def _of(marked: Iterable[OfShortCook]) -> list[str]:
    return [each.lot for each in marked]


def settle_deciding(cooks: Iterable[str], book: FarmBook, now: datetime) -> None:
    """Put the deciding on the lots of these cooks on today's list, or bring it up to date.

    Where nothing is left to decide it is taken off.
    """
    wanted = set(cooks) - {""}
    if not wanted:
        return
    today = farm_day(now, book.farm.time_zone)
    marked = undecided(wanted)
    here = living(today, lots=[each.lot for each in marked])
    jobs = {job.cook: job for job in deciding(marked, here, Reader(book, today))}
    for cook in sorted(wanted):
        _settle(cook, jobs.get(cook), now)


def _settle(cook: str, job: PlannedJob | None, now: datetime) -> None:
    rows = [
        row
        for row in job_store.jobs_by_key(JobKind.DECIDE.value, f"decide:{cook}")
        if not row.is_closed
    ]
    if job is None:
        job_store.withdraw([row.code for row in rows], now)
    elif not rows:
        laid = JobToLay(
            "", job.day, job.kind.value, to_plain(job), "", "", job.count, job.room_kind
        )
        job_store.add([laid])
    else:
        [stored] = stored_jobs(rows[-1:])
        count = job.count + done_count(stored.entries)
        first = from_plain(PlannedJob, rows[-1].body).first_day
        kept = replace(job, count=count, first_day=first)
        job_store.move(rows[-1].code, job.day, to_plain(kept))


def settle_made(lots: Iterable[str], book: FarmBook, now: datetime) -> None:
    """Put lots that were just made with those that wait to be decided on, if a cook is short."""
    settle_deciding([cook for lot in lots for cook in cooks_short_of(lot)], book, now)


def settle_after(undone: Happened, book: FarmBook, now: datetime) -> None:
    """Bring the deciding up to date once an entry that it stands on was taken back.

    Parameters
    ----------
    undone : Happened
        The entry that was just taken back, of whatever kind.
    book : FarmBook
        The farm.
    now : datetime
        The moment.
    """
    if undone.kind == Kind.VERDICT.value:
        settle_deciding([str(undone.details.get("cook", ""))], book, now)
    elif undone.kind == Kind.JUDGE.value:
        lots = {mention.lot for mention in undone.mentions}
        settle_made(lots, book, now)
    else:
        settle_made({parent for parent, *_ in undone.links}, book, now)
