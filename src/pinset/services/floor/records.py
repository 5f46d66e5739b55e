"""What a scan hands on: lots in hand, what may happen to them, and what was written down."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pinset.services.views import LotLine


class Deed(StrEnum):
    """What may happen to a lot that is in hand."""

    SHAKE = "shake"
    LOOK = "look"  # looked over, nothing seen
    MOVE = "move"  # into the next step of its route, or where a job carries it
    CARRY = "carry"  # to another shelf, in the same step
    USE = "use"  # as a parent, for a transfer that is laid out
    PICK = "pick"
    CLEAR = "clear"  # spent, out of the grow room
    DISCARD = "discard"  # past its time, thrown out
    LOSE = "lose"  # contaminated
    HOLD = "hold"
    RELEASE = "release"


FROM_A_SHELF = frozenset({
    Deed.MOVE,
    Deed.CARRY,
    Deed.USE,
    Deed.CLEAR,
    Deed.DISCARD,
    Deed.LOSE,
})  # fmt: skip
"""What takes units from where they stand, so that the shelf may be said."""


@dataclass(frozen=True, slots=True)
class Held:
    """A lot in hand: the whole of it, or the units whose labels were read."""

    lot: str  # code
    units: tuple[int, ...] = ()

    def __str__(self) -> str:
        """Return the form in which forms carry it: ``7K4MV`` or ``7K4MV/3,12``."""
        if not self.units:
            return self.lot
        return f"{self.lot}/{','.join(str(unit) for unit in self.units)}"

    @property
    def units_said(self) -> str:
        """Return the numbers of the units: ``3, 12``; empty for the whole lot."""
        return ", ".join(str(unit) for unit in self.units)


@dataclass(frozen=True, slots=True)
class Amount:
    """How many units of a lot something is said of, unless another number is set."""

    lot: str
    count: int
    most: int  # alive
    units: tuple[int, ...] = ()  # whose labels were read
    shelf: str = ""  # from which of its shelves, where that was said


@dataclass(frozen=True, slots=True)
class NextThing:
    """Something that may happen now, recorded by one tap."""

    deed: Deed
    words: str  # on the button
    detail: str  # why, or what it does
    amounts: tuple[Amount, ...]  # by lot in hand
    jobs: tuple[str, ...] = ()  # that it answers
    job_lots: tuple[str, ...] = ()  # of which lots those jobs ask it
    makes: int = 0  # of a transfer: units that come out of it
    is_weighed: bool = False
    is_usual: bool = False
    cautions: tuple[str, ...] = ()  # keys
    choices: tuple[tuple[str, str], ...] = ()  # what was seen on lost units: key and name


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Work on the lot that has a page of its own."""

    words: str
    page: str  # job, cook, lot
    code: str


@dataclass(frozen=True, slots=True)
class InHand:
    """A lot in hand as it stands now."""

    held: Held
    line: LotLine
    sentence: str  # "12 alive of 24, day 6, incubation, shelf B3; ready 18 to 21 March"
    remarks: tuple[str, ...]  # what somebody should know before touching it
    standing: tuple[tuple[str, int], ...] = ()  # shelves with its units there, where on several


@dataclass(frozen=True, slots=True)
class HandView:
    """What is in hand and what may happen to it, the usual thing first."""

    lots: tuple[InHand, ...]
    things: tuple[NextThing, ...]
    elsewhere: tuple[Elsewhere, ...]
    cautions: tuple[str, ...]  # sentences, each once


@dataclass(frozen=True, slots=True)
class Unread:
    """A label that named no lot to take in hand, and what to do about it."""

    given: str  # what was read
    sentence: str
    hint: str = ""
    near: tuple[str, ...] = ()  # codes of lots of the farm that may be meant
    lot: str = ""  # a lot of the farm of which nothing is alive


@dataclass(frozen=True, slots=True)
class LabelsRead:
    """What labels said: lots to take in hand, and what could not be read."""

    held: tuple[Held, ...] = ()
    unread: tuple[Unread, ...] = ()


@dataclass(frozen=True, slots=True)
class WrittenDown:
    """What one tap on lots in hand came to."""

    entries: tuple[str, ...]  # client ids
    already: bool  # the same tap had arrived before
    sentence: str
    findings: tuple[str, ...]
    new_lots: tuple[str, ...] = ()
