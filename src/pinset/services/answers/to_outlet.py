"""Handing picked weight to an outlet, or putting it into the drier: written down at its price."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from pinset.chain.register import Outlet, OutletKind, RoomKind
from pinset.errors import InputError
from pinset.farm import job_store
from pinset.farm.trade import Tap
from pinset.services.answers import recording
from pinset.services.answers.from_store import task_from_store
from pinset.services.answers.off_plan_entries import is_known, weighed, write_down
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.building.for_outlet import entry_of
from pinset.services.clock import now_utc
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done


def hand_over(
    outlet: str,
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
    """Record a weight handed to an outlet at its price, or put into the drier.

    What goes into the drier is sold later: it brings no money yet. No promise is answered by it.

    Parameters
    ----------
    outlet, variety : str
        Codes.
    grams : int
        Weight from the scale, fresh. [g]
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
        If outlet or variety is unknown, the weight cannot be, nothing of it is in store, or what
        is asked for is past its keeping days or more than is there and no reason is given.
    """
    said = {"how": "handed over", "outlet": outlet, "variety": variety, "grams": grams}
    if is_known(client_id, said):
        return Done(client_id, already=True, sentence="This was recorded already.", findings=())
    moment = now_utc()
    book, today = planning_day.farm_book(moment)
    refuse_ahead(at, moment, book)
    place = next((each for each in book.outlets if each.code == outlet), None)
    if place is None:
        known = ", ".join(each.code for each in book.outlets)
        raise InputError("outlet", outlet, known or "nothing yet: describe an outlet first")
    kinds = {each.code: each for each in book.varieties}
    if variety not in kinds:
        raise InputError("variety", variety, ", ".join(kinds))
    given = written("reason", reason, LONGEST_REASON)
    details: dict[str, object] = {
        "grams": weighed(grams),
        "outlet": outlet,
        "room_kind": RoomKind.PACKING.value,
        **({"reason": given} if given else {}),
    }
    reader = Reader(book, today)
    what = f"{reader.said(grams)} {kinds[variety].name}"
    if (job := _asked_for(outlet, variety, today)) is not None:
        done = recording.done(
            job,
            person=person,
            client_id=client_id,
            grams=grams,
            at=at,
            note=note,
            reason=reason,
            shown=shown,
        )
        return replace(done, sentence=_sentence(place, what))
    tap = Tap(client_id, at or moment, person, note=note)
    task = task_from_store(tap, kinds[variety], grams, details, book, today)
    entry = entry_of(task, place, grams)
    entry = asked_about_when(entry, moment, book, given)
    return write_down(entry, said, moment, _sentence(place, what), shown)


def _asked_for(outlet: str, variety: str, today: date) -> str | None:
    """Return the open job of today that asks for it, or None."""
    for row in job_store.open_jobs():
        is_of_outlet = row.kind in {JobKind.GIVE.value, JobKind.DRY.value}
        its = (row.body.get("outlet"), row.body.get("variety"), row.body.get("day"))
        if is_of_outlet and its == (outlet, variety, today.isoformat()):
            return row.code
    return None


def _sentence(outlet: Outlet, what: str) -> str:
    if outlet.kind is OutletKind.DRYING:
        return f"{what} put into: {outlet.name}."
    return f"{what} handed to {outlet.name}; no promise is answered by it."
