"""Picking and handing over without a job: what the plan did not ask for happens too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.due import due_days
from pinset.chain.lotcode import read_code
from pinset.chain.register import FarmBook, Promise, RoomKind
from pinset.errors import InputError
from pinset.farm import trade
from pinset.farm.queries.alive import living
from pinset.farm.queries.lots import KnownCodes
from pinset.farm.trade import Tap, with_units
from pinset.services.answers.from_store import task_from_store
from pinset.services.answers.off_plan_entries import is_known, weighed, write_down
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.bounds import MOST_FLUSHES, within
from pinset.services.building import selling
from pinset.services.building.task import Answer, Task
from pinset.services.building.weight_sold import weight_to_sell
from pinset.services.clock import farm_day, now_utc
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.plans import planning_day
from pinset.services.store.days import is_worth_saying, keeping_days, on_store, past_words
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done, LotUse
from pinset.services.words import kilograms

EARLY_DAYS = 6
"""What is handed over up to this many days before a promise is due counts for it."""


@dataclass(frozen=True, slots=True)
class InStore:
    """Picked grams of a variety in the cold store."""

    variety: str  # code
    name: str
    grams: int  # all that is there
    past_g: int = 0  # of it past its keeping days, if that is worth a word
    past: str = ""  # when that was picked and how long it keeps, in words


def fruiting_lots(now: datetime | None = None) -> tuple[LotUse, ...]:
    """Return the lots that stand in a grow room, those longest there first."""
    book, today = planning_day.farm_book(now)
    reader = Reader(book, today)
    rooms = {room.code for room in book.rooms if room.kind is RoomKind.GROWING}
    found = sorted(
        (lot for lot in living(today) if lot.room in rooms),
        key=lambda lot: (lot.step_since, lot.code),
    )
    return tuple(
        LotUse(
            lot.code,
            lot.alive,
            lot.alive,
            f"{reader.name(lot.variety)}, day {(today - lot.step_since).days} in the room",
            lot.place,
        )
        for lot in found
    )


def store(now: datetime | None = None) -> tuple[InStore, ...]:
    """Return what stands in the cold store, by variety, without crumbs past their days."""
    book, today = planning_day.farm_book(now)
    everything, keeps = on_store(book, today), keeping_days(book)
    found = []
    for variety in book.varieties:
        good = [each for each in everything.good if each.variety == variety.code]
        past = [each for each in everything.past if each.variety == variety.code]
        past_g = sum(each.grams for each in past)
        past_g = past_g if is_worth_saying(past_g) else 0
        when = past_words([each.picked_on for each in past], keeps[variety.code]) if past_g else ""
        grams = past_g + sum(each.grams for each in good)
        found.append(InStore(variety.code, variety.name, grams, past_g, when))
    return tuple(each for each in found if each.grams > 0)


def pick(
    lot: str,
    grams: int,
    *,
    person: str,
    client_id: str,
    flush: int | None = None,
    at: datetime | None = None,
    note: str = "",
    reason: str = "",
    shown: str | None = None,
    units: Sequence[int] = (),
) -> Done:
    """Record a weight picked from one lot.

    Parameters
    ----------
    lot : str
        Code of the lot.
    grams : int
        Weight from the scale. [g]
    person, client_id : str
        Who picked, and the random id of this tap.
    flush : int, optional
        Which flush, if not the one that follows from the picks before.
    at : datetime, optional
        When; now if not given.
    note, reason : str
        Free text, and why it is right although something speaks against it.
    shown : str, optional
        Doubts that were shown: the reason overrules no others; None: it may overrule all.
    units : sequence of int
        Numbers of the units it was picked from, where their labels were read.

    Raises
    ------
    InputError, RefusedError
        If the code has a slip, there is no such lot, or the weight or flush cannot be.
    """
    said = {"how": "picked", "lot": lot.strip().upper(), "grams": grams} | (
        {} if flush is None else {"flush": flush}
    )
    if is_known(client_id, said):
        return Done(client_id, already=True, sentence="This was recorded already.", findings=())
    if flush is not None:
        within("flush", flush, 1, MOST_FLUSHES)
    moment = now_utc()
    code = read_code(lot, known=KnownCodes()).lot
    book, today = planning_day.farm_book(moment)
    refuse_ahead(at, moment, book)
    job = PlannedJob("", JobKind.PICK, "pick", today, 0, "kg", "", RoomKind.GROWING.value)
    tap = Tap(client_id, at or moment, person, note=note)
    details: dict[str, object] = {"room_kind": RoomKind.GROWING.value}
    given = written("reason", reason, LONGEST_REASON)
    if given:
        details["reason"] = given
    answer = Answer(lots=((code, weighed(grams)),), flush=flush, reason=given)
    task = Task(
        tap,
        job,
        answer,
        0,
        Reader(book, today),
        details,
        farm_day(at or moment, book.farm.time_zone),
    )
    weight = kilograms(grams, book.farm.units)
    entry = asked_about_when(selling.pick(task), moment, book, answer.reason)
    entry = with_units(entry, {code: units})
    return write_down(entry, said, moment, f"{weight} picked from {code}.", shown)


def deliver(
    buyer: str,
    variety: str,
    grams: int,
    *,
    person: str,
    client_id: str,
    at: datetime | None = None,
    note: str = "",
    reason: str = "",
    shown: str | None = None,
) -> Done:
    """Record a weight handed to a buyer, for the promise that is due next if there is one.

    Parameters
    ----------
    buyer, variety : str
        Codes.
    grams : int
        Weight from the scale. [g]
    person, client_id : str
        Who handed it over, and the random id of this tap.
    at : datetime, optional
        When; now if not given.
    note, reason : str
        Free text, and why it is handed over although something speaks against it.
    shown : str, optional
        Doubts that were shown: the reason overrules no others; None: it may overrule all.

    Raises
    ------
    InputError, RefusedError
        If buyer or variety is unknown, the weight cannot be, nothing of it is in store, or what
        is asked for is past its keeping days or more than is there and no reason is given.
    """
    said = {"how": "handed over", "buyer": buyer, "variety": variety, "grams": grams}
    if is_known(client_id, said):
        return Done(client_id, already=True, sentence="This was recorded already.", findings=())
    moment = now_utc()
    book, today = planning_day.farm_book(moment)
    refuse_ahead(at, moment, book)
    names = {each.code: each.name for each in book.buyers}
    kinds = {each.code: each.name for each in book.varieties}
    if buyer not in names:
        raise InputError("buyer", buyer, ", ".join(names) or "nobody yet: add a buyer first")
    if variety not in kinds:
        raise InputError("variety", variety, ", ".join(kinds))
    tap = Tap(client_id, at or moment, person, note=note)
    details: dict[str, object] = {"grams": weighed(grams), "room_kind": RoomKind.PACKING.value}
    given = written("reason", reason, LONGEST_REASON)
    if given:
        details["reason"] = given
    sold = next(each for each in book.varieties if each.code == variety)
    task = task_from_store(tap, sold, grams, details, book, today)
    taken = weight_to_sell(task, grams)
    promise, for_day = _promise_due(book, buyer, variety, today)
    rate = promise.price_cents if promise else 0
    entry = trade.deliver(
        tap,
        taken,
        buyer=buyer,
        promise=promise.code if promise else "",
        for_day=for_day,
        price_cents=round(rate * grams / 1000),
        details=details,
    )
    entry = asked_about_when(entry, moment, book, given)
    what = f"{kilograms(grams, book.farm.units)} {kinds[variety]} handed to {names[buyer]}"
    sentence = f"{what}{'.' if promise else '; nothing was promised.'}"
    return write_down(entry, said, moment, sentence, shown)


def _promise_due(
    book: FarmBook, buyer: str, variety: str, today: date
) -> tuple[Promise | None, date | None]:
    """Return the promise in grams to this buyer that falls due first, with its day."""
    due = [
        (days[0], promise)
        for promise in book.promises
        if (promise.buyer, promise.variety, promise.measure) == (buyer, variety, "gram")
        and (days := due_days(promise, today, today + timedelta(days=EARLY_DAYS)))
    ]
    if not due:
        return None, None
    day, promise = min(due, key=lambda pair: (pair[0], pair[1].code))
    return promise, day
