"""A short look at some lots: alive, where, and what they are."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from pinset.chain.stages import Stage
from pinset.farm.entries import Account, Measure
from pinset.farm.models import Balance, Lot


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
    lots = Lot.objects.filter(code__in=list(codes)).values_list(
        "id", "code", "stage", "variety", "step", "made_on", named=True
    )
    standing: dict[int, list[tuple[int, str]]] = {}
    rows = Balance.objects.filter(
        lot__in=[lot.id for lot in lots],
        account=Account.ALIVE,
        measure=Measure.UNIT,
        quantity__gt=0,
    ).values_list("lot_id", "quantity", "place__code")
    for lot_id, quantity, place in rows:
        standing.setdefault(lot_id, []).append((quantity, place))
    return {
        lot.code: Glance(
            code=lot.code,
            stage=Stage(lot.stage) if lot.stage else Stage.PREPARED,
            variety=lot.variety,
            step=lot.step,
            made_on=lot.made_on,
            alive=sum(quantity for quantity, _ in standing.get(lot.id, [])),
            place=max(standing.get(lot.id, [(0, "")]))[1],
        )
        for lot in lots
    }
