"""Can it have happened when it is said to have? Not ahead, not before its parents, not long ago."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.whereabouts import made_when
from pinset.services.clock import farm_day, farm_time, hour_is_known
from pinset.services.words import on_day, plural

AHEAD = timedelta(minutes=10)
"""How far a tablet's clock may run ahead of the farm's."""

FIRST, LAST = datetime(1970, 1, 1, tzinfo=UTC), datetime(9000, 1, 1, tzinfo=UTC)
"""Moments outside of these no record holds, and some fit no clock."""

LONG_AGO_DAYS = 60
"""What is said to have happened longer ago is asked about; common practice, no source."""

HINT = "Look at the day and the time; if they are right, give a reason."


class UnlikelyMomentError(RefusedError):
    """What is said happened at a moment that is unlikely; with a reason it is written down."""


def refuse_ahead(at: datetime | None, now: datetime, book: FarmBook) -> None:
    """Refuse a time that has not come yet, or that no record holds.

    Where the hour of the day is not known, a day that has not come yet.

    Raises
    ------
    InputError
        If it lies ahead, or before 1970.
    """
    if at is not None:
        refuse_ahead_of(at, now, book.farm.time_zone)


def refuse_ahead_of(at: datetime, now: datetime, zone: str) -> None:
    """Refuse it by the clock of a farm in that zone, as :func:`refuse_ahead` does.

    Raises
    ------
    InputError
        If it lies ahead, or before 1970.
    """
    if not FIRST <= at < LAST:
        raise InputError("at", at.isoformat(), f"a moment from {FIRST.year} until now")
    is_ahead = at > now + AHEAD if hour_is_known() else farm_day(at, zone) > farm_day(now, zone)
    if is_ahead:
        raise InputError(
            "at",
            f"{farm_time(at, zone):%Y-%m-%d %H:%M}",
            f"now, {farm_time(now, zone):%Y-%m-%d %H:%M}, or earlier",
            "What lies ahead is written down once it has happened.",
        )


def asked_about_when(entry: NewEntry, now: datetime, book: FarmBook, reason: str) -> NewEntry:
    """Return the entry, with what speaks against its time noted beside the reason.

    Parameters
    ----------
    entry : NewEntry
        What is to be written down.
    now : datetime
        The moment.
    book : FarmBook
        The farm.
    reason : str
        Why it is right all the same; empty if nothing was said.

    Raises
    ------
    InputError
        If it lies ahead.
    UnlikelyMomentError
        If it is long ago, or before a lot it speaks of or the mother of a new lot's culture was
        made, and no reason is given.
    """
    refuse_ahead(entry.happened_at, now, book)
    against = _against(entry, now, book)
    if not against:
        return entry
    if not reason.strip():
        raise UnlikelyMomentError(" ".join(against), HINT)
    before = entry.details.get("against", [])
    said = [*before, *against] if isinstance(before, list) else against
    kept = {} if {"reason", "why"} & entry.details.keys() else {"why": reason.strip()}
    return replace(entry, details={**entry.details, **kept, "against": said})


def _against(entry: NewEntry, now: datetime, book: FarmBook) -> list[str]:
    zone, found = book.farm.time_zone, []
    today, day = farm_day(now, zone), farm_day(entry.happened_at, zone)
    ago = (today - day).days
    if ago > LONG_AGO_DAYS:
        found.append(f"{day.isoformat()} is {plural(ago, 'day')} ago.")
    mothers = {culture.code: culture.mother_on for culture in book.cultures}
    for lot in entry.lots:
        mother_on = mothers.get(lot.culture)
        if mother_on is not None and lot.made_on < mother_on:
            found.append(
                f"It would be made on {lot.made_on.isoformat()}, before the mother of culture "
                f"{lot.culture}, of {mother_on.isoformat()}."
            )
    new = {lot.code for lot in entry.lots}
    spoken = {
        *(posting.lot for posting in entry.postings),
        *(mention.lot for mention in entry.mentions),
        *(link.parent for link in entry.links),
    }
    for made in made_when(spoken - new):
        was_written = made.kind != Kind.OPENING and entry.happened_at < made.at
        if day < made.on or was_written:
            clock = f" at {farm_time(made.at, zone):%H:%M}" if day == made.on else ""
            day_said = on_day(made.on, today)
            found.append(f"Lot {made.lot} was made {day_said}{clock}, after this.")
    return found
