"""Alarms: lots that lose more than the farm's own usual, as soon as it can be told.

Two kinds. What goes on (a stage, a culture line, a person, a shelf) is followed by a running sum,
so that small rises come to light. What happens once (a cook, a session, a parent lot) is held
against chance by itself. All limits share one number of false alarms on a quiet farm.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.learning.charts.loss_sums import limit_for, loss_sum, steps_of
from pinset.learning.charts.share_limits import chance_of_as_many
from pinset.learning.incidence.fit import Fit
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.rates import mean_chance
from pinset.learning.losses.told import WORK, Told

FALSE_A_YEAR = 4.0
"""False alarms that a quiet farm is to have a year, all charts together; our own choice."""

LOOKED_BACK_DAYS = 182
"""An alarm is told of if it arose within so many days."""

SHOWN_ENOUGH = 0.5
"""A lot counts from when half of what will show would have shown, or from its first find; common
practice, no source."""

ONCE = (Shared.COOK, Shared.SESSION, Shared.PARENT)
STAGE = "stage"

_YEAR_DAYS = 365.0
_FEWEST_LOTS = 20
_MOST_CHARTS = 60


@dataclass(frozen=True, slots=True)
class Alarm:
    """One alarm."""

    factor: str  # a kind of `Shared`, or "stage"
    level: str
    at: datetime  # when the look was that raised it
    lots: int  # it rests on
    units: int
    found: int
    expected: float
    chance: float | None  # of as many or more by chance, of what happens once; None of a sum
    lots_between: float  # between false alarms of its chart on a quiet farm
    names: tuple[str, ...]  # lots with finds, the newest first


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """What is known of each lot, and since when."""

    lots: tuple[LotHistory, ...]
    found: np.ndarray
    units: np.ndarray  # in so far as it would have shown
    share: Floats
    at: tuple[datetime, ...]


def clumping(fit: Fit, share: float) -> float:
    """Return the correlation of units within a lot that goes with the spread of lots.

    Parameters
    ----------
    fit : Fit
        Of the losses.
    share : float
        Usual share lost.

    Notes
    -----
    To first order a log rate that differs by a standard deviation s makes the share differ by p s,
    and the correlation of a beta-binomial is the variance of the share over p (1 - p); of the
    levels that are once (cook, session, parent) the spread counts, too, as they change from lot to
    lot on a quiet farm.
    """
    names = [factor.name for factor in fit.records.factors]
    once = {kind.value for kind in ONCE}
    variance = float(fit.scales.lot) ** 2 + sum(
        float(sd) ** 2 for name, sd in zip(names, fit.scales.levels, strict=True) if name in once
    )
    return min(0.5, float(np.expm1(variance)) * share / max(1.0 - share, 1e-9))


def _usual_shares(told: Told, fit: Fit) -> Floats:
    """Return the share each lot would lose on a usual day: of its work, with no suspect in it."""
    data = fit.records
    work = next(factor for factor in data.factors if factor.name == WORK)
    mean = data.design @ fit.mean[fit.fixed] + fit.mean[fit.of_factor(WORK)][work.of_lot]
    variance = float(fit.scales.lot) ** 2 + float(
        sum(
            float(sd) ** 2
            for factor, sd in zip(data.factors, fit.scales.levels, strict=True)
            if factor.name != WORK
        )
    )
    return mean_chance(data.link, mean, np.full(len(told.lots), variance))


def _known(told: Told, fit: Fit) -> _Known:
    shares = _usual_shares(told, fit)
    rows = []
    for lot, share in zip(told.lots, shares, strict=True):
        shown = told.showing[lot.stage]
        known_at = None
        for each in lot.seen:
            if each.found or float(shown.shown_by(each.until_days)) >= SHOWN_ENOUGH:
                known_at = each.until_days
                break
        if known_at is None:
            continue
        by_now = float(shown.shown_by(lot.last_seen_days))
        before = min((each.after_days for each in lot.seen), default=0.0)
        seen = max(by_now - float(shown.shown_by(before)), 1e-6)
        units = max(lot.found, round(lot.units * seen))
        if units > 0:
            at = lot.made_at + timedelta(days=known_at)
            rows.append((at, lot.lot, lot, lot.found, units, float(share)))
    rows.sort(key=lambda row: row[:2])
    return _Known(
        lots=tuple(row[2] for row in rows),
        found=np.array([row[3] for row in rows], dtype=np.int64),
        units=np.array([row[4] for row in rows], dtype=np.int64),
        share=np.array([row[5] for row in rows]),
        at=tuple(row[0] for row in rows),
    )


def alarms(told: Told, fit: Fit, now: datetime, seed: int = 1) -> tuple[Alarm, ...]:
    """Return the alarms of the last half year, the newest first.

    Parameters
    ----------
    told : Told
        What the fit read.
    fit : Fit
        Of its records.
    now : datetime
        From which half a year is counted back.
    seed : int
        Of the quiet lots that are drawn to set limits.

    Notes
    -----
    Of the false alarms a quiet farm may have, half are left to what goes on and half to what
    happens once; within each half charts share alike by the lots they follow.
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    known = _known(told, fit)
    if len(known.lots) < _FEWEST_LOTS:
        return ()
    days = max((known.at[-1] - known.at[0]).total_seconds() / 86_400.0, 1.0)
    lots_a_year = len(known.lots) / days * _YEAR_DAYS
    together = clumping(fit, float(np.average(known.share, weights=known.units)))
    since = now - timedelta(days=LOOKED_BACK_DAYS)
    found = [
        *_going_on(known, lots_a_year, together, rng),
        *_once(known, lots_a_year, together),
    ]
    kept = (each for each in found if since <= each.at <= now)
    return tuple(sorted(kept, key=lambda each: (each.at, each.factor, each.level), reverse=True))


