"""Lots as the books list them, with their counts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, Sum

from pinset.errors import InputError
from pinset.farm.entries import Account, Measure
from pinset.farm.models import Balance, Lot


@dataclass(frozen=True, slots=True)
class Counts:
    """Where the units and grams of a lot went; made counts what was made or received."""

    made: int = 0
    alive: int = 0
    used: int = 0
    lost: int = 0
    culled: int = 0
    spent: int = 0
    sold: int = 0
    unexplained: int = 0  # units; negative: more was taken than stood there
    grown_g: int = 0
    store_g: int = 0
    delivered_g: int = 0
    dried_g: int = 0
    waste_g: int = 0
    unexplained_g: int = 0

    @property
    def is_balanced(self) -> bool:
        """Whether every unit and gram is accounted for."""
        gone = self.used + self.lost + self.culled + self.spent + self.sold
        weighed = self.store_g + self.delivered_g + self.dried_g + self.waste_g
        return (
            self.made == self.alive + gone + self.unexplained
            and self.grown_g == weighed + self.unexplained_g
        )


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot's facts and counts."""

    code: str
    stage: str
    variety: str
    step: str  # the step it was made in
    culture: str
    made_on: date | None  # None: only announced
    cook: str
    session: str
    bought_from: str
    is_announced: bool
    is_void: bool
    counts: Counts
    places: tuple[str, ...]  # where units are alive


def counts(lots: Iterable[int]) -> dict[int, Counts]:
    """Return the counts of lots, by their numbers."""
    sums: defaultdict[int, dict[str, int]] = defaultdict(dict)
    rows = (
        Balance.objects.filter(lot_id__in=list(lots))
        .values_list("lot_id", "account", "measure")
        .annotate(total=Sum("quantity"))
    )
    for lot_id, account, measure, total in rows:
        name = _FIELD.get((account, measure))
        if name is not None:
            sign = -1 if account in _SOURCES else 1
            sums[lot_id][name] = sums[lot_id].get(name, 0) + sign * total
    return {lot_id: Counts(**found) for lot_id, found in sums.items()}


_SOURCES = frozenset({Account.MADE.value, Account.RECEIVED.value, Account.GROWN.value})
_UNIT, _GRAM = Measure.UNIT.value, Measure.GRAM.value
_FIELD = {
    (Account.MADE.value, _UNIT): "made",
    (Account.RECEIVED.value, _UNIT): "made",
    **{
        (account.value, _UNIT): account.value
        for account in (
            Account.ALIVE,
            Account.USED,
            Account.LOST,
            Account.CULLED,
            Account.SPENT,
            Account.SOLD,
            Account.UNEXPLAINED,
        )
    },
    **{
        (account.value, _GRAM): f"{account.value}_g"
        for account in (
            Account.GROWN,
            Account.STORE,
            Account.DELIVERED,
            Account.DRIED,
            Account.WASTE,
            Account.UNEXPLAINED,
        )
    },
}


def lot_by_code(code: str) -> Lot:
    """Return a lot.

    Raises
    ------
    InputError
        If the farm has no lot of that code.
    """
    found = Lot.objects.select_related("route").filter(code=code).first()
    if found is None:
        raise InputError("lot", code, "the code of a lot of this farm")
    return found


def rows_of(lots: Iterable[Lot]) -> tuple[LotRow, ...]:
    """Return facts and counts of lots, in the order given."""
    wanted = list(lots)
    numbers = [lot.pk for lot in wanted]
    found = counts(numbers)
    places: defaultdict[int, list[str]] = defaultdict(list)
    alive = Balance.objects.filter(
        lot_id__in=numbers, account=Account.ALIVE.value, quantity__gt=0
    ).order_by("place__code")
    for lot_id, place in alive.values_list("lot_id", "place__code"):
        places[lot_id].append(place)
    return tuple(
        LotRow(
            code=lot.code,
            stage=lot.stage,
            variety=lot.variety,
            step=lot.step,
            culture=lot.culture,
            made_on=lot.made_on,
            cook=lot.cook,
            session=lot.session,
            bought_from=lot.bought_from,
            is_announced=lot.is_announced,
            is_void=lot.is_void,
            counts=found.get(lot.pk, Counts()),
            places=tuple(places[lot.pk]),
        )
        for lot in wanted
    )


def rows_by_code(codes: Iterable[str]) -> dict[str, LotRow]:
    """Return facts and counts of lots by their codes; unknown codes are left out."""
    return {row.code: row for row in rows_of(Lot.objects.filter(code__in=list(codes)))}


def find_lots(
    *,
    variety: str = "",
    stage: str = "",
    step: str = "",
    culture: str = "",
    code: str = "",
    is_alive: bool | None = True,
    offset: int = 0,
    limit: int = 50,
) -> tuple[int, tuple[LotRow, ...]]:
    """Return how many lots match, and a page of them, the newest first.

    Lots taken back are left out; ``code`` is the beginning of a printed code.
    """
    given: dict[str, Any] = {
        name: value
        for name, value in (
            ("variety", variety),
            ("stage", stage),
            ("step", step),
            ("culture", culture),
        )
        if value
    }
    lots = Lot.objects.filter(is_void=False, **given)
    if code:
        lots = lots.filter(code__startswith=code.upper())
    if is_alive is not None:
        alive = Balance.objects.filter(account=Account.ALIVE.value, quantity__gt=0)
        if is_alive:
            lots = lots.filter(pk__in=alive.values("lot_id"))
        else:
            lots = lots.filter(~Exists(alive.filter(lot_id=OuterRef("pk"))))
    page = lots.order_by("-made_on", "-id")[offset : offset + limit]
    return lots.count(), rows_of(page)


def has_lots_of(variety: str) -> bool:
    """Say whether a lot of a variety was ever written down, be it grown still or not."""
    return Lot.objects.filter(variety=variety, is_void=False).exists()


@dataclass(frozen=True, slots=True)
class PlaceLoad:
    """Living units on one shelf, by lot."""

    place: str
    room: str
    lot: str
    units: int


def standing_on_places() -> tuple[PlaceLoad, ...]:
    """Return what stands on every shelf."""
    rows = (
        Balance.objects.filter(account=Account.ALIVE.value, quantity__gt=0)
        .order_by("place__room", "place__code", "lot_id")
        .values_list("place__code", "place__room", "lot__code", "quantity")
    )
    return tuple(PlaceLoad(*row) for row in rows)


class KnownCodes:
    """The farm's lot codes as a container, for :func:`pinset.chain.lotcode.read_code`."""

    def __contains__(self, code: object) -> bool:
        """Say whether the farm has a lot of that code."""
        return isinstance(code, str) and Lot.objects.filter(code=code).exists()
