"""The one entry that says something of lots in hand for which no job was laid out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pinset.chain.register import RoomKind
from pinset.errors import InputError, RefusedError
from pinset.farm import trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken, Tap
from pinset.farm.trade.looking import Verdict
from pinset.farm.whereabouts import Standing
from pinset.services.answers.lot_counts import UnlikelyError, refuse_more
from pinset.services.answers.shelf_full import both, refuse_full
from pinset.services.book_reader import Reader
from pinset.services.building import Answer, build_entry
from pinset.services.building.parents_opened import NOTHING
from pinset.services.building.parts_taken import least_keeping_first
from pinset.services.building.task import oldest_first
from pinset.services.clock import farm_day
from pinset.services.floor.offers import next_place
from pinset.services.floor.records import Deed
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.looking.causes import cause_of
from pinset.services.words import joined

Shelves = Sequence[tuple[str, str, int]]
"""Lot, shelf, and the units of it that are taken from there."""

AS_JOBS = {
    Deed.SHAKE: JobKind.SHAKE,
    Deed.LOOK: JobKind.LOOK,
    Deed.MOVE: JobKind.MOVE,
    Deed.CLEAR: JobKind.CLEAR,
    Deed.DISCARD: JobKind.DISCARD,
}
"""What is written down as if a job of that kind had asked for it, with all that it asks about."""


def plain_entry(
    deed: Deed,
    tap: Tap,
    lots: Mapping[str, int],
    choice: str,
    reason: str,
    reader: Reader,
    shelves: Shelves = (),
) -> NewEntry:
    """Return the entry of what was done to lots without a job.

    Parameters
    ----------
    deed : Deed
        What was done; neither a transfer nor a pick.
    tap : Tap
        Who, and when.
    lots : mapping of str to int
        Units of each lot.
    choice : str
        What was seen of lost units, why lots are held back, or the shelf they were carried to.
    reason : str
        Why it is right although something speaks against it; empty if nothing was said.
    reader : Reader
        The farm on its present day.
    shelves : sequence of (str, str, int)
        Units of lots that are taken from a shelf that was said.

    Raises
    ------
    InputError, RefusedError
        If a number or a shelf cannot be, or something speaks against it and no reason is given.
    """
    if deed in AS_JOBS:
        return _as_of_jobs(deed, tap, lots, reason, reader, shelves)
    if deed in {Deed.HOLD, Deed.RELEASE}:
        return _judged(deed, tap, lots, choice)
    standing = _on_shelves(whereabouts.units_of(lots), shelves)
    if deed is Deed.CARRY:
        known = [shelf.code for room in reader.book.rooms for shelf in room.shelves]
        if choice not in known:
            raise InputError("place", choice, f"one of {', '.join(known)}")
        going, here = _not_there_yet(lots, standing, choice)
        day = farm_day(tap.at, reader.book.farm.time_zone)
        here = {lot: least_keeping_first(found, day) for lot, found in here.items()}
        taken, doubt = _taken(going, here, reason)
        full = refuse_full(going, choice, living(reader.today), reader.book, reason)
        doubt = both(doubt, full)
        entries = [trade.move(tap, each, choice) for each in taken]
    elif deed is Deed.LOSE:
        taken, doubt = _taken(lots, standing, reason)
        seen = cause_of(choice)
        entries = [trade.lose(tap, each, cause=seen.words, signs=seen.signs) for each in taken]
    else:
        raise InputError("what", deed.value, "something that may be said of lots in hand")
    entry = _together(entries)
    return replace(entry, details={**entry.details, **doubt})


def _on_shelves(
    standing: Mapping[str, Sequence[Standing]], shelves: Shelves
) -> dict[str, Sequence[Standing]]:
    """Return where units are taken: of a lot of which a shelf was said, only there.

    Raises
    ------
    InputError
        If none of it stands on that shelf.
    """
    found = dict(standing)
    for lot, shelf, _units in shelves:
        there = standing.get(lot, ())
        found[lot] = [each for each in there if each.place == shelf]
        if not found[lot]:
            places = joined([each.place for each in there])
            raise InputError(f"shelf of {lot}", shelf, f"where it stands: {places or 'nowhere'}")
    return found


def _not_there_yet(
    lots: Mapping[str, int], standing: Mapping[str, Sequence[Standing]], shelf: str
) -> tuple[dict[str, int], dict[str, list[Standing]]]:
    """Return the lots that are carried to a shelf, and where else they stand.

    Of several, those that stand there already stay.

    Raises
    ------
    RefusedError
        If all of them do.
    """
    here = {lot: [each for each in standing.get(lot, ()) if each.place != shelf] for lot in lots}
    going = {lot: units for lot, units in lots.items() if here[lot] or not standing.get(lot)}
    if not going:
        raise RefusedError(f"All of {joined(list(lots))} stands at {shelf} already.", "")
    return going, here


def _taken(
    lots: Mapping[str, int], standing: Mapping[str, Sequence[Standing]], reason: str
) -> tuple[list[Taken], dict[str, object]]:
    """Return from where units are taken, in the order given; what is noted of more than stands.

    Raises
    ------
    UnlikelyError
        If more are taken than stand there and no reason is given.
    """
    taken: list[Taken] = []
    against: list[str] = []
    for lot, count in lots.items():
        here = standing.get(lot, ())
        try:
            doubt = refuse_more(count, here, reason)
        except UnlikelyError as problem:
            raise UnlikelyError(f"Lot {lot}: {problem.sentence}", problem.hint) from None
        against += [f"Lot {lot}: {said}" for said in doubt.get("against", ())]
        taken += oldest_first(count, here) if here else [Taken(lot, count)]
    return taken, {"against": against, "why": reason} if against else {}


def _together(entries: Sequence[NewEntry]) -> NewEntry:
    """Return one entry that says what several of the same tap say."""
    details: dict[str, object] = {}
    counted = 0
    units: dict[str, int] = {}
    for entry in entries:
        details |= entry.details
        counted += int(entry.details.get("count", 0))
        units |= dict(entry.details.get("of_lots", {}))
    if units:
        details |= {"count": counted, "of_lots": units}
    return replace(
        entries[0],
        postings=tuple(posting for entry in entries for posting in entry.postings),
        mentions=tuple(mention for entry in entries for mention in entry.mentions),
        details=details,
    )


def _judged(deed: Deed, tap: Tap, lots: Mapping[str, int], choice: str) -> NewEntry:
    if deed is Deed.RELEASE:
        return _together([trade.judge(tap, lot, Verdict.RELEASED) for lot in lots])
    if not choice:
        raise InputError("reason", choice, "a few words on why it is held back")
    return _together([trade.judge(tap, lot, Verdict.HELD, reason=choice) for lot in lots])


def _as_of_jobs(
    deed: Deed, tap: Tap, lots: Mapping[str, int], reason: str, reader: Reader, shelves: Shelves
) -> NewEntry:
    """Return the entry as jobs laid out for these lots would have it."""
    entries = []
    for job in _jobs(deed, lots, reader):
        own = {lot.lot for lot in job.lots}
        answer = Answer(
            lots=tuple((lot.lot, lot.units) for lot in job.lots),
            reason=reason,
            shelves=tuple(each for each in shelves if each[0] in own),
        )
        entries.append(
            build_entry(
                tap,
                job,
                answer,
                left=job.count,
                before=NOTHING,
                done_of={},
                book=reader.book,
                today=reader.today,
            )
        )
    return _together(entries)


def _jobs(deed: Deed, lots: Mapping[str, int], reader: Reader) -> list[PlannedJob]:
    if deed is not Deed.MOVE:
        return [_job(deed, lots, reader)]
    used = whereabouts.units_at_places()
    going: dict[tuple[str, str], dict[str, int]] = defaultdict(dict)
    places = {}
    for part in living(reader.today, lots=list(lots)):
        target = next_place(part, reader, used)
        if target is not None and part.code not in places:
            places[part.code] = target
            going[target.room.code, target.step][part.code] = lots[part.code]
    lost = [lot for lot in lots if lot not in places]
    if lost:
        raise RefusedError(
            f"Lot {joined(lost)} has no next place to go to now.",
            "If it was carried somewhere else, say to which shelf.",
        )
    rooms = {target.room.code: target.room for target in places.values()}
    return [
        replace(
            _job(deed, these, reader),
            to_room=room,
            to_step=step,
            place=rooms[room].name,
            room_kind=rooms[room].kind.value,
        )
        for (room, step), these in going.items()
    ]


def _job(deed: Deed, lots: Mapping[str, int], reader: Reader) -> PlannedJob:
    standing = whereabouts.units_of(lots)
    rooms = [
        room.kind
        for found in standing.values()
        for each in found
        if (room := reader.room_of(each.place)) is not None
    ]
    dirtiest = RoomKind.GROWING if RoomKind.GROWING in rooms else RoomKind.INCUBATION
    return PlannedJob(
        key="",
        kind=AS_JOBS[deed],
        task=AS_JOBS[deed].value,
        day=reader.today,
        count=sum(lots.values()),
        unit="units",
        what="",
        room_kind=dirtiest.value,
        lots=tuple(LotAmount(lot, units) for lot, units in lots.items()),
    )
