"""What must hold of chores and of the instructions for them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from pinset.chain.register import FarmBook, InstrumentKind
from pinset.chain.rules_basis import Bound, bad_code, outside, repeated, unknown, warning, wrong
from pinset.chain.upkeep import INSTRUCTED, MOST_READ, WEARS, Chore, ChoreAt, Reads
from pinset.errors import Finding
from pinset.tables.cautions import cautions

LONGEST_TEXT = 20_000
_NUMBERS = (
    Bound("every_days", 1, 3650, "days"),
    Bound("every_uses", 1, 10_000, "uses"),
    Bound("minutes", 0, 1440, "minutes"),
    Bound("limit_times", 1.05, 10.0, "times the reading of a new one"),
)
PLURALS = {
    ChoreAt.ROOM: "rooms",
    ChoreAt.BENCH: "benches",
    ChoreAt.STERILISER: "sterilisers",
    ChoreAt.INSTRUMENT: "instruments",
}
USED = frozenset({ChoreAt.BENCH, ChoreAt.STERILISER})
"""What is used so many times: sessions are begun at a bench, a steriliser cooks."""

OF_INSTRUMENT = {
    InstrumentKind.PROBE: Reads.OFF_DEGREES,
    InstrumentKind.GAUGE: Reads.OFF_PRESSURE,
}


def things_of(book: FarmBook) -> dict[ChoreAt, tuple[str, ...]]:
    """Return the codes of everything a chore can be done at."""
    return {
        ChoreAt.ROOM: tuple(each.code for each in book.rooms),
        ChoreAt.BENCH: tuple(each.code for each in book.benches),
        ChoreAt.STERILISER: tuple(each.code for each in book.sterilisers),
        ChoreAt.INSTRUMENT: tuple(each.code for each in book.instruments),
    }


def check_upkeep(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with chores and instructions."""
    yield from repeated("upkeep", [chore.code for chore in book.upkeep])
    things = things_of(book)
    workers = [worker.code for worker in book.workers]
    for chore in book.upkeep:
        record = f"upkeep {chore.code}"
        yield from bad_code(record, chore.code)
        yield from outside(record, chore, _NUMBERS, "upkeep.number")
        if not chore.name.strip():
            yield wrong("upkeep.name", record, "name", chore.name, "a name")
        if chore.at is not ChoreAt.FARM:
            yield from unknown(record, "which", chore.which, things[chore.at], PLURALS[chore.at])
        elif chore.which:
            yield wrong("upkeep.which", record, "which", chore.which, "nothing: it is at the farm")
        if chore.by:
            yield from unknown(record, "by", chore.by, workers, "people")
        if today is not None and chore.since is not None and chore.since > today:
            accepted = f"a day up to today, {today.isoformat()}"
            yield wrong("upkeep.since", record, "since", chore.since.isoformat(), accepted)
        yield from _check_before(record, chore, book)
        for key in chore.cautions:
            if key not in cautions():
                accepted = f"one of {', '.join(cautions())}"
                yield wrong("upkeep.caution", record, "cautions", key, accepted)
        yield from _check_often(record, chore)
        yield from _check_reading(record, chore, book)
    yield from _check_twice(book)
    yield from _check_instructions(book)


def _check_before(record: str, chore: Chore, book: FarmBook) -> Iterator[Finding]:
    """Yield what is not right with what was read off and found before the books begin."""
    days = {each.code: each.calibrated_on for each in book.instruments}
    is_instrument = chore.at is ChoreAt.INSTRUMENT
    since = days.get(chore.which) if is_instrument else chore.since
    for name, value in (("last_reading", chore.last_reading), ("amiss", chore.amiss)):
        if since is None and value not in {None, ""}:
            day = "with the instrument when it was compared" if is_instrument else "since"
            yield wrong("upkeep.before", record, name, value, f"nothing, or {day} as well")
    if chore.last_reading is None:
        return
    if chore.reads is Reads.NOTHING:
        accepted = "nothing: it reads nothing off"
        yield wrong("upkeep.reads", record, "last_reading", chore.last_reading, accepted)
        return
    most = MOST_READ[chore.reads]
    least = 0.0 if chore.reads in WEARS else -most
    bound = Bound("last_reading", least, most, chore.reads.value)
    yield from outside(record, chore, (bound,), "upkeep.reading")


