"""Which lots that may be ready, or are watched, were looked at since."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.looks_wanted import look_wanted_since
from pinset.farm.queries.story import looks_between
from pinset.services.clock import at_clock
from pinset.services.jobs.known import dropped_lots
from pinset.services.jobs.records import JobKind


def looked_since(
    living: Sequence[LivingLot], today: date, zone: ZoneInfo, until: datetime
) -> frozenset[str]:
    """Return the lots somebody should look at and were looked at since, and before a moment.

    Where somebody said that a lot is not to be looked at at all, that holds.
    """
    wanted = ((lot.code, look_wanted_since(lot, today)) for lot in living)
    since = {code: first for code, first in wanted if first is not None}
    if not since:
        return frozenset()
    begin = at_clock(min(since.values()), "00:00", zone.key)
    looks, dropped = looks_between(since, begin, until), dropped_lots(JobKind.LOOK, begin)
    return frozenset(
        code
        for code, first in since.items()
        if code in dropped or (code in looks and looks[code].astimezone(zone).date() >= first)
    )
