"""From which day a promise is counted: what fell due before it was written down here is not."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from zoneinfo import ZoneInfo

from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind


def counted_from(time_zone: str) -> Mapping[str, date]:
    """Return the farm's day on which each promise was first written down, by its code.

    The farm may have kept it long before; the ledger knows nothing of those days.
    """
    zone = ZoneInfo(time_zone)
    known = register_store.first_recorded(RegisterKind.PROMISE)
    return {code: moment.astimezone(zone).date() for code, moment in known.items()}