def _levels(known: _Known, kinds: Sequence[Shared]) -> dict[tuple[str, str], list[int]]:
    found: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for at, lot in enumerate(known.lots):
        for kind in kinds:
            if kind in lot.shared:
                found[kind.value, lot.shared[kind]].append(at)
    return dict(found)


def _going_on(
    known: _Known, lots_a_year: float, together: float, rng: np.random.Generator
) -> list[Alarm]:
    charts = _levels(known, GOES_ON)
    for at, lot in enumerate(known.lots):
        charts.setdefault((STAGE, lot.stage.value), []).append(at)
    charts = {name: rows for name, rows in charts.items() if len(rows) >= _FEWEST_LOTS}
    busiest = sorted(charts, key=lambda name: -len(charts[name]))[:_MOST_CHARTS]
    found = []
    for factor, level in busiest:
        rows = np.array(charts[factor, level])
        a_year = lots_a_year * len(rows) / len(known.lots)
        between = max(a_year * len(busiest) / (FALSE_A_YEAR / 2.0), float(_FEWEST_LOTS))
        of, share = known.units[rows], known.share[rows]
        limit = limit_for(of, share, lots_between=between, rng=rng, clumping=together)
        steps = steps_of(known.found[rows], of, share)
        start = 0
        while (over := loss_sum(steps[start:], limit)).first_alarm is not None:
            end = start + over.first_alarm
            at_nought = np.flatnonzero(over.sums[: over.first_alarm + 1] <= 0.0)
            rose = start + (int(at_nought[-1]) + 1 if at_nought.size else 0)
            part = rows[rose : end + 1]
            found.append(_alarm(known, factor, level, part, None, between))
            start = end + 1
    return found


def _once(known: _Known, lots_a_year: float, together: float) -> list[Alarm]:
    charts = _levels(known, ONCE)
    if not charts:
        return []
    a_year = len(charts) * lots_a_year / len(known.lots)
    rare = min(0.01, FALSE_A_YEAR / 2.0 / a_year)
    found = []
    for (factor, level), numbers in charts.items():
        rows = np.array(numbers)
        units, lost = int(known.units[rows].sum()), int(known.found[rows].sum())
        share = float(np.average(known.share[rows], weights=known.units[rows]))
        chance = chance_of_as_many(lost, units, share, together)
        if chance <= rare:
            found.append(_alarm(known, factor, level, rows, chance, 1.0 / rare))
    return found


def _alarm(
    known: _Known,
    factor: str,
    level: str,
    rows: np.ndarray,
    chance: float | None,
    between: float,
) -> Alarm:
    with_finds = [known.lots[at].lot for at in rows[::-1] if known.found[at]]
    return Alarm(
        factor=factor,
        level=level,
        at=known.at[int(rows[-1])],
        lots=len(rows),
        units=int(known.units[rows].sum()),
        found=int(known.found[rows].sum()),
        expected=float((known.units[rows] * known.share[rows]).sum()),
        chance=chance,
        lots_between=between,
        names=tuple(with_finds),
    )
