"""Alarms of what goes on: a stage, a line, a person, a shelf, each followed by a running sum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from pinset.chain.histories import GOES_ON
from pinset.learning.charts.loss_sums import limit_for, loss_sum, steps_of
from pinset.learning.losses.by_stage import LATELY_DAYS
from pinset.learning.losses.known_lots import KnownLots, Rows, by_level, by_round
from pinset.learning.losses.quiet import (
    PRIOR_UNITS,
    Groups,
    Quiet,
    clumping,
    grouped,
    quiet_without,
)
from pinset.learning.losses.told import Work

STAGE = "stage"
LEAST_ROUNDS = 8
"""A chart of fewer sessions or days is not followed; our own choice."""

_LEAST_BETWEEN = 20.0
_MOST_CHARTS = 60
_ROUTE_UNITS = 300.0
"""A route's share weighs so many units against what was lost before the last eight weeks; our own
choice. In a farm's first weeks it stands alone, so that a rise then is no part of its own usual."""

_STAYS = 8
"""A sum that passes its limit again within so many rounds is the same rise; our own choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Rise:
    """A rise of something that goes on."""

    factor: str
    level: str
    rows: Rows  # lots from where the sum left nought to where it passed its limit
    expected: float
    a_year: float  # false alarms of this chart on a quiet farm


def alarms_going(
    known: KnownLots,
    expected: Mapping[Work, float],
    told_already: NDArray[np.bool_],
    *,
    a_year: float,
    rng: np.random.Generator,
) -> list[Rise]:
    """Return the rises, the oldest first within each chart.

    Parameters
    ----------
    known : KnownLots
        All lots.
    expected : mapping of Work to float
        Share that a route expects to be lost.
    told_already : array of bool, shape (lots,)
        Lots of what happened once and stood out: they take no part.
    a_year : float
        False alarms that a quiet farm may have, all charts together.
    rng : numpy.random.Generator
        Draws quiet lots to set limits.

    Notes
    -----
    Lots of one session, or of one day and step, are one step of the sum: they share too much to be
    witnesses of their own. What is usual of a step is what it lost before the last eight weeks,
    drawn to its route. What passes its limit again soon after is the same rise.
    """
    base = _before(known, expected, told_already)
    charts = by_level(known, GOES_ON)
    for stage in {lot.stage for lot in known.lots}:
        rows = [at for at, lot in enumerate(known.lots) if lot.stage is stage]
        charts[STAGE, stage.value] = np.array(rows, dtype=np.int64)
    rounds = {name: by_round(known, rows[~told_already[rows]]) for name, rows in charts.items()}
    followed = [name for name in rounds if len(rounds[name]) >= LEAST_ROUNDS]
    busiest = sorted(followed, key=lambda name: (-len(rounds[name]), name))[:_MOST_CHARTS]
    found = []
    for name in busiest:
        groups = grouped(base, rounds[name], without=False)
        found += _rises(known, name, rounds[name], groups, a_year / len(busiest), rng)
    return found


def _before(
    known: KnownLots, expected: Mapping[Work, float], told_already: NDArray[np.bool_]
) -> Quiet:
    """Return what was usual before the last eight weeks, drawn to the routes."""
    since = known.at[-1] - timedelta(days=LATELY_DAYS) if known.at else None
    late = np.array([since is not None and lot.made_at >= since for lot in known.lots], dtype=bool)
    before = quiet_without(known, expected, told_already | late)
    more = _ROUTE_UNITS - PRIOR_UNITS
    return Quiet(
        known,
        ~told_already,
        before.by_route,
        before.found + more * before.by_route,
        before.units + more,
    )


def _together(groups: Groups) -> float:
    """Return the correlation within a round, round what the chart itself lost on average.

    Held against a usual that it has left for good, every round would count as a clump.
    """
    times = float(groups.found.sum() / (groups.units * groups.share).sum())
    share = np.clip(groups.share * times, 1e-4, 0.9)
    return float(np.median(clumping(Groups(groups.found, groups.units, share, groups.is_in))))


def _rises(
    known: KnownLots,
    name: tuple[str, str],
    rounds: list[Rows],
    groups: Groups,
    a_year: float,
    rng: np.random.Generator,
) -> list[Rise]:
    first, last = known.at[int(rounds[0][0])], known.at[int(rounds[-1][-1])]
    years = max((last - first) / timedelta(days=365), 1.0 / 52.0)
    between = max(len(rounds) / years / a_year, _LEAST_BETWEEN)
    of = groups.units.astype(np.int64)
    lost = groups.found.astype(np.int64)
    together = _together(groups)
    limit = limit_for(of, groups.share, lots_between=between, rng=rng, clumping=together)
    steps = steps_of(lost, of, groups.share)
    spells: list[tuple[int, int]] = []
    start = 0
    while (over := loss_sum(steps[start:], limit)).first_alarm is not None:
        end = start + over.first_alarm
        at_nought = np.flatnonzero(over.sums[: over.first_alarm + 1] <= 0.0)
        rose = start + (int(at_nought[-1]) + 1 if at_nought.size else 0)
        if spells and rose - spells[-1][1] <= _STAYS:
            spells[-1] = spells[-1][0], end
        else:
            spells.append((rose, end))
        start = end + 1
    return [
        Rise(
            *name,
            np.concatenate(rounds[rose : end + 1]),
            float((groups.units[rose : end + 1] * groups.share[rose : end + 1]).sum()),
            len(rounds) / years / between,
        )
        for rose, end in spells
    ]
