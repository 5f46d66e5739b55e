"""Starts and moves that are fixed by hand; the plan is made round them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Pin:
    """So many units of a step on one day, or none on that day."""

    code: str
    variety: str
    step: str  # a step that is started or ordered, or the fruiting step: a move into a grow room
    day: date
    count: int  # 0: not on this day
    note: str = ""


def pin_code(variety: str, step: str, day: date) -> str:
    """Return the code of a pin set on a page: one for each start and day, at most 40 signs."""
    return f"{variety[:14]}.{step[:14]}.{day:%Y%m%d}"
