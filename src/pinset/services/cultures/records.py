"""What services say of the cold shelf, with words already chosen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class PlateLine:
    """How fast one plate grew."""

    lot: str
    plate: int
    at: datetime  # of its last reading
    mm_per_day: float
    within: float  # the true growth lies so near about 95 times in 100 [mm/day]
    is_at_edge: bool  # the plate was full: at least so fast
    transfers: int
    temperature_c: float | None
    medium: str
    words: str


@dataclass(frozen=True, slots=True)
class TubeLine:
    """Tubes, plates or liquid of one lot at one place of the shelf."""

    lot: str
    stage: str
    step: str
    words: str  # "6 tubes"
    alive: int
    place: str
    room: str  # code
    room_name: str
    temperature_c: float
    medium: str
    made_on: date
    opened_on: date | None
    keeps_until: date | None
    transfers: int
    transfer_limit: int
    woken: str  # the last wake-up test in words; empty: none
    asks: str  # test, renew, mother, nothing; empty: no tube
    asked: str  # that in words, with its reason
    on: date | None
    is_due: bool
    back_to: str  # lot to go back to
    held: str


@dataclass(frozen=True, slots=True)
class Clone:
    """What is known of a culture that is not cleared."""

    is_grown: bool  # a plate of it was measured, or a piece of it was woken well
    picked_g: int
    words: str


@dataclass(frozen=True, slots=True)
class CultureView:
    """One culture with all of it that is kept."""

    code: str  # empty: none is named in the books
    variety: str
    source: str
    mother_on: date | None
    is_cleared: bool
    note: str
    tubes: tuple[TubeLine, ...]  # what is due first stands first
    working: tuple[TubeLine, ...]  # plates and liquid
    plates: tuple[PlateLine, ...]  # newest first
    vigour: str  # the newest plate held against the earlier ones, in words
    is_slower: bool
    clone: Clone | None  # of one that is not cleared
    warning: str  # empty: none

    @property
    def is_gone(self) -> bool:
        """Say whether nothing of it stands on the shelf."""
        return not self.tubes and not self.working

    @property
    def first_on(self) -> date:
        """Return the day on which its first tube asks for something."""
        return min((tube.on for tube in self.tubes if tube.on), default=date.max)


@dataclass(frozen=True, slots=True)
class ShelfView:
    """The whole shelf, what is due first."""

    day: date
    sentence: str
    due: int  # lots of tubes that ask for something now
    cultures: tuple[CultureView, ...]


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A culture that stands in one room."""

    culture: str
    variety: str
    units: str  # "6 tubes and 12 plates"
    lots: tuple[str, ...]
    is_only_here: bool
    elsewhere: str  # rooms where more of it is kept; or where it lives on as something else
    second: str  # where a second tube could stand, or what else to do; empty: it is not needed


@dataclass(frozen=True, slots=True)
class FridgeView:
    """A room with cultures in it, and what would be lost with it."""

    room: str
    name: str
    temperature_c: float
    sentence: str
    at_risk: tuple[AtRisk, ...]  # what stands only here comes first
