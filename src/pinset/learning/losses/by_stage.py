"""How much is lost in each step against what its route expects, lately and before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp, log, sqrt

from pinset.chain.histories import LotHistory
from pinset.chain.stages import Stage
from pinset.learning.losses.told import Work, log_rate
from pinset.learning.showing import Mixed

LATELY_DAYS = 56
"""Lots made within so many days are lately's; eight weeks, our own choice."""

BEFORE_DAYS = 364
"""Lots made within so many days before those are what they are held against."""

_WIDE = 1.96
SURE = 1.645
"""Standard errors from which on a change is told of: one in twenty by chance, either way."""
FEWEST_EXPECTED, FEWEST_FOUND = 2.0, 3
"""With fewer finds expected and fewer made there is nothing to compare; our own choice."""
LEAST_EXPECTED = 0.25
"""No fewer finds are taken as expected: what came sooner than anything should show is no
thousandfold of next to nothing; our own choice."""


@dataclass(frozen=True, slots=True)
class Compared:
    """Lots of one stretch of time."""

    lots: int
    units: int
    found: int  # units seen contaminated so far
    expected: float  # by the routes, as far as it would have shown
    ratio: float | None  # found to expected; None: too little expected to say
    low: float | None  # its 95 % range
    high: float | None
    looked_at: int = 0  # lots of them


@dataclass(frozen=True, slots=True)
class StageLosses:
    """One stage, lately and before."""

    stage: Stage
    lately: Compared
    before: Compared
    is_worse: bool  # lately than before, beyond what lots differ by
    is_better: bool


def expected_found(lot: LotHistory, showing: Mixed, share: float) -> float:
    """Return how many contaminated units a route lets one expect at all looks at a lot."""
    rate = exp(log_rate(share))
    total = 0.0
    for each in lot.seen:
        between = float(showing.shown_by(each.until_days) - showing.shown_by(each.after_days))
        total += each.units * (1.0 - exp(-rate * max(between, 0.0)))
    return total


def losses_by_stage(
    histories: Sequence[LotHistory],
    showing: Mapping[Stage, Mixed],
    expected: Mapping[Work, float],
    now: datetime,
) -> tuple[StageLosses, ...]:
    """Return what is lost by stage, in the order of the stages.

    Parameters
    ----------
    histories, showing, expected
        As of :func:`pinset.learning.losses.told.told`; lots whose step no route expects are left
        out.
    now : datetime
        The moment from which lately is counted back.

    Notes
    -----
    Lots differ more than chance alone makes them: the range is that of a quasi-Poisson ratio, with
    the dispersion between lots of all the stage's lots.
    """
    lately_from = now - timedelta(days=LATELY_DAYS)
    before_from = lately_from - timedelta(days=BEFORE_DAYS)
    rows: defaultdict[Stage, list[tuple[LotHistory, float]]] = defaultdict(list)
    for lot in histories:
        share = expected.get((lot.variety, lot.step))
        if share is not None and before_from <= lot.made_at <= now:
            rows[lot.stage].append((lot, expected_found(lot, showing[lot.stage], share)))
    found = []
    for stage in Stage:
        if stage not in rows:
            continue
        before, lately, change = compared(
            [each for each in rows[stage] if each[0].made_at < lately_from],
            [each for each in rows[stage] if each[0].made_at >= lately_from],
        )
        found.append(StageLosses(stage, lately, before, change > SURE, change < -SURE))
    return tuple(found)


def compared(
    first: Sequence[tuple[LotHistory, float]], second: Sequence[tuple[LotHistory, float]]
) -> tuple[Compared, Compared, float]:
    """Return two lists of lots with what was expected of each, and their difference.

    The difference is that of the logarithms of found to expected, second less first, in standard
    errors; 0 where too little is expected of either.
    """
    wider = _dispersion([*first, *second])
    one, two = _spell(first, wider), _spell(second, wider)
    return one, two, _change(two, one, wider)


def _dispersion(rows: Sequence[tuple[LotHistory, float]]) -> float:
    """Return how many times wider than chance finds scatter between lots, 1 or more."""
    told = [(lot.found, of) for lot, of in rows if of > 0.0]
    whole = sum(of for _, of in told)
    if len(told) < 2 or not whole:  # noqa: PLR2004 - one lot scatters round itself
        return 1.0
    ratio = sum(found for found, _ in told) / whole
    if ratio == 0.0:
        return 1.0
    squares = sum((found - ratio * of) ** 2 / (ratio * of) for found, of in told)
    return max(1.0, squares / (len(told) - 1))


def _spell(rows: Sequence[tuple[LotHistory, float]], wider: float) -> Compared:
    found = sum(lot.found for lot, _ in rows)
    expected = sum(of for _, of in rows)
    units = sum(lot.units for lot, _ in rows)
    looked_at = sum(bool(lot.seen) for lot, _ in rows)
    if expected < FEWEST_EXPECTED and found < FEWEST_FOUND:
        return Compared(len(rows), units, found, expected, None, None, None, looked_at)
    ratio = found / max(expected, LEAST_EXPECTED)
    reach = _WIDE * sqrt(wider / (found + 0.5))
    middle = log((found + 0.5) / max(expected, LEAST_EXPECTED))
    low, high = exp(middle - reach), exp(middle + reach)
    return Compared(len(rows), units, found, expected, ratio, low, high, looked_at)


def _change(lately: Compared, before: Compared, wider: float) -> float:
    """Return by how many standard errors lately's ratio lies above that of before."""
    if lately.ratio is None or before.ratio is None:
        return 0.0
    one, two = lately.found + 0.5, before.found + 0.5
    step = log(one / max(lately.expected, LEAST_EXPECTED))
    step -= log(two / max(before.expected, LEAST_EXPECTED))
    return step / sqrt(wider * (1.0 / one + 1.0 / two))
