"""What is said of picked mushrooms that serve no promise: on Today, and on their picking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from pinset.chain.outlets import is_open, takes
from pinset.chain.register import Outlet, OutletKind
from pinset.planning.plan import Short
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.promises.picked_today import pick_key
from pinset.services.store.unserved import LEAST_G, Unserved
from pinset.services.words import joined, near_day, short_day

ALL_OF_IT = 0.95
"""From so much of a picking on, all of it is said to serve no promise."""


SOON_DAYS = 7
"""A buyer who is short up to so many days after the last day may take it sooner; common practice,
no source. [d]"""


def unserved_notes(
    found: Sequence[Unserved], reader: Reader, short: Sequence[Short] = ()
) -> tuple[str, ...]:
    """Return a sentence or two a variety: how much of which day, how long it keeps, what to do.

    What an outlet is to get already is left out. A buyer of whom the plan leaves an order ``short``
    soon after is named: it may take some sooner.
    """
    notes = []
    for variety in dict.fromkeys(each.variety for each in found):
        mine = [each for each in found if each.variety == variety and each.nowhere > 0]
        if sum(each.nowhere for each in mine) >= LEAST_G:
            notes.append(_note(variety, [e for e in mine if e.nowhere >= 1.0], short, reader))
    return tuple(notes)


def _note(variety: str, mine: Sequence[Unserved], short: Sequence[Short], reader: Reader) -> str:
    total = reader.about(sum(each.nowhere for each in mine))
    if len(mine) == 1:
        [one] = mine
        head = f"{total} {reader.name(variety)} {_picked(one)} serve no promise and keep until"
        said = f"{head} {short_day(one.until)}."
    else:
        parts = [
            f"{reader.about(each.nowhere)} {_picked(each)} keep until {short_day(each.until)}"
            for each in mine
        ]
        said = f"{total} {reader.name(variety)} serve no promise: {joined(parts)}."
    first = min(each.until for each in mine)
    ways = _help(variety, first, reader)
    sooner = _sooner(variety, max(each.until for each in mine), short, reader)
    return " ".join(part for part in (said, _last_day(mine, reader), ways, sooner) if part)


def _picked(each: Unserved) -> str:
    if not each.is_stored:
        return "to be picked today"
    return f"picked {short_day(each.picked_on)}"


def _last_day(mine: Sequence[Unserved], reader: Reader) -> str:
    """Return that nobody is here after today while some of it keeps; else nothing."""
    ending = [each for each in mine if not _is_staffed_before(each.until, reader)]
    if not ending:
        return ""
    grams = sum(each.nowhere for each in ending)
    whole = grams >= ALL_OF_IT * sum(each.nowhere for each in mine)
    which = "it" if whole else f"{reader.about(grams)} of it"
    if reader.works_on(reader.today):
        return f"Today is the last day on which {which} can be handed over."
    return f"Nobody works again while {which} keeps."


def _is_staffed_before(until: date, reader: Reader) -> bool:
    """Say whether somebody works on a later day up to the last."""
    days = range(1, (until - reader.today).days + 1)
    return any(reader.works_on(reader.today + timedelta(days=ahead)) for ahead in days)


def _help(variety: str, first: date, reader: Reader) -> str:
    days = [reader.today + timedelta(days=n) for n in range((first - reader.today).days + 1)]
    open_now = [
        each
        for each in reader.book.outlets
        if takes(each, variety) and any(is_open(each, day) for day in days)
    ]
    ways = [_way(each) for each in open_now]
    return f"Offer it to a buyer now{', or ' + ' or '.join(ways) if ways else ''}."


def _sooner(variety: str, last: date, short: Sequence[Short], reader: Reader) -> str:
    """Return whose order soon after is short and might be brought forward; else nothing."""
    promises = {promise.code: promise for promise in reader.book.promises}
    buyers = {buyer.code: buyer.name for buyer in reader.book.buyers}
    wanted = [
        each
        for each in sorted(short, key=lambda each: each.day)
        if each.variety == variety
        and each.measure == "gram"
        and each.promise in promises
        and reader.today < each.day <= last + timedelta(days=SOON_DAYS)
        and each.amount >= LEAST_G
    ]
    if not wanted:
        return ""
    first = wanted[0]
    buyer = promises[first.promise].buyer
    return (
        f"{buyers.get(buyer, buyer)} will be short by {reader.about(first.amount)} on "
        f"{short_day(first.day)} and may take some sooner."
    )


def _way(outlet: Outlet) -> str:
    if outlet.kind is OutletKind.DRYING:
        return f"dry it ({outlet.name})"
    return f"ask {outlet.name} to take more"


def with_what_serves_nobody(
    stored: Sequence[StoredJob], found: Sequence[Unserved], reader: Reader
) -> tuple[StoredJob, ...]:
    """Return stored jobs, today's open picking with how much of it serves no promise."""
    coming = {each.variety: each for each in found if not each.is_stored}
    return tuple(
        replace(each, job=_said(each.job, coming[each.job.variety], reader))
        if _is_meant(each, reader.today) and each.job.variety in coming
        else each
        for each in stored
    )


def _is_meant(stored: StoredJob, today: date) -> bool:
    job = stored.job
    is_todays = job.kind is JobKind.PICK and job.key == pick_key(job.variety, today)
    return is_todays and not stored.row.is_closed


def _said(job: PlannedJob, each: Unserved, reader: Reader) -> PlannedJob:
    if each.grams < LEAST_G:
        return job
    whole = not job.serves and each.grams >= ALL_OF_IT * job.grams
    how_much = "serves no promise" if whole else f"{reader.about(each.grams)} serve no promise"
    last = near_day(each.until, reader.today)
    if each.nowhere < LEAST_G:
        becomes = "it goes to outlets" if whole else "they go to outlets"
    elif each.to_outlets >= LEAST_G:
        becomes = f"{reader.about(each.nowhere)} have no place and keep until {last}"
    else:
        becomes = f"{'keeps' if whole else 'keep'} until {last}, then thrown out unless sold"
    return replace(job, detail="; ".join(p for p in (job.detail, f"{how_much}: {becomes}") if p))
