"""Starts, moves and cooks that are fixed by hand; the plan is made round them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Pin:
    """So many units of a step, or cooks of a steriliser, on one day, or none on that day."""

    code: str
    variety: str  # empty: a cook
    step: str  # that is started or ordered, or the fruiting step: a move into a grow room
    day: date
    count: int  # 0: not on this day
    note: str = ""
    steriliser: str = ""  # of a cook; ``step`` is its kind then

    @property
    def of(self) -> str:
        """The variety, or the steriliser of a cook."""
        return self.variety or self.steriliser


def pin_code(of: str, step: str, day: date) -> str:
    """Return the code of a pin set on a page: one for each start and day, at most 40 signs.

    ``of`` is its variety, or the steriliser of a cook; ``step`` its step, or the kind of cook.
    """
    return f"{of[:14]}.{step[:14]}.{day:%Y%m%d}"
