"""A running sum against a level that is itself learnt from the counts before: its own usual.

Nobody tells a grow room how many flies are usual. The first counts teach it, later ones are held
against all before them, and what is not known yet keeps the alarm back by itself: the likelihood of
a count is averaged over every level and clumping that go with what was counted so far.

Every count has a ratio: how much likelier it is at a raised rate than at the usual one. The sum
(Shiryaev and Roberts) is multiplied by it after one was added. While nothing changes the ratio is 1
on average, so that the sum less the number of counts stays where it is on average, and it reaches a
limit A no sooner than after A counts on average, whatever the counts' sizes and however few there
are (Pollak 1985, Annals of Statistics 13:206-227, memory). Nothing needs to be simulated.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import log

import numpy as np
from scipy.special import logsumexp

from pinset.errors import InputError
from pinset.learning.charts.laws import Believed, Floats, Grid, Law, checked_counts, grid

FEWEST = 4
"""Counts that only teach what is usual; our own choice."""

GAP_DAYS = 60.0
"""After so long without a count a rise is no longer followed; our own choice."""

NEW_USUAL_DAYS = 182.0
"""What goes on for so long is what is usual now; our own choice."""

RAISED_TIMES = (2.0, 4.0, 8.0, 16.0)
"""Times the usual rate that are looked for, each alike: a doubling, and what comes all at once; our
own choice."""

_MOST_TIMES = 40.0
_MOST_RATIO = 50.0
_OVER = log(20.0)  # a rise is over once counts were so much likelier at the usual rate
_LEAST_CAP = 40.0
_LITTLE = 60.0  # levels less likely by so much (its exponential) move no limit


@dataclass(frozen=True, slots=True)
class Level:
    """A rate with the range in which it lies with 95 % certainty."""

    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Rise:
    """A spell of counts above what was usual."""

    first: int  # position of the count with which it began
    alarm: int  # of the count that raised the alarm
    last: int  # of the last count that was likelier raised than usual
    usual: float  # rate before it
    goes_on: bool


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """Counts held against their own usual."""

    usual: Level  # as it is known now, counts of rises left out
    learnt: int  # counts it rests on
    limits: tuple[float | None, ...]  # per count: as many or more raise an alarm; None: none does
    rises: tuple[Rise, ...]


@dataclass(slots=True)
class _State:
    """Where the sum stands."""

    log_weight: Floats
    learnt: int = 0
    shiryaev: float = 0.0  # of Shiryaev and Roberts; decides
    page: float = 0.0  # log likelihood ratio since the likeliest beginning; 0: nothing is rising
    first: int = 0  # where the present rise began
    usual: float | None = None  # rate before it; None: nothing is rising
    unlearnt: list[Floats] = field(default_factory=list)  # chances of the counts after an alarm
    episode: Rise | None = None  # of a rise that raised an alarm


def followed(
    law: Law,
    found: Floats,
    of: Floats,
    days: Floats,
    *,
    believed: Believed,
    between: float,
    limits_from: int = 0,
) -> Followed:
    """Return counts held against their own usual, with every rise that raised an alarm.

    Parameters
    ----------
    law : Law
        What kind of counts these are.
    found, of : array, shape (counts,)
        Counted, on so much of traps times days, or of so many units; oldest first.
    days : array, shape (counts,)
        When, from any day on. [d]
    believed : Believed
        Of the rate, before anything was counted.
    between : float
        Counts between false alarms at least, on average; above 1.
    limits_from : int
        Of which count on limits are wanted; those before are None.

    Returns
    -------
    Followed
        What goes on longer than `NEW_USUAL_DAYS` is learnt and becomes what is usual.

    Raises
    ------
    InputError
        If counts are none of their kind or not in their order, or `between` is not above 1.

    Notes
    -----
    A count is learnt as soon as it was held against what was learnt before: only so does the bound
    hold. What follows an alarm is not, so that an outbreak does not become what is usual.
    """
    checked_counts(law, found, of)
    if days.shape != found.shape or (np.diff(days) < 0.0).any():
        raise InputError("days", days.tolist(), "one a count, oldest first")
    if between <= 1.0:
        raise InputError("counts between false alarms", between, "above 1")
    points = grid(law, believed)
    state = _State(points.log_weight)
    rises: list[Rise] = []
    limits: list[float | None] = []
    for i in range(found.size):
        if i and days[i] - days[i - 1] > GAP_DAYS:
            _end(state, rises)
            state.shiryaev = 0.0
        wanted = i >= limits_from and state.learnt >= FEWEST
        limits.append(_limit(law, points, state, float(of[i]), between) if wanted else None)
        _take(law, points, state, rises, (float(found[i]), float(of[i])), days, i, between)
    if state.episode is not None:
        rises.append(state.episode)
    return Followed(level_of(points, state.log_weight), state.learnt, tuple(limits), tuple(rises))


def _chances(law: Law, points: Grid, found: float, of: float) -> tuple[Floats, Floats]:
    """Return the log chances of a count at every usual level, and at every one raised."""
    one, on = np.array(found), np.array(of)
    usual = law.log_chance(one, on, points.log_rate, points.clumping)
    raised = [
        law.log_chance(one, on, points.log_rate + log(times), points.clumping)
        for times in RAISED_TIMES
    ]
    return usual, np.asarray(logsumexp(raised, axis=0) - log(len(raised)))


def _log_ratio(log_weight: Floats, usual: Floats, raised: Floats) -> float:
    return float(logsumexp(log_weight + raised) - logsumexp(log_weight + usual))


def _learn(state: _State, usual: Floats) -> None:
    weight = state.log_weight + usual
    state.log_weight = weight - logsumexp(weight)
    state.learnt += 1


def _end(state: _State, rises: list[Rise]) -> None:
    """Let nothing be rising."""
    state.page = 0.0
    state.usual = None
    state.unlearnt = []
    if state.episode is not None:
        rises.append(replace(state.episode, goes_on=False))
        state.episode = None


def _take(
    law: Law,
    points: Grid,
    state: _State,
    rises: list[Rise],
    count: tuple[float, float],
    days: Floats,
    i: int,
    between: float,
) -> None:
    """Take one more count in."""
    usual, raised = _chances(law, points, *count)
    if state.learnt < FEWEST:
        _learn(state, usual)
        return
    ratio = _log_ratio(state.log_weight, usual, raised)
    state.shiryaev = (1.0 + state.shiryaev) * float(np.exp(min(ratio, _MOST_RATIO)))
    state.page = max(0.0, state.page + ratio)
    if state.page <= 0.0:
        _end(state, rises)
        _learn(state, usual)
        return
    if state.usual is None:
        state.first, state.usual = i, level_of(points, state.log_weight).rate
    is_alarm = state.shiryaev >= between
    if is_alarm:
        state.shiryaev = 0.0
    if state.episode is None:
        _learn(state, usual)
        if not is_alarm:
            return
        state.episode = Rise(state.first, i, i, state.usual, goes_on=True)
    else:
        state.unlearnt.append(usual)
        if ratio > 0.0:
            state.episode = replace(state.episode, last=i)
    state.page = min(state.page, _OVER)
    if days[i] - days[state.episode.first] > NEW_USUAL_DAYS:
        for each in state.unlearnt:
            _learn(state, each)
        _end(state, rises)


def _limit(law: Law, points: Grid, state: _State, of: float, between: float) -> float | None:
    """Return the smallest count that would raise an alarm now; None where none does."""
    kept = state.log_weight > state.log_weight.max() - _LITTLE
    near = Grid(points.log_rate[kept], points.clumping[kept], state.log_weight[kept])
    level = float(np.exp(near.log_rate @ np.exp(near.log_weight)))
    most = of if law.is_share else np.ceil(max(_MOST_TIMES * level * of, _LEAST_CAP))

    def alarms(count: float) -> bool:
        ratio = _log_ratio(near.log_weight, *_chances(law, near, count, of))
        return bool(log(1.0 + state.shiryaev) + ratio >= log(between))

    low, high = -1.0, float(most)
    if not alarms(high):
        return None
    while high - low > 1.0:
        middle = float(np.floor((low + high) / 2.0))
        low, high = (low, middle) if alarms(middle) else (middle, high)
    return high


def level_of(points: Grid, log_weight: Floats) -> Level:
    """Return the median rate and its range with 95 % certainty, of weighted points."""
    rates, at = np.unique(points.log_rate, return_inverse=True)
    mass = np.bincount(at, np.exp(log_weight))
    upper = np.cumsum(mass)
    middle = upper - mass / 2.0
    low, half, high = np.exp(np.interp((0.025, 0.5, 0.975), middle, rates))
    return Level(float(half), float(low), float(high))
