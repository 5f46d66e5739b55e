"""What jobs about living lots share."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
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
        "lots": (LotAmount(lot.code, lot.alive, lot.step, place=lot.place),),
    }
    return PlannedJob(**{**given, **rest})


def whole(parts: Sequence[LivingLot]) -> LivingLot:
    """Return the units of one lot at several shelves as if they stood at the first of them."""
    return replace(parts[0], alive=sum(part.alive for part in parts))


def shelf_amounts(lots: Iterable[LivingLot]) -> tuple[LotAmount, ...]:
    """Return the units of each lot at each shelf: those that are to leave it."""
    units: dict[tuple[str, str, str], int] = defaultdict(int)
    for lot in lots:
        units[lot.code, lot.step, lot.place] += lot.alive
    return tuple(
        LotAmount(code, count, step, place=place) for (code, step, place), count in units.items()
    )


def amounts_of(lots: Iterable[LivingLot]) -> tuple[LotAmount, ...]:
    """Return the units of each lot, each lot once; with its shelf, if they stand on one."""
    found: dict[tuple[str, str], LotAmount] = {}
    for each in shelf_amounts(lots):
        before = found.get((each.lot, each.step))
        found[each.lot, each.step] = (
            replace(before, units=before.units + each.units, place="") if before else each
        )
    return tuple(found.values())


def age_of(lot: LivingLot, today: date) -> int:
    """Return the days since the present step of a lot began."""
    return (today - lot.step_since).days


def lots_in_words(lots: Sequence[LivingLot], most: int = 4) -> str:
    """Return the codes of lots, the first few by name."""
    codes = list(dict.fromkeys(lot.code for lot in lots))
    more = len(codes) - most
    return joined(codes) if more <= 0 else f"{', '.join(codes[:most])} and {more} more"
