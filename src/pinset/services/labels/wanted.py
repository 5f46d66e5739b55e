"""Which labels are wanted: a lot, a unit or a run of units, as typed or as an address says it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from pinset.errors import InputError, RefusedError
from pinset.farm.label_store import labelled
from pinset.services.labels.facts import LotFacts

MOST_OF_A_LOT = 2000
ACCEPTED = "a lot such as 7K4MV, a unit 7K4MV/12, or units 7K4MV/1-24"
_UNITS = re.compile(r"([1-9]\d{0,5})(?:[-–]([1-9]\d{0,5}))?")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Labels of one lot: so many, from a unit on."""

    lot: str
    first: int
    count: int

    def __str__(self) -> str:
        """Return the form read by :func:`read_wanted`."""
        last = self.first + self.count - 1
        return f"{self.lot}/{self.first}-{last}" if self.count > 1 else f"{self.lot}/{self.first}"


def read_wanted(text: str) -> tuple[str, int, int]:
    """Return lot, first unit and count of a typed wish; a lot alone has 0 and 0.

    Raises
    ------
    InputError
        If it is of another form, or the units run backwards.

    Examples
    --------
    >>> read_wanted("7K4MV/3-10")
    ('7K4MV', 3, 8)
    """
    lot, slash, units = text.strip().partition("/")
    if not slash:
        return lot, 0, 0
    found = _UNITS.fullmatch(units.strip())
    if found is None:
        raise InputError("labels", text, ACCEPTED)
    first = int(found[1])
    last = int(found[2] or first)
    if last < first or last - first >= MOST_OF_A_LOT:
        raise InputError("labels", text, f"{ACCEPTED}, at most {MOST_OF_A_LOT} at once")
    return lot, first, last - first + 1


def without_label(facts: Iterable[LotFacts]) -> dict[str, tuple[int, int]]:
    """Return of each lot the first unit without a label and how many have none.

    No more than are alive. Where all have one it is (1, 0): printing again begins at the first.
    """
    lots = tuple(facts)
    done = labelled([each.lot for each in lots])
    found = {}
    for each in lots:
        upto = min(done.get(each.lot, 0), each.made)
        left = min(each.made - upto, each.alive)
        found[each.lot] = (upto + 1, left) if left > 0 else (1, 0)
    return found


def checked(facts: LotFacts, first: int, count: int, *, is_numbered: bool) -> Wanted:
    """Return the labels of a lot if there are such units.

    Raises
    ------
    InputError
        If there are fewer units, or too many labels are wanted.
    """
    if not 1 <= count <= MOST_OF_A_LOT:
        raise InputError(f"labels of {facts.lot}", count, f"1 to {MOST_OF_A_LOT}")
    last = first + count - 1
    if is_numbered and not 1 <= first <= last <= facts.made:
        raise InputError(
            f"units of {facts.lot}",
            f"{first} to {last}" if count > 1 else first,
            f"1 to {facts.made}: so many were made",
            "Print them without numbers if more labels are wanted.",
        )
    return Wanted(facts.lot, first, count)


def all_labelled(facts: LotFacts) -> RefusedError:
    """Return why nothing is printed of a lot of which nothing is left without a label."""
    if not facts.alive:
        return RefusedError(
            f"{facts.lot}: nothing of it is alive.",
            f"Say which to print all the same: {facts.lot}/1-{facts.made}.",
        )
    return RefusedError(
        f"{facts.lot}: all {facts.made} have a label.",
        f"Say which to print again: {facts.lot}/1-{facts.made}.",
    )
