"""The lots alive today as rows of the lots table: the way back from the ledger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.phases import CONTINUING
from pinset.chain.register import StandingLot
from pinset.farm import queries
from pinset.farm.entries import Kind
from pinset.farm.models import Lot, Note


def standing_lots(on: date) -> tuple[StandingLot, ...]:
    """Return every living lot, one row for each place and day it came there, oldest first.

    What belongs to the whole lot (units made, weight picked, the note of its opening) stands in
    its first row. A person's judgements of readiness and holds have no column and stay behind.
    """
    living = _opened_and_whole_together(queries.living(on))
    codes = {lot.code for lot in living}
    bought = dict(Lot.objects.filter(code__in=codes).values_list("code", "bought_from"))
    notes = _notes(codes)
    alive: dict[str, int] = {}
    for lot in living:
        alive[lot.code] = alive.get(lot.code, 0) + lot.alive
    seen: set[str] = set()
    rows = []
    for lot in living:
        is_first = lot.code not in seen
        seen.add(lot.code)
        rows.append(
            StandingLot(
                variety=lot.variety,
                step=lot.step,
                count=lot.alive,
                made_on=lot.made_on,
                place=lot.place,
                culture=lot.culture,
                code=lot.code,
                made_count=lot.made if is_first and lot.made != alive[lot.code] else None,
                generation=lot.generation,
                transfers=lot.transfers,
                opened_on=lot.opened_on,
                bought_from=bought[lot.code],
                in_room_since=_in_room_since(lot),
                picked_g=lot.picked_g if is_first else 0,
                note=notes.get(lot.code, "") if is_first else "",
            )
        )
    return tuple(rows)


def _opened_and_whole_together(living: Sequence[LivingLot]) -> list[LivingLot]:
    """Return one lot for each place, step and day; no column says how many units are opened."""
    found: dict[tuple[str, str, str, date], LivingLot] = {}
    for lot in living:
        key = (lot.code, lot.place, lot.step, lot.step_since)
        before = found.get(key)
        found[key] = replace(before, alive=before.alive + lot.alive) if before else lot
    return list(found.values())


def _in_room_since(lot: LivingLot) -> date | None:
    is_moved = lot.now_step().kind in CONTINUING and lot.step_since != lot.made_on
    return lot.step_since if is_moved else None


def _notes(codes: set[str]) -> dict[str, str]:
    """Return the notes of opening entries by lot."""
    digests = dict(
        Lot.objects.filter(code__in=codes, made_by__kind=Kind.OPENING.value)
        .exclude(made_by__note="")
        .values_list("code", "made_by__note")
    )
    texts = dict(Note.objects.filter(digest__in=digests.values()).values_list("digest", "text"))
    return {code: texts.get(digest, "") for code, digest in digests.items()}
