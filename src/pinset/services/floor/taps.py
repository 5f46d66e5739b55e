"""What one tap on lots in hand says, and whether it was written down before."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from pinset.errors import InputError, RefusedError
from pinset.farm.entries import Kind
from pinset.farm.queries.story import Happened
from pinset.services.answers.same_answer import ANSWER
from pinset.services.floor.records import FROM_A_SHELF, Amount, Deed
from pinset.services.loads.despite import Despite

KINDS = {
    Deed.SHAKE: Kind.SHAKE,
    Deed.LOOK: Kind.LOOK,
    Deed.MOVE: Kind.MOVE,
    Deed.CARRY: Kind.MOVE,
    Deed.USE: Kind.INOCULATE,
    Deed.PICK: Kind.PICK,
    Deed.CLEAR: Kind.SPEND,
    Deed.DISCARD: Kind.CULL,
    Deed.LOSE: Kind.LOSE,
    Deed.HOLD: Kind.JUDGE,
    Deed.RELEASE: Kind.JUDGE,
}
"""The kind of entry each deed is written down as."""


@dataclass(frozen=True, slots=True)
class Saying:
    """What one tap says of the lots in hand."""

    deed: Deed
    amounts: tuple[Amount, ...]
    jobs: tuple[str, ...] = ()  # that it answers
    makes: int | None = None  # of a transfer: units made
    grams: int | None = None  # of a pick
    choice: str = ""  # what was seen, why it is held back, the shelf it was carried to
    reason: str = ""  # why it is right although something speaks against it
    despite: tuple[Despite, ...] = ()  # of a transfer: why vessels of cooks not passed are used

    @property
    def lots(self) -> dict[str, int]:
        """Return the units of each lot."""
        return {each.lot: each.count for each in self.amounts}

    @property
    def shelves(self) -> tuple[tuple[str, str, int], ...]:
        """Return the units of each lot that are taken from a shelf that was said."""
        if self.deed not in FROM_A_SHELF:
            return ()
        return tuple(
            (each.lot, each.shelf, each.count) for each in self.amounts if each.shelf and each.count
        )

    @property
    def units(self) -> dict[str, tuple[int, ...]]:
        """Return the numbers of the units whose labels were read, by lot."""
        return {each.lot: each.units for each in self.amounts if each.units}


@dataclass(frozen=True, slots=True)
class By:
    """Who tapped, by which tap, and when it happened."""

    person: str
    client_id: str
    at: datetime | None
    note: str

    def id_of(self, number: int) -> str:
        """Return the id of the n-th entry of the tap; the first carries the tap's own."""
        if not number:
            return self.client_id
        return hashlib.sha256(f"{self.client_id} {number}".encode()).hexdigest()[:32]


def refuse_numbers(saying: Saying) -> None:
    """Refuse a tap that names no lot, or a number that cannot be.

    Raises
    ------
    InputError
        If it does.
    """
    if not saying.amounts:
        raise InputError("lot", "", "at least one lot in hand")
    for each in saying.amounts:
        if each.count < (0 if saying.deed is Deed.USE else 1):  # of one opened before: none more
            raise InputError("count", each.count, f"1 or more units of {each.lot}")
    said = [each.shelf for each in saying.amounts if each.shelf]
    if said and saying.deed not in FROM_A_SHELF:
        raise InputError("shelf", said[0], "no shelf: nothing is taken from one by this")
    if saying.deed is Deed.PICK and (len(saying.amounts) > 1 or saying.grams is None):
        raise InputError("weight", saying.grams, "the weight from the scale, of one lot")
    if saying.deed is Deed.USE and (len(saying.jobs) != 1 or saying.makes is None):
        raise InputError("count", saying.makes, "how many were made, for one job")


def refuse_another(known: Happened, saying: Saying) -> None:
    """Refuse a tap that comes under the id of one that said something else.

    Raises
    ------
    RefusedError
        If it is of another kind, of other lots or of other numbers.
    """
    before = dict(known.details.get(ANSWER, {}))
    lots = dict(before.get("lots", {}))
    if saying.deed is Deed.PICK:
        lots = {lot: grams for lot, grams in lots.items() if grams != saying.grams}
    shelves = [list(each) for each in saying.shelves if each[0] in lots]
    is_same = (
        known.kind == KINDS[saying.deed].value
        and all(saying.lots.get(lot) == units for lot, units in lots.items())
        and before.get("grams", saying.grams) == saying.grams
        and before.get("shelves", []) == shelves
        and before.get("choice", saying.choice) == saying.choice
        and _lots_of(known) & set(saying.lots)
    )
    if not is_same:
        raise RefusedError(
            "This was sent before and said something else, which stands in the books. Nothing more "
            "was written.",
            "If the first was wrong, take it back; for something else scan the lot again.",
        )


def _lots_of(known: Happened) -> set[str]:
    return {
        *(posting.lot for posting in known.postings),
        *(mention.lot for mention in known.mentions),
        *(parent for parent, _, _ in known.links),
    }
