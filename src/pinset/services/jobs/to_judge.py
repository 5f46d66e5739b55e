"""The work of judging a cook: asked for from when it was opened until there is a verdict."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.stages import Stage
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobToLay
from pinset.farm.queries.alive import prepared
from pinset.farm.queries.cooks import cook_entries, entries_of_cooks, standing_verdicts
from pinset.farm.queries.story import Happened
from pinset.farm.trade import CookVerdict
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock, farm_time
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.promises.late_deliveries import next_working_day
from pinset.services.words import plural

ASKED_DAYS = 3
"""A cook whose vessels are all gone is still asked about during this many days."""

MOST_COOKS = 100
DROPPED_DAYS = 60  # longer than any vessel stands prepared
JUDGING_MINUTES = 5  # common practice, no source


@dataclass(frozen=True, slots=True)
class Cooked:
    """A cook nobody has judged."""

    code: str
    at: datetime  # when it was loaded, by the farm's clock
    steriliser: str
    kind: str
    feeds: tuple[LotAmount, ...]  # its prepared lots that stand, by the step they are for
    units: int
    jobs: tuple[str, ...] = ()  # codes of the jobs that loaded it


def cooks_to_judge(
    book: FarmBook, today: date, since: time | None, known: Collection[str]
) -> tuple[Cooked, ...]:
    """Return the cooks that were opened and have no verdict, the oldest first.

    A cook whose opening is still on the list is not asked about; where no opening is, it counts as
    opened once it is over.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and the day.
    since : time or None
        The hour it is now; None before work begins.
    known : collection of str
        Codes of cooks that are asked about already, since somebody opened them.
    """
    zone = book.farm.time_zone
    _, newest = cook_entries(
        at_clock(today - timedelta(days=ASKED_DAYS), "00:00", zone), limit=MOST_COOKS
    )
    waiting = {lot.cook for lot in prepared()} - {""}
    codes = {str(entry.details.get("cook", "")) for entry in newest} | waiting
    hours = {(s.code, kind.code): kind.hours for s in book.sterilisers for kind in s.cooks}
    found = []
    for each in _unjudged(codes, zone):
        length = timedelta(hours=hours.get((each.steriliser, each.kind), 0.0))
        is_over = since is not None and (each.at + length).replace(tzinfo=None) <= (
            datetime.combine(today, since)
        )
        if each.at.date() < today or is_over or each.code in known:
            found.append(each)
    dropped = _dropped(at_clock(today - timedelta(days=DROPPED_DAYS), "00:00", zone))
    return tuple(
        each for each in found if each.code not in dropped and not _is_to_be_opened(each.jobs)
    )


def _is_to_be_opened(loads: Iterable[str]) -> bool:
    """Say whether the opening of what jobs loaded is asked for, and nobody has begun with it."""
    rows = [row for code in loads if (row := job_store.job_by_code(code)) is not None]
    openings = [
        opening
        for key in {str(row.body["key"]) for row in rows}
        for opening in job_store.jobs_by_key(JobKind.OPEN.value, key.replace("cook:", "open:", 1))
    ]
    begun = {
        each.job for each in job_store.entries_of([row.code for row in openings]) if each.count
    }
    return any(not row.is_closed and row.code not in begun for row in openings)


def _dropped(since: datetime) -> frozenset[str]:
    """Return the cooks that somebody said are not to be judged at all."""
    rows = job_store.closed_since(since, JobKind.JUDGE.value)
    answers = job_store.entries_of([row.code for row in rows])
    dropped = {answer.job for answer in answers if answer.kind is Kind.DROP}
    return frozenset(str(row.body["cook"]) for row in rows if row.code in dropped)


def _unjudged(codes: Iterable[str], zone: str) -> list[Cooked]:
    wanted = set(codes) - {""}
    judged = standing_verdicts(wanted)
    told = {code for code, said in judged.items() if said.verdict != CookVerdict.UNJUDGED}
    entries: dict[str, list[Happened]] = {}
    for entry in entries_of_cooks(wanted - told):
        entries.setdefault(str(entry.details["cook"]), []).append(entry)
    standing: dict[str, list[LotAmount]] = {}
    for lot in prepared():
        standing.setdefault(lot.cook, []).append(
            LotAmount(lot.code, lot.alive, lot.step, lot.route)
        )
    return [
        Cooked(
            code=code,
            at=farm_time(parts[0].happened_at, zone),
            steriliser=str(parts[0].details.get("steriliser", "")),
            kind=str(parts[0].details.get("cook_kind", "")),
            feeds=tuple(standing.get(code, ())),
            units=-sum(part.total("made") for part in parts),
            jobs=tuple(dict.fromkeys(part.job for part in parts if part.job)),
        )
        for code, parts in entries.items()
    ]


def judging(cooked: Sequence[Cooked], book: FarmBook, today: date) -> tuple[PlannedJob, ...]:
    """Return the job of judging each of these cooks.

    It may be done from today on, and is late only after the next working day: what is opened in
    the evening is judged the next morning, before anything is inoculated.
    """
    names = {steriliser.code: steriliser.name for steriliser in book.sterilisers}
    by = next_working_day(today + timedelta(days=1), Reader(book, today))
    return tuple(
        _job(each, names.get(each.steriliser, each.steriliser), today, by) for each in cooked
    )


def _job(cooked: Cooked, steriliser: str, today: date, by: date) -> PlannedJob:
    left = sum(feed.units for feed in cooked.feeds)
    return PlannedJob(
        key=f"judge:{cooked.code}",
        kind=JobKind.JUDGE,
        task="judge",
        day=today,
        first_day=by,
        count=1,
        unit="cooks",
        what=f"cook to judge, {cooked.code}",
        room_kind=RoomKind.STERILISER.value,  # paper work: anybody may do it
        detail="Load the logger's file, or write down what the gauge and the clock read",
        stage=Stage.PREPARED.value,
        step=cooked.feeds[0].step if cooked.feeds else "",
        place=steriliser,
        minutes=JUDGING_MINUTES,
        due="before the first inoculation from it" if left else "",
        why="Vessels of a cook that passed are taken first; others only with a reason.",
        steriliser=cooked.steriliser,
        cook_kind=cooked.kind,
        feeds=cooked.feeds,
        cook=cooked.code,
        stake=plural(left, "unit") if left else "",
        cautions=("not-proof",),
    )


def take_off_with_its_cook(undone: Happened, now: datetime) -> None:
    """Take the judging off the list once nothing of its cook stands in the books any more.

    Parameters
    ----------
    undone : Happened
        The entry that was just taken back, of whatever kind.
    now : datetime
        The moment.
    """
    cook = str(undone.details.get("cook", ""))
    if undone.kind != Kind.COOK.value or not cook or entries_of_cooks({cook}):
        return
    job = job_store.judging_of(cook)
    if job is not None:
        job_store.withdraw([job.code], now)


def take_off_with_its_opening(undone: Happened, now: datetime) -> None:
    """Take the judging off the list where the opening of its cook is taken back.

    Parameters
    ----------
    undone : Happened
        The entry that was just taken back, of whatever kind.
    now : datetime
        The moment.
    """
    row = job_store.job_by_code(undone.job) if undone.job else None
    if row is None or row.kind != JobKind.OPEN.value:
        return
    key = str(row.body["key"]).replace("open:", "cook:", 1)
    loads = job_store.jobs_by_key(JobKind.COOK.value, key)
    if not _is_to_be_opened([load.code for load in loads]):
        return
    entries = job_store.entries_of([load.code for load in loads])
    jobs = [
        job_store.judging_of(code)
        for code in {str(entry.details.get("cook", "")) for entry in entries} - {""}
    ]
    job_store.withdraw([job.code for job in jobs if job is not None and not job.is_closed], now)


def lay_after_opening(opened: PlannedJob, book: FarmBook, today: date) -> None:
    """Put the judging of what was just opened on today's list, if it is not there yet."""
    loads = job_store.jobs_by_key(JobKind.COOK.value, opened.key.replace("open:", "cook:", 1))
    entries = job_store.entries_of([row.code for row in loads])
    codes = {str(entry.details.get("cook", "")) for entry in entries}
    cooked = [
        each
        for each in _unjudged(codes, book.farm.time_zone)
        if (job := job_store.judging_of(each.code)) is None or job.is_withdrawn
    ]
    if cooked:
        job_store.add(
            [
                JobToLay(
                    "",
                    job.day,
                    job.kind.value,
                    to_plain(job),
                    "",
                    job.step,
                    job.count,
                    job.room_kind,
                )
                for job in judging(cooked, book, today)
            ]
        )
