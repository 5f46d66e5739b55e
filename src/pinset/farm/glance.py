"""A short look at some lots: alive, where, and what they are."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db import connection

from pinset.chain.stages import Stage
from pinset.farm.rows import select_in

_LOTS = "SELECT code, stage, variety, step, made_on FROM farm_lot WHERE code"
_ALIVE = (
    "SELECT l.code, b.quantity, p.code FROM farm_lot l "
    "JOIN farm_balance b ON b.lot_id = l.id JOIN farm_place p ON p.id = b.place_id "
    "WHERE b.account = 'alive' AND b.measure = 'unit' AND b.quantity > 0 AND l.code"
)


@dataclass(frozen=True, slots=True)
class Glance:
    """What a line about a lot needs."""

    code: str
    stage: Stage
    variety: str
    step: str  # the step it was made in
    made_on: date | None
    alive: int
    place: str  # where most of it stands


def glance(codes: Collection[str]) -> dict[str, Glance]:
    """Return a short look at each of these lots, by code; unknown codes are left out."""
    if not codes:
        return {}
    standing: dict[str, list[tuple[int, str]]] = {}
    with connection.cursor() as cursor:
        lots = list(select_in(cursor, _LOTS, codes))
        for code, quantity, place in select_in(cursor, _ALIVE, codes):
            standing.setdefault(code, []).append((quantity, place))
    return {
        code: Glance(
            code=code,
            stage=Stage(stage) if stage else Stage.PREPARED,
            variety=variety,
            step=step,
            made_on=made_on,
            alive=sum(quantity for quantity, _ in standing.get(code, [])),
            place=max(standing.get(code, [(0, "")]))[1],
        )
        for code, stage, variety, step, made_on in lots
    }
