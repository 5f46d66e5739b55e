"""What is out of use today, in sentences, and what was laid for it nevertheless."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from pinset.chain.in_use import can_cook
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob
from pinset.services.words import near_day, plural


def choices(book: FarmBook) -> Iterator[tuple[tuple[OutageOf, str], str]]:
    """Yield kind, code and name of everything that can be out of use."""
    for machine in book.sterilisers:
        yield (OutageOf.STERILISER, machine.code), machine.name
    for worker in book.workers:
        yield (OutageOf.PERSON, worker.code), worker.name
    for bench in book.benches:
        yield (OutageOf.BENCH, bench.code), bench.name
    for room in book.rooms:
        yield (OutageOf.ROOM, room.code), room.name


def name_of(book: FarmBook, outage: Outage) -> str:
    """Return the name of what is out of use; its code if it is no longer there."""
    names = dict(choices(book))
    return names.get((outage.what, outage.which), outage.which)


def in_force(book: FarmBook, today: date) -> tuple[Outage, ...]:
    """Return what is or will be out of use, soonest first; what is over is left out."""
    still = [each for each in book.outages if each.until >= today]
    return tuple(sorted(still, key=lambda each: (each.from_date, each.code)))


def state_words(book: FarmBook, outage: Outage, today: date) -> str:
    """Return an outage in words: ``Shed steamer is out of use until 4 March``."""
    state = "away" if outage.what is OutageOf.PERSON else "out of use"
    since = "" if outage.from_date <= today else f" from {near_day(outage.from_date, today)}"
    last = "today" if outage.until == today else f"until {near_day(outage.until, today)}"
    verb = "was" if outage.until < today else "is"
    return f"{name_of(book, outage)} {verb} {state}{since} {last}"


def outage_words(book: FarmBook, outage: Outage, today: date) -> str:
    """Return an outage as a sentence: ``Shed steamer is out of use until 4 March: new seal.``."""
    note = f": {outage.note.strip().rstrip('.')}" if outage.note.strip() else ""
    return f"{state_words(book, outage, today)}{note}."


def out_notes(book: FarmBook, stored: Sequence[StoredJob], today: date) -> tuple[str, ...]:
    """Return what is out of use today, and the cooks still laid for a steriliser that is down."""
    said = [outage_words(book, each, today) for each in in_force(book, today) if each.covers(today)]
    for steriliser in book.sterilisers:
        if can_cook(book, steriliser, today):
            continue
        loads = sum(
            each.job.kind is JobKind.COOK
            and each.job.steriliser == steriliser.code
            and not each.row.is_closed
            for each in stored
        )
        if loads:
            said.append(
                f"{plural(loads, 'job')} on this page would load {steriliser.name}, which is down: "
                "plan again."
            )
    return tuple(said)