def _check_often(record: str, chore: Chore) -> Iterator[Finding]:
    if chore.every_uses is not None and chore.at not in USED:
        accepted = "nothing: cooks of a steriliser and sessions at a bench are counted"
        yield wrong("upkeep.uses", record, "every_uses", chore.every_uses, accepted)
    if chore.at is ChoreAt.INSTRUMENT:
        if chore.every_days is not None:
            accepted = f"nothing: how long it holds stands with the instrument {chore.which}"
            yield wrong("upkeep.often", record, "every_days", chore.every_days, accepted)
        if chore.since is not None:
            accepted = f"nothing: when it was compared stands with the instrument {chore.which}"
            yield wrong("upkeep.since", record, "since", chore.since.isoformat(), accepted)
    elif chore.every_days is None and chore.every_uses is None:
        accepted = "every so many days, or every_uses"
        hint = "Where a reading decides, say how often it is read off."
        yield wrong("upkeep.often", record, "every_days", "nothing", accepted, hint)


def _check_reading(record: str, chore: Chore, book: FarmBook) -> Iterator[Finding]:
    if chore.at is ChoreAt.INSTRUMENT:
        found = next((each for each in book.instruments if each.code == chore.which), None)
        if found is not None and chore.reads is not OF_INSTRUMENT[found.kind]:
            accepted = f"{OF_INSTRUMENT[found.kind].value}: by how much it is off"
            yield wrong("upkeep.reads", record, "reads", chore.reads.value, accepted)
    for name in ("limit", "limit_times", "first_reading"):
        value = getattr(chore, name)
        if value is not None and chore.reads is Reads.NOTHING:
            yield wrong("upkeep.reads", record, name, value, "nothing: it reads nothing off")
    if chore.reads is Reads.NOTHING:
        return
    most = MOST_READ[chore.reads]
    bounds = (
        Bound("limit", 0.0, most, chore.reads.value),
        Bound("first_reading", 0.0, most, chore.reads.value),
    )
    yield from outside(record, chore, bounds, "upkeep.reading")
    if chore.limit is not None and chore.limit_times is not None:
        accepted = "nothing, where limit says it"
        yield wrong("upkeep.limit", record, "limit_times", chore.limit_times, accepted)
    if chore.limit_times is not None and chore.reads is not Reads.PRESSURE_DROP:
        accepted = "nothing: only a pressure drop is held against that of a new filter"
        yield wrong("upkeep.limit", record, "limit_times", chore.limit_times, accepted)
    if chore.first_reading is not None and chore.reads not in WEARS:
        accepted = f"nothing: {chore.reads.value} off is read anew each time"
        yield wrong("upkeep.reading", record, "first_reading", chore.first_reading, accepted)


def _check_twice(book: FarmBook) -> Iterator[Finding]:
    """Yield chores that are the second one for the calibration of an instrument."""
    first: dict[str, str] = {}
    for chore in book.upkeep:
        if chore.at is not ChoreAt.INSTRUMENT:
            continue
        other = first.setdefault(chore.which, chore.code)
        if other != chore.code:
            accepted = f"an instrument without a chore: {other} compares it already"
            yield wrong("upkeep.twice", f"upkeep {chore.code}", "which", chore.which, accepted)


def _check_instructions(book: FarmBook) -> Iterator[Finding]:
    yield from repeated("instructions", [each.code for each in book.instructions])
    for each in book.instructions:
        record = f"instructions {each.code}"
        if each.code not in INSTRUCTED:
            accepted = f"a kind of job: {', '.join(INSTRUCTED)}"
            yield wrong("instruction.job", record, "code", each.code, accepted)
        if not each.text.strip():
            yield warning("instruction.empty", record, "it says nothing yet.", "Write it.")
        elif len(each.text) > LONGEST_TEXT:
            given, accepted = f"{len(each.text)} signs", f"at most {LONGEST_TEXT} signs"
            yield wrong("instruction.long", record, "text", given, accepted)
