"""What jobs about living lots share."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from pinset.chain.living import LivingLot
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.words import joined


def lot_job(lot: LivingLot, reader: Reader, kind: JobKind, **rest: Any) -> PlannedJob:
    """Return a job about all units of one lot; ``rest`` gives its words, minutes and place."""
    given: dict[str, Any] = {
        "key": f"{kind.value}:{lot.code}",
        "kind": kind,
        "task": kind.value,
        "day": reader.today,
        "count": lot.alive,
        "unit": "units",
        "stage": lot.stage.value,
        "step": lot.step,
        "variety": lot.variety,
        "variety_name": reader.name(lot.variety),
        "place": lot.place,
        "room": lot.room,
        "lots": (LotAmount(lot.code, lot.alive, lot.step),),
    }
    return PlannedJob(**{**given, **rest})


def age_of(lot: LivingLot, today: date) -> int:
    """Return the days since the present step of a lot began."""
    return (today - lot.step_since).days


def lots_in_words(lots: Sequence[LivingLot], most: int = 4) -> str:
    """Return the codes of lots, the first few by name."""
    codes = list(dict.fromkeys(lot.code for lot in lots))
    more = len(codes) - most
    return joined(codes) if more <= 0 else f"{', '.join(codes[:most])} and {more} more"
