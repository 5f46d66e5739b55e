"""Entries of upkeep: a chore was done, an instruction was read and understood."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.trade.parts import Tap


@dataclass(frozen=True, slots=True)
class ChoreReading:
    """What was read off when a chore was done."""

    value: float
    unit: str


def chore_done(
    tap: Tap,
    chore: str,
    *,
    reading: ChoreReading | None = None,
    is_changed: bool = False,
    is_amiss: bool = False,
    instrument: str = "",
    reference: str = "",
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """A chore was done.

    Parameters
    ----------
    tap : Tap
        Who, when, for which job.
    chore : str
        Its code.
    reading : ChoreReading, optional
        What was read off; of something that was changed what the new one read.
    is_changed : bool
        A new one was put in, or it was mended.
    is_amiss : bool
        Something was found that is not mended yet.
    instrument, reference : str
        Code of the probe or gauge that was compared, and with what.
    details : mapping, optional
        More to be kept.

    Raises
    ------
    InputError
        If it names no chore, or was mended and is amiss.
    """
    if not chore:
        raise InputError("chore", chore, "the code of a chore")
    if is_changed and is_amiss:
        raise InputError("amiss", "yes", "one of the two: mended, or still amiss")
    said = {
        "chore": chore,
        "changed": is_changed or None,
        "amiss": is_amiss or None,
        "instrument": instrument,
        "reference": reference,
        "count": 1,
        **(details or {}),
    }
    entry = tap.entry(Kind.CLEAN, details=said)
    if reading is not None:  # also where it is 0
        entry.details["reading"] = reading.value
        entry.details["unit"] = reading.unit
    return entry


def instruction_read(tap: Tap, instruction: str, version: int) -> NewEntry:
    """Somebody read a version of an instruction and says that it was understood.

    Raises
    ------
    InputError
        If nobody is named, or it names no version of an instruction.
    """
    if not tap.person:
        raise InputError("person", tap.person, "who read it")
    if not instruction or version < 1:
        raise InputError("instruction", f"{instruction} {version}", "a version that is there")
    return tap.entry(Kind.READ, details={"instruction": instruction, "version": version})
