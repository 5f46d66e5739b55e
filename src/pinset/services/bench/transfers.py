"""Writing a transfer down that is made in a session: by the job that asks for it, or without one.

The entry is the one that Today writes for the same work, with all that is asked about there; the
session adds its stamp: code, turn, minutes open, settle plates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.chain.register import RoomKind
from pinset.chain.step_nouns import step_noun
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, whereabouts
from pinset.farm.entries import Kind
from pinset.farm.glance import glance
from pinset.farm.queries import story
from pinset.farm.trade import Tap, with_units
from pinset.services.answers import recording
from pinset.services.answers.known_taps import as_said
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.bench.records import BenchSession
from pinset.services.bench.sessions import session
from pinset.services.book_reader import Reader
from pinset.services.building import Answer, AtBench, build_entry
from pinset.services.building.parents_opened import NOTHING
from pinset.services.clock import farm_time, now_utc
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.to_decide import settle_made
from pinset.services.loads.despite import Despite, despite_in_words
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import joined

MOST_OPEN_MIN = 600
LEAST_OPEN_MIN = 1


@dataclass(frozen=True, slots=True)
class Given:
    """What one tap says was made of what."""

    session: str
    parents: tuple[tuple[str, int], ...]  # 0 units: of one that was open already
    makes: int
    job: str = ""  # that it answers
    step: str = ""  # what is made, where no job asks for it
    vessels: tuple[str, ...] = ()  # prepared lots that were filled
    amounts: Mapping[str, int] = field(default_factory=dict)  # of units that stay alive, by lot
    units: Mapping[str, tuple[int, ...]] = field(default_factory=dict)  # labels read, by lot
    minutes_open: int | None = None  # None: since `since`, else since the last thing done
    since: datetime | None = None  # when its first label was scanned
    reason: str = ""
    despite: tuple[Despite, ...] = ()  # why vessels of cooks that did not pass are used
    held: tuple[str, ...] | None = None  # lots held back that are named; None: a reason does


def transfer(given: Given, *, person: str, client_id: str, at: datetime | None = None,
             note: str = "") -> Done:  # fmt: skip
    """Write a transfer of a session down.

    Raises
    ------
    InputError, RefusedError
        If there is no such session, a number cannot be, or something speaks against it and no
        reason is given: another variety, a parent held back, too old, not cleared or gone, a
        generation too many; or vessels are of a cook that failed or that nobody judged, and
        nothing is said of that cook.
    """
    now = now_utc()
    book, today = planning_day.farm_book(now)
    refuse_ahead(at, now, book)
    reader = Reader(book, today)
    answer = _answer(given)
    said = as_said(answer, finish=False)
    said |= {} if given.job else {"makes": given.step}
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _is_known(client_id, given, said):
            return Done(client_id, True, "This was recorded already.", ())
        found = session(given.session, now)
        moment = at or now
        answer = replace(answer, bench=_stamp(given, found, moment))
        if given.job:
            done = recording.transferred(
                given.job, answer, person=person, client_id=client_id, at=at, note=note,
                units=given.units,
            )  # fmt: skip
        else:
            tap = Tap(client_id, moment, person, note=written("note", note, LONGEST_NOTE))
            done = _without_job(given, answer, tap, said, reader, now)
    return replace(done, findings=(*done.findings, *_after(found, person, moment, reader)))


def is_job(code: str) -> bool:
    """Say whether a code is that of a job, rather than of a step."""
    return job_store.job_by_code(code.upper()) is not None


def _answer(given: Given) -> Answer:
    lots: dict[str, int] = {}
    for lot, units in given.parents:
        if units < 0:
            raise InputError("count", units, f"0 or more units of {lot}")
        lots[lot] = lots.get(lot, 0) + units
    if not lots:
        raise InputError("from", "", "at least one parent: scan its label")
    if given.minutes_open is not None and not 0 <= given.minutes_open <= MOST_OPEN_MIN:
        raise InputError("minutes open", given.minutes_open, f"0 to {MOST_OPEN_MIN}")
    return Answer(
        count=given.makes,
        lots=tuple((lot, units) for lot, units in lots.items() if units),
        opened=tuple(lot for lot, units in lots.items() if not units),
        amounts=tuple(given.amounts.items()),
        vessels=given.vessels,
        reason=written("reason", given.reason, LONGEST_REASON),
        despite=given.despite,
        held=given.held,
    )


def _is_known(client_id: str, given: Given, said: Mapping[str, Any]) -> bool:
    known = story.entry(client_id)
    if known is None:
        return False
    if known.kind != Kind.INOCULATE.value or known.details.get("session") != given.session:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    refuse_another(known.details, said)
    return True


def _stamp(given: Given, found: BenchSession, at: datetime) -> AtBench:
    minutes = given.minutes_open
    if minutes is None:
        before = [each.at for each in found.transfers if each.at <= at]
        since = given.since or max(before, default=found.begun)
        minutes = round((at - since).total_seconds() / 60)
        minutes = min(MOST_OPEN_MIN, max(LEAST_OPEN_MIN, minutes))
    turn = max((each.turn for each in found.transfers), default=0) + 1
    plates = tuple((each.where, each.count) for each in found.plates)
    return AtBench(found.session, turn, minutes, plates)


def _without_job(
    given: Given,
    answer: Answer,
    tap: Tap,
    said: Mapping[str, Any],
    reader: Reader,
    now: datetime,
) -> Done:
    job = _as_if_laid(given, reader)
    entry = build_entry(
        tap,
        job,
        answer,
        left=given.makes,
        before=NOTHING,
        done_of={},
        book=reader.book,
        today=reader.today,
    )
    entry = with_units(asked_about_when(entry, now, reader.book, answer.reason), given.units)
    keep_answer(entry, said)
    [recorded] = door.record([entry], now=now)
    lots = tuple(lot.code for lot in entry.lots)
    settle_made(lots, reader.book, now)
    of = joined([f"{units} of {lot}" if units else f"the open one of {lot}"
                 for lot, units in given.parents])  # fmt: skip
    return Done(
        entry=entry.client_id,
        already=recorded.already,
        sentence=f"{given.makes} {job.what} from {of}: lot {joined(lots)}.",
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *written_although(entry.details),
            *despite_in_words(entry.details),
        ),
        new_lots=lots,
    )


def _as_if_laid(given: Given, reader: Reader) -> PlannedJob:
    """Return the job that would have asked for it.

    Raises
    ------
    RefusedError
        If a parent is unknown, or nothing like that is made of it.
    """
    [first, *_] = given.parents
    seen = glance([first[0]]).get(first[0])
    if seen is None or not seen.variety:
        raise RefusedError(
            f"Lot {first[0]} is no parent: nothing living is known of it.",
            "Scan the label of what is used first, then the vessels it goes into.",
        )
    step = reader.step(seen.variety, given.step)
    name = reader.name(seen.variety)
    return PlannedJob(
        key="",
        kind=JobKind.TRANSFER,
        task=JobKind.TRANSFER.value,
        day=reader.today,
        count=given.makes,
        unit="units",
        what=f"{step_noun(step, given.makes)} of {name}",
        room_kind=RoomKind.LABORATORY.value,
        stage=step.stage.value,
        step=step.code,
        variety=seen.variety,
        variety_name=name,
        lots=tuple(LotAmount(lot, units) for lot, units in given.parents),
    )


def _after(found: BenchSession, person: str, at: datetime, reader: Reader) -> Sequence[str]:
    """Return what is said of a transfer that does not fit its session; it is kept all the same."""
    zone, said = reader.book.farm.time_zone, []
    if found.ended is not None and at > found.ended:
        said.append(
            f"The session is said to have ended at {farm_time(found.ended, zone):%H:%M}, before "
            "this. It is kept as it was said."
        )
    if person not in {each.person for each in found.people}:
        said.append("You have not ticked the list of this session yet.")
    return said
