"""Why no batch was found that makes a weak promise surer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pinset.planning.reading.repair_trials import Touched


class Vain(StrEnum):
    """What is in the way."""

    LATE = "late"  # nothing that is started from now on is there in time
    FULL = "full"  # people, places, vessels or sterilisers
    LITTLE = "little"  # a batch was tried, or none fits; a new plan may find a way
    NOT_YET = "not-yet"  # what would serve it is started later than is planned day by day


@dataclass(frozen=True, slots=True)
class InVain:
    """A weak promise for which one more batch does nothing, or cannot be."""

    promise: str
    due: date
    variety: str
    cause: Vain
    because: str = ""  # what is full, or in the way of a batch, in words that follow *because*
    step: str = ""  # of the batch that was tried, or would be started later
    on: date | None = None
    units: int = 0  # 0: none was tried
    before: float = 0.0  # the chance without it
    after: float = 0.0  # planned anew with it
    surer: Touched | None = None  # the other promise that it makes surer instead
    weaker: Touched | None = None  # the other promise that it takes as much from, or more
    is_hopeless: bool = False  # with all else as it is it did next to nothing; not planned anew
