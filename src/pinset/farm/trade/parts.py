"""What the builders share: who tapped, what was taken, and how postings are paired."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import Account, Kind, Measure, NewEntry, NewMention, NewPosting

UNIT = "unit"
"""Role of the mention that names units of a lot by their numbers: its value is ``3, 12``."""

NUMBERS_A_MENTION = 15


@dataclass(frozen=True, slots=True)
class Tap:
    """Who says that something happened, when it did, and for which job."""

    client_id: str  # random, made where the tap was; 32 hexadecimal signs
    at: datetime  # aware
    person: str = ""  # code; empty: the program itself
    job: str = ""
    note: str = ""

    def entry(
        self, kind: Kind, *, details: Mapping[str, Any] | None = None, **parts: Any
    ) -> NewEntry:
        """Return an entry of this tap; details that are empty are left out."""
        said = {
            name: value for name, value in (details or {}).items() if value not in ("", None, 0)
        }
        return NewEntry(
            client_id=self.client_id,
            kind=kind,
            happened_at=self.at,
            person=self.person,
            job=self.job,
            note=self.note,
            details=said,
            **parts,
        )


@dataclass(frozen=True, slots=True)
class Taken:
    """Units (or grams in store) of a lot taken from a place."""

    lot: str
    quantity: int
    place: str = ""
    picked_on: date | None = None  # of grams: the day of their picking, where it is known


@dataclass(frozen=True, slots=True)
class ParentShare:
    """Parent units that went into a new lot.

    With ``is_part`` the vessel stays alive and is marked opened; ``amount`` says how much was
    taken, in ``measure``.
    """

    lot: str
    units: int
    place: str = ""
    is_part: bool = False
    amount: int = 0
    measure: Measure = Measure.UNIT


def with_units(entry: NewEntry, units: Mapping[str, Sequence[int]]) -> NewEntry:
    """Return the entry with the numbers of the units it is about, where their labels were read.

    Parameters
    ----------
    entry : NewEntry
        What happened.
    units : mapping of str to sequence of int
        Numbers of units by lot; lots that the entry does not speak of are left out.
    """
    spoken = {
        *(posting.lot for posting in entry.postings),
        *(mention.lot for mention in entry.mentions),
        *(link.parent for link in entry.links),
    }
    named = [
        NewMention(lot, UNIT, value=", ".join(map(str, numbers[n : n + NUMBERS_A_MENTION])))
        for lot, numbers in units.items()
        if lot in spoken
        for n in range(0, len(numbers), NUMBERS_A_MENTION)
    ]
    return replace(entry, mentions=(*entry.mentions, *named)) if named else entry


def positive(field: str, quantity: int) -> int:
    """Return a quantity of something that happened, which is at least 1."""
    if type(quantity) is not int or quantity < 1:
        raise InputError(field, quantity, "a whole number from 1 on")
    return quantity


def moved(
    taken: Taken, source: Account, target: Account, measure: Measure, *, to_place: str = ""
) -> tuple[NewPosting, NewPosting]:
    """Return the two postings that take a quantity out of one account into another."""
    quantity = positive("quantity", taken.quantity)
    return (
        NewPosting(taken.lot, source, measure, -quantity, taken.place),
        NewPosting(taken.lot, target, measure, quantity, to_place),
    )


def appeared(
    lot: str, source: Account, standing: Account, measure: Measure, quantity: int, *, place: str
) -> tuple[NewPosting, NewPosting]:
    """Return the two postings by which something comes into the books."""
    positive("quantity", quantity)
    return (
        NewPosting(lot, source, measure, -quantity),
        NewPosting(lot, standing, measure, quantity, place),
    )
