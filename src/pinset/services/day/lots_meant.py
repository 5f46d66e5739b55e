"""From which lots a job is done, and from which of their shelves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from pinset.chain.stages import noun_of
from pinset.farm.glance import Glance
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import LotAmount
from pinset.services.views import LotUse
from pinset.services.words import joined


def lot_use(
    lot: LotAmount,
    looks: Mapping[str, Glance],
    reader: Reader,
    today: date,
    reached: Sequence[str] = (),
) -> LotUse:
    """Return a lot of a job as people see it, at the shelf that is meant.

    Where none is meant, or nothing of the lot stands there any more, at every shelf it stands on;
    of a move that is done, at the shelves it ``reached``.
    """
    seen = looks.get(lot.lot)
    if seen is None:
        return LotUse(lot.lot, lot.units, 0, "not in the books")
    noun = noun_of(seen.stage, 2, is_bought=reader.is_bought(seen.variety, seen.step))
    age = f", day {(today - seen.made_on).days}" if seen.made_on else ""
    words = f"{noun}, {reader.name(seen.variety)}{age}".strip(", ")
    place = lot.place if _is_there(lot, seen) else joined(seen.places)
    place = joined(reached) or place
    shelves = tuple((each.place, each.quantity) for each in seen.standing)
    return LotUse(lot.lot, lot.units, seen.alive, words, place, shelves)


def shelves_in_words(lots: Sequence[LotAmount], looks: Mapping[str, Glance]) -> str:
    """Return from which shelves lots are taken that stand on several, where some are meant.

    ``from run-1``, or ``2 of SBQRW from run-1 and 3 of SBQRW from run-2``.
    """
    meant = [
        lot
        for lot in lots
        if lot.place
        and (seen := looks.get(lot.lot)) is not None
        and len(seen.places) > 1
        and _is_there(lot, seen)
    ]
    if len(meant) == len(lots) == 1:
        return f"from {meant[0].place}"
    return joined([f"{lot.units} of {lot.lot} from {lot.place}" for lot in meant])


def _is_there(lot: LotAmount, seen: Glance) -> bool:
    """Say whether the shelf that is meant holds some of the lot, or nothing of it is left."""
    return bool(lot.place) and (lot.place in seen.places or not seen.places)
