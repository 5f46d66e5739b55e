"""What lies dried, by lot, and what of it was sold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.models import Balance, Entry


@dataclass(frozen=True, slots=True)
class DriedLot:
    """Grams of one lot that went into a drier and were not sold since."""

    lot: str
    grams: int  # fresh


@dataclass(frozen=True, slots=True)
class DriedSale:
    """Dried weight that was sold."""

    outlet: str  # the drier it is of
    dry_grams: int
    cents: int


def dried_lots(variety: str) -> tuple[DriedLot, ...]:
    """Return what of a variety lies dried, the lots made first before others."""
    rows = Balance.objects.filter(
        lot__variety=variety,
        account=Account.DRIED.value,
        measure=Measure.GRAM.value,
        quantity__gt=0,
    ).select_related("lot")
    found: dict[str, int] = {}
    for row in rows.order_by("lot__made_on", "lot__code"):
        found[row.lot.code] = found.get(row.lot.code, 0) + row.quantity
    return tuple(DriedLot(code, grams) for code, grams in found.items())


def dried_sales(since: datetime, until: datetime) -> tuple[DriedSale, ...]:
    """Return the dried weight that was sold and not taken back, in the order it happened."""
    rows = Entry.objects.filter(
        kind=Kind.DELIVER.value,
        happened_at__gte=since,
        happened_at__lt=until,
        is_corrected=False,
        details__has_key="dry_grams",
    )
    return tuple(
        DriedSale(
            str(row.details.get("dried_of", "")),
            int(row.details["dry_grams"]),
            int(row.details.get("price_cents", 0)),
        )
        for row in rows.order_by("happened_at", "id")
    )
