"""Stored reckonings of losses: the newest, and a few before it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.farm.models import LossReckoning

KEPT = 3


@dataclass(frozen=True, slots=True)
class ReckoningRow:
    """A stored reckoning."""

    number: int  # 0: not stored yet
    reckoned_at: datetime
    entries: int  # of the ledger that it has read
    register: int
    method: int
    seconds: float
    body: dict[str, Any]


def latest(method: int) -> ReckoningRow | None:
    """Return the newest reckoning by a method, or None."""
    row = LossReckoning.objects.filter(method=method).order_by("-id").first()
    if row is None:
        return None
    return ReckoningRow(
        row.pk, row.reckoned_at, row.entries, row.register, row.method, row.seconds, row.body
    )


def latest_number(method: int) -> int:
    """Return the number of the newest reckoning by a method; 0 if there is none."""
    numbers = LossReckoning.objects.filter(method=method).order_by("-id")
    return numbers.values_list("id", flat=True).first() or 0


def keep(row: ReckoningRow) -> int:
    """Store a reckoning, forget old ones, and return its number."""
    with transaction.atomic():
        stored = LossReckoning.objects.create(
            reckoned_at=row.reckoned_at,
            entries=row.entries,
            register=row.register,
            method=row.method,
            seconds=row.seconds,
            body=row.body,
        )
        LossReckoning.objects.filter(pk__lte=stored.pk - KEPT).delete()
    return int(stored.pk)
