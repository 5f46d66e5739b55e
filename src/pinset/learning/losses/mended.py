"""Whether something that was mended helped: losses before and after, with their uncertainty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.learning.losses.by_stage import (
    LATELY_DAYS,
    SURE,
    Compared,
    compared,
    expected_found,
)
from pinset.learning.losses.told import Work
from pinset.learning.showing import Mixed


@dataclass(frozen=True, slots=True)
class Helped:
    """What became of losses after something was mended."""

    before: Compared  # lots made within eight weeks before
    after: Compared  # lots made since, within eight weeks
    change: float  # in standard errors; below 0: less is lost

    @property
    def is_better(self) -> bool:
        """Whether less is lost since, beyond what lots differ by."""
        return self.change < -SURE

    @property
    def is_worse(self) -> bool:
        """Whether more is lost since, beyond what lots differ by."""
        return self.change > SURE


def helped(
    histories: Sequence[LotHistory],
    showing: Mapping[Stage, Mixed],
    expected: Mapping[Work, float],
    *,
    kind: Shared,
    level: str,
    at: datetime,
) -> Helped:
    """Return losses before and after a moment, of the lots that a suspect stands for.

    Parameters
    ----------
    histories, showing, expected
        As of :func:`pinset.learning.losses.by_stage.losses_by_stage`.
    kind, level
        The suspect. A line, person or shelf is followed by its own lots, a cook by those of its
        steriliser (its code up to the day), a session or a parent lot by all lots of the stages it
        touched: itself, it never comes again.
    at : datetime
        When it was mended.
    """
    own = [lot for lot in histories if lot.shared.get(kind) == level]
    stages = {lot.stage for lot in own}
    if kind in GOES_ON:
        followed = own
    elif kind is Shared.COOK:
        vessel = _vessel(level)
        followed = [
            lot
            for lot in histories
            if lot.stage in stages and _vessel(lot.shared.get(Shared.COOK, "")) == vessel
        ]
    else:
        followed = [lot for lot in histories if lot.stage in stages]
    reach = timedelta(days=LATELY_DAYS)
    rows = [
        (lot, expected_found(lot, showing[lot.stage], expected[lot.variety, lot.step]))
        for lot in followed
        if (lot.variety, lot.step) in expected and at - reach <= lot.made_at <= at + reach
    ]
    before, after, change = compared(
        [row for row in rows if row[0].made_at < at], [row for row in rows if row[0].made_at >= at]
    )
    return Helped(before, after, change)


def _vessel(cook: str) -> str:
    """Return the steriliser of a cook's code, such as kettle of kettle-20260317-1030."""
    parts = cook.rsplit("-", 2)
    return parts[0] if len(parts) == 3 else cook  # noqa: PLR2004 - code, day, clock
