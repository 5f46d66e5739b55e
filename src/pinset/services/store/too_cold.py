"""What is said where units would go into a cold store in which they die."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.chain.cold_stores import only_too_cold
from pinset.chain.keeping import is_too_cold
from pinset.chain.register import Room, Step
from pinset.services.book_reader import Reader
from pinset.services.words import joined
from pinset.units import Quantity, show


def keep_elsewhere(step: Step, reader: Reader) -> str:
    """Return that units of a step must be kept out of the farm's cold store; else nothing.

    ``Fridge is at 4 °C and they die below 10 °C: keep them elsewhere``.
    """
    store = only_too_cold(reader.book, step)
    return f"{_why(step, store, reader)}: keep them elsewhere" if store else ""


def with_warning(detail: str, step: Step, reader: Reader) -> str:
    """Return the soft line of a job, with the warning where there is one."""
    return "; ".join(part for part in (detail, keep_elsewhere(step, reader)) if part)


def dies_there(steps: Iterable[Step], place: str, reader: Reader) -> str:
    """Return in a sentence that what was carried to a shelf dies there; else nothing."""
    room = reader.room_of(place)
    if room is None:
        return ""
    said = [_why(step, room, reader) for step in steps if is_too_cold(step, room.temperature_c)]
    if not said:
        return ""
    return f"{joined(list(dict.fromkeys(said)))}: carry them elsewhere at once."


def _why(step: Step, room: Room, reader: Reader) -> str:
    system = reader.book.farm.units
    here = show(Quantity.TEMPERATURE, room.temperature_c, system)
    if step.cold_min_c is None:
        return f"{room.name} is at {here} and they must not be chilled"
    least = show(Quantity.TEMPERATURE, step.cold_min_c, system)
    return f"{room.name} is at {here} and they die below {least}"
