"""One tap on lots in hand: what it says of all of them is written down together, once.

Where jobs of today ask for it, each is answered by its own entry; the rest is one entry more. All
of a tap is written in one transaction, and the first entry carries the tap's own id, so that the
same tap sent again is known by it, whatever was done since.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.errors import RefusedError
from pinset.farm import door, job_store, whereabouts
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobRow
from pinset.farm.queries import story
from pinset.farm.queries.alive import living
from pinset.farm.trade import Tap, with_units
from pinset.services.answers import off_plan, recording
from pinset.services.answers.same_answer import keep_answer
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.cooks.judge.short_cooks import cooks_short_of
from pinset.services.floor.plain_entries import plain_entry
from pinset.services.floor.records import Deed, WrittenDown
from pinset.services.floor.tap_words import sentence_of
from pinset.services.floor.taps import By, Saying, refuse_another, refuse_numbers
from pinset.services.jobs.to_decide import settle_deciding
from pinset.services.looking.causes import cause_of, warned_of
from pinset.services.plans import planning_day
from pinset.services.store.too_cold import dies_there
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done


def write_down(
    saying: Saying, *, person: str, client_id: str, at: datetime | None = None, note: str = ""
) -> WrittenDown:
    """Write down what one tap says of lots in hand; all of it, or nothing.

    Parameters
    ----------
    saying : Saying
        What was done, to which lots.
    person, client_id : str
        Who tapped, and the random id of the tap, 32 hexadecimal signs.
    at : datetime, optional
        When it happened; now if not given.
    note : str
        Free text, kept with the first entry.

    Raises
    ------
    InputError, RefusedError
        If a number cannot be, a job is finished, or something speaks against it and no reason is
        given. Nothing is written then.
    """
    refuse_numbers(saying)
    by = By(person, client_id, at, note)
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        known = story.entry(client_id)
        if known is not None:
            refuse_another(known, saying)
            return WrittenDown((client_id,), True, "This was recorded already.", ())
        return _written(saying, by)


def _written(saying: Saying, by: By) -> WrittenDown:
    now = now_utc()
    book, today = planning_day.farm_book(now)
    reader = Reader(book, today)
    refuse_ahead(by.at, now, book)
    done: list[Done] = []
    left = saying.lots
    held: list[str] = []
    for row in _rows(saying.jobs):
        own = _of_job(saying, row, left)
        if own:
            if not row.is_closed and row.claimed_by not in {"", by.person}:
                held.append(row.claimed_name)
            done.append(_answered(saying, row, own, by, len(done)))
            left = {lot: units for lot, units in left.items() if lot not in own}
    if left and saying.deed is Deed.PICK:
        [(lot, _)] = left.items()
        done.append(_picked(saying, lot, by))
    elif left:
        done.append(_without_job(saying, left, by, len(done), reader, now))
    findings = [finding for each in done for finding in each.findings]
    findings += [f"{name} has that job in hand: say that it is done." for name in held]
    return WrittenDown(
        entries=tuple(each.entry for each in done),
        already=False,
        sentence=sentence_of(saying, done, reader.book.farm.units),
        findings=tuple(dict.fromkeys(findings)),
        new_lots=tuple(lot for each in done for lot in each.new_lots),
    )


def _rows(jobs: Sequence[str]) -> Iterator[JobRow]:
    """Yield the stored jobs a tap answers, each as it stands when the ones before are answered."""
    for job in jobs:
        row = job_store.job_by_code(job)
        if row is None:
            raise RefusedError(f"There is no job {job}.", "Scan the lot again.")
        yield row


def _of_job(saying: Saying, row: JobRow, left: Mapping[str, int]) -> dict[str, int]:
    """Return the lots, of those not said of yet, that a job asks something of."""
    if saying.deed is Deed.USE:
        return dict(left)
    named = _laid(row)
    return {lot: units for lot, units in left.items() if lot in named}


def _laid(row: JobRow) -> dict[str, int]:
    """Return the units of each lot that a job was laid out for."""
    units: dict[str, int] = {}
    for each in row.body.get("lots", ()):
        units[str(each["lot"])] = units.get(str(each["lot"]), 0) + int(each["units"])
    return units


def _answered(saying: Saying, row: JobRow, lots: Mapping[str, int], by: By, number: int) -> Done:
    """Answer one job: wholly where nothing of it is left, else in part."""
    common: dict[str, Any] = {
        "person": by.person,
        "client_id": by.id_of(number),
        "at": by.at,
        "note": "" if number else by.note,
        "reason": saying.reason,
        "units": saying.units,
    }
    laid = _laid(row)
    if saying.deed is Deed.PICK:
        [lot] = lots
        record = recording.done if set(laid) == {lot} else recording.part_done
        return record(row, grams=saying.grams, lots=((lot, saying.grams or 0),), **common)
    pairs = tuple((lot, units) for lot, units in lots.items() if units)
    common["shelves"] = tuple(each for each in saying.shelves if each[0] in lots)
    if saying.deed is Deed.USE:
        return recording.part_done(
            row, count=saying.makes, lots=pairs, despite=saying.despite, **common
        )
    is_all = set(laid) <= set(lots) and (
        all(lots[lot] >= units for lot, units in laid.items()) or _nothing_else_stands(lots)
    )
    record = recording.done if is_all else recording.part_done
    return record(row, lots=pairs, **common)


def _nothing_else_stands(lots: Mapping[str, int]) -> bool:
    """Say whether all units alive of these lots are meant, so that nothing of a job can be left."""
    standing = whereabouts.units_of(lots)
    return all(
        units >= sum(each.quantity for each in standing.get(lot, ())) for lot, units in lots.items()
    )


def _picked(saying: Saying, lot: str, by: By) -> Done:
    return off_plan.pick(
        lot,
        saying.grams or 0,
        person=by.person,
        client_id=by.client_id,
        at=by.at,
        note=by.note,
        reason=saying.reason,
        units=saying.units.get(lot, ()),
    )


def _without_job(
    saying: Saying,
    lots: Mapping[str, int],
    by: By,
    number: int,
    reader: Reader,
    now: datetime,
) -> Done:
    """Write down what no job asks for, of all lots that are left, in one entry."""
    choice = written("choice", saying.choice, LONGEST_REASON)
    reason = written("reason", saying.reason, LONGEST_REASON)
    tap = Tap(by.id_of(number), by.at or now, by.person, note="" if number else by.note)
    is_carried = saying.deed is Deed.CARRY
    here = living(reader.today, lots=list(lots)) if is_carried else ()
    shelves = tuple(each for each in saying.shelves if each[0] in lots)
    entry = plain_entry(saying.deed, tap, lots, choice, reason, reader, shelves)
    entry = with_units(asked_about_when(entry, now, reader.book, reason), saying.units)
    said = {"how": saying.deed.value, "lots": dict(lots), "choice": saying.choice}
    keep_answer(entry, said | ({"shelves": [list(each) for each in shelves]} if shelves else {}))
    [recorded] = door.record([entry], now=now)
    if entry.kind is Kind.JUDGE:
        for lot in lots:
            settle_deciding(cooks_short_of(lot), reader.book, now)
    cold = dies_there([part.now_step() for part in here], choice, reader) if is_carried else ""
    return Done(
        entry=entry.client_id,
        already=recorded.already,
        sentence="",
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *written_although(entry.details),
            *((cold,) if cold else ()),
            *(warned_of(cause_of(choice)) if saying.deed is Deed.LOSE else ()),
        ),
    )
