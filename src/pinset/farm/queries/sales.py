"""What was picked, what lies in store, what was handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max, Sum

from pinset.farm.entries import Account, Kind
from pinset.farm.models import Balance, Mention, Posting


@dataclass(frozen=True, slots=True)
class Delivery:
    """What one entry handed over of one lot."""

    entry: str  # client id
    happened_at: datetime
    for_day: date | None  # of the promise, if another than the day it happened
    buyer: str
    promise: str
    variety: str
    lot: str
    amount: int  # g or units
    measure: str


@dataclass(frozen=True, slots=True)
class ToOutlet:
    """What one entry gave to an outlet of one variety: handed over, or put into the drier."""

    entry: str  # client id
    happened_at: datetime
    outlet: str
    variety: str
    grams: int
    cents: int  # of the whole entry; 0 of what was dried, which is sold later


@dataclass(frozen=True, slots=True)
class Picked:
    """What one entry picked of one lot."""

    entry: str
    happened_at: datetime
    lot: str
    variety: str
    grams: int
    flush: int


@dataclass(frozen=True, slots=True)
class InStore:
    """Grams of one lot in the cold store."""

    lot: str
    variety: str
    place: str
    grams: int
    last_picked_at: datetime | None


def deliveries(since: datetime, until: datetime) -> tuple[Delivery, ...]:
    """Return what was delivered or sold and not taken back, in the order it happened."""
    rows = Posting.objects.filter(
        entry__kind__in=(Kind.DELIVER.value, Kind.SELL.value),
        entry__happened_at__gte=since,
        entry__happened_at__lt=until,
        entry__is_corrected=False,
        account__in=(Account.DELIVERED.value, Account.SOLD.value),
    ).select_related("entry", "lot")
    found = []
    for row in rows.order_by("entry__happened_at", "entry_id", "id"):
        details = row.entry.details
        for_day = details.get("for_day")
        found.append(
            Delivery(
                entry=row.entry.client_id,
                happened_at=row.entry.happened_at,
                for_day=date.fromisoformat(for_day) if for_day else None,
                buyer=details.get("buyer", ""),
                promise=details.get("promise", ""),
                variety=row.lot.variety,
                lot=row.lot.code,
                amount=row.quantity,
                measure=row.measure,
            )
        )
    return tuple(found)


def given_to_outlets(since: datetime, until: datetime) -> tuple[ToOutlet, ...]:
    """Return what outlets were given and was not taken back, in the order it happened."""
    rows = Posting.objects.filter(
        entry__kind__in=(Kind.DELIVER.value, Kind.DRY.value),
        entry__happened_at__gte=since,
        entry__happened_at__lt=until,
        entry__is_corrected=False,
        account__in=(Account.DELIVERED.value, Account.DRIED.value),
    ).select_related("entry", "lot")
    found: dict[tuple[str, str], ToOutlet] = {}
    for row in rows.order_by("entry__happened_at", "entry_id", "id"):
        details, key = row.entry.details, (row.entry.client_id, row.lot.variety)
        if not details.get("outlet"):
            continue
        before = found[key].grams if key in found else 0
        found[key] = ToOutlet(
            entry=row.entry.client_id,
            happened_at=row.entry.happened_at,
            outlet=details["outlet"],
            variety=row.lot.variety,
            grams=before + row.quantity,
            cents=int(details.get("price_cents", 0)),
        )
    return tuple(found.values())


def picks(since: datetime, until: datetime) -> tuple[Picked, ...]:
    """Return what was picked and not taken back, in the order it happened."""
    rows = (
        Mention.objects.filter(
            role="flush",
            is_cancelled=False,
            entry__kind=Kind.PICK.value,
            entry__happened_at__gte=since,
            entry__happened_at__lt=until,
        )
        .select_related("entry", "lot")
        .order_by("entry__happened_at", "entry_id", "id")
    )
    return tuple(
        Picked(
            entry=row.entry.client_id,
            happened_at=row.entry.happened_at,
            lot=row.lot.code,
            variety=row.lot.variety,
            grams=int(row.value),
            flush=row.count,
        )
        for row in rows
    )


def in_store() -> tuple[InStore, ...]:
    """Return the picked grams in store, what was picked longest ago first."""
    rows = list(
        Balance.objects.filter(account=Account.STORE.value, quantity__gt=0)
        .select_related("lot", "place")
        .order_by("lot_id", "place__code")
    )
    last = dict(
        Mention.objects.filter(
            lot_id__in={row.lot_id for row in rows},
            role="flush",
            is_cancelled=False,
            entry__kind=Kind.PICK.value,
        )
        .values_list("lot_id")
        .annotate(last=Max("entry__happened_at"))
    )
    found = [
        InStore(row.lot.code, row.lot.variety, row.place.code, row.quantity, last.get(row.lot_id))
        for row in rows
    ]
    return tuple(
        sorted(found, key=lambda s: (s.last_picked_at is None, s.last_picked_at, s.lot, s.place))
    )


def store_by_variety() -> tuple[tuple[str, date, int], ...]:
    """Return variety, day of the last pick and grams of everything in store, oldest first.

    Grams whose pick has not arrived yet are left out.
    """
    return tuple(
        (row.variety, row.last_picked_at.date(), row.grams)
        for row in in_store()
        if row.last_picked_at is not None
    )


def totals(*, variety: str = "") -> dict[tuple[str, str], int]:
    """Return the sum of every account and measure over all lots, or those of one variety."""
    rows = Balance.objects.filter(lot__variety=variety) if variety else Balance.objects.all()
    sums = rows.values_list("account", "measure").annotate(total=Sum("quantity"))
    return {(account, measure): total for account, measure, total in sums}
