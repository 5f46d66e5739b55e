"""What logs taught of loads, as it was written down; read once for each state of the books."""

from __future__ import annotations

from pinset.farm.queries.cooks import learnt_entries
from pinset.farm.queries.story import Happened
from pinset.farm.stamp import Stamp, stamp
from pinset.services.memory import remembered


def learnt_said() -> tuple[Happened, ...]:
    """Return what logs taught of loads and was not taken back, the newest first."""
    return _read(stamp())


@remembered
def _read(_stamp: Stamp) -> tuple[Happened, ...]:
    return learnt_entries()
