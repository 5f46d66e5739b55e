"""What people decided of lots: the newest holding back, keeping or releasing of each."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from pinset.farm.models import Mention

ROLES = ("held", "kept", "released")


@dataclass(frozen=True, slots=True)
class Decision:
    """The newest decision on a lot that was not taken back."""

    lot: str
    role: str  # held, kept, released
    at: datetime
    reason: str
    by: str = ""  # name of who decided


def decisions(codes: Collection[str]) -> dict[str, Decision]:
    """Return the newest decision on each of these lots; none of those nobody decided on."""
    rows = Mention.objects.filter(lot__code__in=list(codes), role__in=ROLES, is_cancelled=False)
    found = rows.select_related("lot", "entry__person").order_by(
        "entry__happened_at", "entry__client_id"
    )
    return {
        row.lot.code: Decision(
            row.lot.code,
            row.role,
            row.entry.happened_at,
            row.value,
            str(row.entry.person) if row.entry.person else "",
        )
        for row in found
    }
