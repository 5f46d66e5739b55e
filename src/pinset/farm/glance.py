"""A short look at some lots: alive, where, and what they are."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db import connection

from pinset.chain.stages import Stage
from pinset.farm.rows import select_in
from pinset.farm.whereabouts import Standing

_LOTS = (
    "SELECT l.code, l.stage, l.variety, l.step, l.made_on, l.culture, b.quantity, p.code "
    "FROM farm_lot l LEFT JOIN farm_balance b ON b.lot_id = l.id AND b.account = 'alive' "
    "AND b.measure = 'unit' AND b.quantity > 0 LEFT JOIN farm_place p ON p.id = b.place_id "
    "WHERE l.code"
)


@dataclass(frozen=True, slots=True)
class Glance:
    """What a line about a lot needs."""

    code: str
    stage: Stage
    variety: str
    step: str  # the step it was made in
    made_on: date | None
    standing: tuple[Standing, ...]  # where its units stand, most first

    @property
    def alive(self) -> int:
        """Units alive."""
        return sum(each.quantity for each in self.standing)

    @property
    def places(self) -> tuple[str, ...]:
        """Where it stands, most first."""
        return tuple(each.place for each in self.standing)

    @property
    def place(self) -> str:
        """Where most of it stands; empty if none is alive."""
        return self.standing[0].place if self.standing else ""


def glance(codes: Collection[str]) -> dict[str, Glance]:
    """Return a short look at each of these lots, by code; unknown codes are left out."""
    if not codes:
        return {}
    facts: dict[str, tuple[str, str, str, date | None]] = {}
    standing: dict[str, list[Standing]] = {}
    with connection.cursor() as cursor:
        for code, *own, culture, units, place in select_in(cursor, _LOTS, codes):
            facts[code] = tuple(own)
            here = standing.setdefault(code, [])
            if units is not None:
                here.append(Standing(code, place, units, own[-1], culture))
    return {
        code: Glance(
            code=code,
            stage=Stage(stage) if stage else Stage.PREPARED,
            variety=variety,
            step=step,
            made_on=made_on,
            standing=tuple(sorted(standing[code], key=lambda at: (-at.quantity, at.place))),
        )
        for code, (stage, variety, step, made_on) in facts.items()
    }
