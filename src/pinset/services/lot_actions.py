"""What can be said of a lot without a job: lost, culled, moved, held, released, counted, noted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from pinset.chain.lotcode import read_code
from pinset.errors import InputError
from pinset.farm import door, trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.queries.lots import KnownCodes, lot_by_code
from pinset.farm.trade import Taken, Tap
from pinset.farm.trade.looking import Verdict
from pinset.services import planning_day
from pinset.services.clock import now_utc
from pinset.services.views import Done
from pinset.services.words import plural

MOST_TEXT = 2000


@dataclass(frozen=True, slots=True)
class Saying:
    """Who says something of which lot, by which tap."""

    lot: str
    person: str
    client_id: str
    at: datetime | None = None
    note: str = ""


def _write(saying: Saying, build: Callable[[Tap, str, str], NewEntry], sentence: str) -> Done:
    """Write one entry about a lot; ``build`` gets the tap, the lot and the place it stands."""
    if whereabouts.entry_known(saying.client_id):
        return Done(saying.client_id, already=True, sentence="Recorded already.", findings=())
    now = now_utc()
    code = read_code(saying.lot, known=KnownCodes()).lot
    lot_by_code(code)
    tap = Tap(saying.client_id, saying.at or now, saying.person, note=saying.note[:MOST_TEXT])
    with transaction.atomic():
        standing = whereabouts.units_of([code]).get(code, ())
        entry = build(tap, code, standing[0].place if standing else "")
        [recorded] = door.record([entry], now=now)
    return Done(
        entry=saying.client_id,
        already=recorded.already,
        sentence=f"{code}: {sentence}",
        findings=tuple(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
    )


def _counted(count: int) -> int:
    if count < 1:
        raise InputError("count", count, "1 or more units")
    return count


def lose(saying: Saying, count: int, cause: str = "") -> Done:
    """Contaminated units were taken out."""
    _counted(count)
    return _write(
        saying,
        lambda tap, lot, place: trade.lose(tap, Taken(lot, count, place), cause=cause[:200]),
        f"{plural(count, 'unit')} lost.",
    )


def cull(saying: Saying, count: int, cause: str) -> Done:
    """Units were taken out for another cause."""
    _counted(count)
    if not cause.strip():
        raise InputError("cause", cause, "a few words on why")
    return _write(
        saying,
        lambda tap, lot, place: trade.cull(tap, Taken(lot, count, place), cause=cause[:200]),
        f"{plural(count, 'unit')} taken out.",
    )


def move(saying: Saying, count: int, to_place: str) -> Done:
    """Units were carried to another shelf."""
    _counted(count)
    book, _ = planning_day.farm_book()
    shelves = [shelf.code for room in book.rooms for shelf in room.shelves]
    if to_place not in shelves:
        raise InputError("place", to_place, f"one of {', '.join(shelves)}")
    return _write(
        saying,
        lambda tap, lot, place: trade.move(tap, Taken(lot, count, place), to_place),
        f"{plural(count, 'unit')} moved to {to_place}.",
    )


def hold(saying: Saying, reason: str) -> Done:
    """Hold a lot back: it is not offered until it is released."""
    if not reason.strip():
        raise InputError("reason", reason, "a few words on why it is held back")
    return _write(
        saying,
        lambda tap, lot, _: trade.judge(tap, lot, Verdict.HELD, reason=reason.strip()[:200]),
        "held back.",
    )


def release(saying: Saying) -> Done:
    """Offer a lot again that was held back."""
    return _write(
        saying, lambda tap, lot, _: trade.judge(tap, lot, Verdict.RELEASED), "offered again."
    )


def expect_ready(saying: Saying, ready_on: date) -> Done:
    """Say when a lot will be ready, from looking at it; it overrules the route."""
    return _write(
        saying,
        lambda tap, lot, _: trade.judge(tap, lot, Verdict.READY, ready_on=ready_on),
        f"expected ready on {ready_on.isoformat()}.",
    )


def recount(saying: Saying, counted: int, cause: str = "") -> Done:
    """Say how many units stand there, counted by hand; the difference becomes an entry."""
    if counted < 0:
        raise InputError("count", counted, "0 or more units")
    code = read_code(saying.lot, known=KnownCodes()).lot
    row = whereabouts.units_of([code]).get(code, ())
    books = sum(each.quantity for each in row) + whereabouts.unexplained_of(code)
    if counted == books:
        return Done("", already=False, sentence=f"{code}: the books say so, too.", findings=())
    return _write(
        saying,
        lambda tap, lot, place: trade.recount(tap, lot, place, counted - books, cause=cause[:200]),
        f"{counted} counted, {books} in the books.",
    )


def remark(saying: Saying) -> Done:
    """Write a note about a lot."""
    return _write(saying, lambda tap, lot, _: trade.note(tap, [lot]), "noted.")
