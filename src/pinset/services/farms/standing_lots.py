"""The lots alive today as rows of the lots table: the way back from the ledger."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from types import MappingProxyType

from pinset.chain.keeping import is_too_cold
from pinset.chain.living import LivingLot
from pinset.chain.phases import CONTINUING
from pinset.chain.readiness import keeps_until
from pinset.chain.register import Route, StandingLot
from pinset.farm import queries
from pinset.farm.entries import Kind
from pinset.farm.models import Lot, Note


def standing_lots(
    on: date, routes: Mapping[str, Route] = MappingProxyType({})
) -> tuple[StandingLot, ...]:
    """Return every living lot, one row for each place and day it came there, oldest first.

    What belongs to the whole lot (units made, weight picked, the note of its opening) stands in
    its first row. A person's judgements of readiness and holds have no column and stay behind, but
    for the last day a lot keeps, where its row would tell another by the ``routes`` (of each
    variety, as they are written beside it; its own route where none is given).
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
                keeps_until=_keeps_until(lot, routes.get(lot.variety, lot.route)),
            )
        )
    return tuple(rows)


def _keeps_until(lot: LivingLot, route: Route) -> date | None:
    """Return the last day of a lot, unopened, where its row would not give the same one."""
    step = next((step for step in route.steps if step.code == lot.step), None)
    if step is None or is_too_cold(step, lot.temperature_c):
        return None
    bare = replace(
        lot, route=route, stood=(), keeps_until=None, expected_ready_on=None, opened_on=None
    )
    if step.kind not in CONTINUING:
        bare = replace(bare, step_since=lot.made_on)
    told = _last_day(lot)
    return None if told == keeps_until(bare) else told


def _last_day(lot: LivingLot) -> date | None:
    return keeps_until(replace(lot, opened_on=None))


def _opened_and_whole_together(living: Sequence[LivingLot]) -> list[LivingLot]:
    """Return one lot for each place, step, day and last day; no column tells how many are open."""
    found: dict[tuple[str, str, str, date, date | None], LivingLot] = {}
    for lot in living:
        key = (lot.code, lot.place, lot.step, lot.step_since, _last_day(lot))
        before = found.get(key)
        found[key] = replace(before, alive=before.alive + lot.alive) if before else lot
    return list(found.values())


def _in_room_since(lot: LivingLot) -> date | None:
    return lot.step_since if lot.now_step().kind in CONTINUING else None


def _notes(codes: set[str]) -> dict[str, str]:
    """Return the notes of opening entries by lot."""
    digests = dict(
        Lot.objects.filter(code__in=codes, made_by__kind=Kind.OPENING.value)
        .exclude(made_by__note="")
        .values_list("code", "made_by__note")
    )
    texts = dict(Note.objects.filter(digest__in=digests.values()).values_list("digest", "text"))
    return {code: texts.get(digest, "") for code, digest in digests.items()}
