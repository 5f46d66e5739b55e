"""How services say chores: what they are done at, how often, why they are due, what was read."""

from __future__ import annotations

from datetime import date

from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.chain.upkeep_due import Because, Due, State, Wear
from pinset.services.words import near_day, plural, short_day

INCH_OF_WATER_PA = 249.0889
"""Pa in one conventional inch of water: 25.4 mm at 1,000 kg/m3 and standard gravity, 25.4 x
9.80665 = 249.0889 (derived)."""

KELVIN_PER_FAHRENHEIT = 5.0 / 9.0
KINDS = {
    ChoreKind.ROOM_CLEANING: "cleaning of a room",
    ChoreKind.BENCH_CLEANING: "cleaning of a bench",
    ChoreKind.ROOM_EMPTIED: "emptying, cleaning and refilling of a room",
    ChoreKind.LAMP: "UV-C lamp",
    ChoreKind.PRE_FILTER: "pre-filter",
    ChoreKind.HEPA: "main filter (HEPA)",
    ChoreKind.GASKET: "door seal",
    ChoreKind.GAUGE_CHECK: "comparing a gauge",
    ChoreKind.VALVE: "safety valve",
    ChoreKind.PROBE_CHECK: "comparing a probe",
    ChoreKind.SCALE_CHECK: "checking a scale",
    ChoreKind.WATER_TEST: "testing of the water",
    ChoreKind.LAUNDRY: "laundry",
    ChoreKind.OTHER: "other upkeep",
}
USES = {ChoreAt.STERILISER: ("cook", "cooks"), ChoreAt.BENCH: ("session", "sessions")}


def thing_of(chore: Chore, book: FarmBook) -> tuple[str, RoomKind]:
    """Return the name of what a chore is done at and the kind of room it stands in.

    A probe or gauge is compared where the sterilisers stand; what is done at no place of the farm
    counts as preparation.
    """
    rooms = {room.code: room for room in book.rooms}
    name, room = "", ""
    if chore.at is ChoreAt.ROOM:
        name, room = rooms[chore.which].name if chore.which in rooms else "", chore.which
    elif chore.at is ChoreAt.BENCH:
        benches = ((b.name, b.room) for b in book.benches if b.code == chore.which)
        name, room = next(benches, ("", ""))
    elif chore.at is ChoreAt.STERILISER:
        found = ((s.name, s.room) for s in book.sterilisers if s.code == chore.which)
        name, room = next(found, ("", ""))
    elif chore.at is ChoreAt.INSTRUMENT:
        name = next((each.name for each in book.instruments if each.code == chore.which), "")
        return name or chore.which, RoomKind.STERILISER
    kind = rooms[room].kind if room in rooms else RoomKind.PREPARATION
    return name or chore.which, kind


def title_of(chore: Chore, book: FarmBook) -> str:
    """Return the chore with what it is done at: ``Look at the door seal, Kettle``."""
    thing, _ = thing_of(chore, book)
    return f"{chore.name}, {thing}" if thing and thing not in chore.name else chore.name


def often(chore: Chore) -> str:
    """Return how often it is done: ``every 7 days or 10 cooks``."""
    days = plural(chore.every_days, "day") if chore.every_days else ""
    one, several = USES.get(chore.at, ("use", "uses"))
    uses = plural(chore.every_uses, one, several) if chore.every_uses else ""
    said = " or ".join(filter(None, (days, uses)))
    return f"every {said.removeprefix('1 ')}" if said else ""


def why_due(chore: Chore, due: Due, today: date) -> str:
    """Return why it is due, without a full stop: ``last done 3 March, every 7 days``."""
    last = f"last done {day_said(due.last, today)}" if due.last else "never written down as done"
    if due.because is Because.AMISS:
        found = short_day(due.on) if due.on else ""
        what = f": {chore.amiss}" if chore.amiss and due.on == chore.since else ""
        return f"something was found amiss on {found} and is not mended yet{what}"
    if due.because is Because.LIMIT and due.wear is not None and due.wear.limit is not None:
        at = read_words(due.wear.now, chore.reads)
        return f"{at} on {short_day(due.wear.on)}, and its limit is " + read_words(
            due.wear.limit, chore.reads
        )
    if due.because is Because.PLANNED:
        return f"the room is out of use then; {last}"
    one, several = USES.get(chore.at, ("use", "uses"))
    if due.because is Because.USES and due.last is not None:
        return f"{plural(due.uses, one, several)} since {short_day(due.last)}, {often(chore)}"
    return ", ".join(filter(None, (last, often(chore))))


def when_due(due: Due, today: date) -> str:
    """Return when it is due: ``overdue since 3 March``, ``due today``, ``due Friday``."""
    if due.state is State.OVERDUE and due.on is not None:
        return f"overdue since {day_said(due.on, today)}"
    if due.state is State.TODAY:
        return "due today"
    return f"due {day_said(due.on, today)}" if due.on is not None else "due by use"


def day_said(day: date, today: date) -> str:
    """Return a day as one says it from today, with its year where that is not this one's."""
    return near_day(day, today) if day.year == today.year else f"{short_day(day)} {day.year}"


def read_words(value: float, reads: Reads, system: str = "metric") -> str:
    """Return a reading with its unit: ``1,240 h``, ``240 Pa``, ``0.3 °C``."""
    if reads is Reads.HOURS:
        return f"{value:,.0f} h"
    if reads is Reads.PRESSURE_DROP:
        return f"{value / INCH_OF_WATER_PA:.2f} in wg" if system == "us" else f"{value:.0f} Pa"
    if reads is Reads.OFF_DEGREES and system == "us":
        return f"{value / KELVIN_PER_FAHRENHEIT:.1f} °F"
    unit = "°C" if reads is Reads.OFF_DEGREES else reads.value
    return f"{value:.3g} {unit}"


def wear_words(wear: Wear, reads: Reads, today: date, system: str = "metric") -> str:
    """Return how far something is worn and what is left, in a sentence."""
    at = f"{read_words(wear.now, reads, system)} {_at(reads)}{_when(wear.on, today)}"
    if wear.limit is None:
        return f"{at}; no limit is set."
    limit = read_words(wear.limit, reads, system)
    if wear.is_over:
        return f"{at}: its limit of {limit} is reached."
    left = read_words(wear.left or 0.0, reads, system)
    pace = ""
    if wear.expected_on is not None:
        about = day_said(wear.expected_on, today)
        pace = f" At the pace so far it is reached about {about}: a guess, no promise."
    return f"{at}, {left} left to its limit of {limit}.{pace}"


def _at(reads: Reads) -> str:
    return "used " if reads is Reads.HOURS else ""


def _when(on: date, today: date) -> str:
    said = near_day(on, today)
    return said if said in {"today", "yesterday", "tomorrow"} else f"on {said}"
