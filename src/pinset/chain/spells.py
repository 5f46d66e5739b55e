"""What became of the units of one lot in one step of its route: what own figures are made of.

A spell begins when units come into a step (made, received, moved into it) and is over when none of
them is in it any more. The ledger is read into spells; nothing is judged here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Flushed:
    """What one flush of one lot brought."""

    number: int
    grams_per_unit: float  # of the units standing at each pick, summed over the picks [g]
    first_on: date
    last_on: date
    gone_before: int  # units lost since room entry when it was first picked


@dataclass(frozen=True, slots=True)
class Spell:
    """The units of one lot in one step."""

    lot: str
    variety: str
    step: str
    since: date  # the day the last of them came in
    units: int  # that came in
    standing: int  # still in it
    lost: int = 0  # taken out contaminated
    culled: tuple[tuple[int, int], ...] = ()  # taken out for another cause: days since, units
    left_after: int | None = None  # days until the first was used, sold or moved on; None: none was
    spent: int = 0  # cleared at the end of their last flush
    is_whole: bool = True  # seen from its first day, every unit of it accounted for
    is_together: bool = True  # all came in on one day
    flushes: tuple[Flushed, ...] = ()
    culture: str = ""  # it descends from; empty: not known

    @property
    def is_over(self) -> bool:
        """Whether no unit is in the step any more."""
        return self.standing <= 0
