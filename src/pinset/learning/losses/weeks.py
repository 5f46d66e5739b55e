"""What was lost of every week's lots, step by step, with limits for what weeks differ by anyway."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import sqrt

from pinset.chain.histories import LotHistory
from pinset.chain.stages import Stage
from pinset.learning.charts.share_limits import ShareLimits, clumped_share_chart
from pinset.learning.losses.by_stage import LATELY_DAYS
from pinset.learning.showing import Mixed

WEEK = timedelta(days=7)
WEEKS = 60
"""So many weeks are read; the drawing may show fewer."""

LEAST_UNITS = 10.0
"""A week of which fewer units would have shown by now is not drawn: too young, or too small."""

LEAST_WEEKS = 6
"""From fewer weeks nothing is said of what weeks differ by."""


@dataclass(frozen=True, slots=True)
class Week:
    """The lots of one week, counted back from now."""

    at: datetime  # its first moment
    lots: int
    units: float  # of which contamination would have shown by the looks so far
    found: int
    share: float  # found of those units
    limit: float | None  # above it a week stands out; None: too few weeks to say
    is_raised: bool


@dataclass(frozen=True, slots=True)
class StageWeeks:
    """One stage, the oldest week first."""

    stage: Stage
    usual: float | None  # share of the weeks that limits rest on; None: too few
    wider: float | None  # how many times more than by chance those weeks differ
    weeks: tuple[Week, ...]


def units_told(lot: LotHistory, showing: Mixed) -> float:
    """Return of how many units contamination would have shown by the looks at a lot."""
    return sum(
        each.units
        * max(0.0, float(showing.shown_by(each.until_days) - showing.shown_by(each.after_days)))
        for each in lot.seen
    )


def losses_by_week(
    histories: Sequence[LotHistory], showing: Mapping[Stage, Mixed], now: datetime
) -> tuple[StageWeeks, ...]:
    """Return what was lost of every week's lots, in the order of the stages.

    Parameters
    ----------
    histories : sequence of LotHistory
        Of all lots.
    showing : mapping of Stage to Mixed
        How soon contamination shows, for every stage among them.
    now : datetime
        From which weeks are counted back.

    Notes
    -----
    Laney's p' chart (`clumped_share_chart`): weeks share cooks and sessions, so they differ by
    more than chance. Limits rest on the weeks before the last eight where there are enough of
    them, so that what has got worse lately does not widen its own limits.
    """
    sums: defaultdict[tuple[Stage, int], list[tuple[float, int]]] = defaultdict(list)
    for lot in histories:
        ago = (now - lot.made_at) // WEEK
        if lot.seen and 0 <= ago < WEEKS:
            sums[lot.stage, ago].append((units_told(lot, showing[lot.stage]), lot.found))
    found = []
    for stage in Stage:
        rows = [
            (ago, len(lots), units, sum(lost for _, lost in lots))
            for (of, ago), lots in sorted(sums.items(), key=lambda item: -item[0][1])
            if of is stage and (units := sum(told for told, _ in lots)) >= LEAST_UNITS
        ]
        if rows:
            found.append(_charted(stage, rows, now))
    return tuple(found)


def _charted(
    stage: Stage, rows: Sequence[tuple[int, int, float, int]], now: datetime
) -> StageWeeks:
    limits = _limits([each for each in rows if each[0] * 7 >= LATELY_DAYS]) or _limits(rows)
    weeks = []
    for ago, lots, units, lost in rows:
        share = min(1.0, lost / units)
        limit = None if limits is None else _limit(limits[0].centre, limits[1], units)
        weeks.append(
            Week(
                at=now - (ago + 1) * WEEK,
                lots=lots,
                units=units,
                found=lost,
                share=share,
                limit=limit,
                is_raised=limit is not None and share > limit,
            )
        )
    usual, wider = (None, None) if limits is None else (limits[0].centre, limits[1])
    return StageWeeks(stage, usual, wider, tuple(weeks))


def _limits(rows: Sequence[tuple[int, int, float, int]]) -> tuple[ShareLimits, float] | None:
    """Return the chart of some weeks; None where they are too few, or nothing differs in them."""
    whole = [(lost, max(lost, round(units))) for _, _, units, lost in rows]
    lost, of = sum(each[0] for each in whole), sum(each[1] for each in whole)
    if len(rows) < LEAST_WEEKS or not 0 < lost < of:
        return None
    return clumped_share_chart([each[0] for each in whole], [each[1] for each in whole])


def _limit(centre: float, wider: float, units: float) -> float:
    """Return the upper limit of a week of so many units, three standard deviations up."""
    return min(1.0, centre + 3.0 * max(1.0, wider) * sqrt(centre * (1.0 - centre) / units))
