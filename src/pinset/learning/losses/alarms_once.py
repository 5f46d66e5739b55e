"""Alarms of what happens once: a cook, a session, a parent lot, held against all the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from pinset.chain.histories import Shared
from pinset.learning.charts.share_limits import skewed_tails
from pinset.learning.losses.known_lots import KnownLots, Rows, by_level
from pinset.learning.losses.quiet import Groups, clumping, grouped, quiet_without
from pinset.learning.losses.told import Work

ONCE = (Shared.COOK, Shared.SESSION, Shared.PARENT)

MOST_RARE = 0.01
"""No chance above it raises an alarm, however few levels there are."""

FAR_OUT = 0.05
"""What is so much rarer than the limit takes no part in what is usual any more. What lies just
beyond the limit still does: else every false alarm would make the next one likelier."""

_LEAST_RARE = 1e-7
_ROUNDS = 5
_HALVINGS = 40


@dataclass(frozen=True, slots=True, eq=False)
class Once:
    """A level that loses more than chance and the usual spread explain."""

    factor: str
    level: str
    rows: Rows
    expected: float
    chance: float  # of as many or more
    a_year: float  # false alarms of all such charts together, on a quiet farm


def alarms_once(
    known: KnownLots,
    expected: Mapping[Work, float],
    since: datetime,
    *,
    a_year: float,
    kinds: Sequence[Shared] = ONCE,
) -> list[Once]:
    """Return the levels that stand out, the least likely first.

    Parameters
    ----------
    known : KnownLots
        All lots.
    expected : mapping of Work to float
        Share that a route expects to be lost.
    since : datetime
        Levels whose last lot became known before are not looked at.
    a_year : float
        False alarms that a quiet farm may have, all levels together.

    Notes
    -----
    Levels differ by log-normal factors. What stands far out is then left out of what is usual, and
    all is looked at again until nothing more stands far out, so that one outbreak does not hide
    behind another. Counts are whole, so a limit's chance lies below the one that was asked for:
    the limit is the one at which what is really attained adds up to what is allowed.
    """
    levels = by_level(known, kinds)
    if not levels:
        return []
    names, groups = list(levels), list(levels.values())
    is_now = np.array([known.at[int(rows[-1])] >= since for rows in groups])
    years = _years_since(known, since)
    left_out = np.zeros(len(known.lots), dtype=bool)
    found: list[Once] = []
    for _ in range(_ROUNDS):
        quiet = quiet_without(known, expected, left_out)
        counts = grouped(quiet, groups, without=True)
        together = _by_kind(names, counts)
        chances = _chances(counts, together, is_now)
        rare, attained = _limit(chances, a_year * years)
        found = [
            Once(
                *names[at],
                groups[at],
                float(counts.units[at] * counts.share[at]),
                chance,
                attained / years,
            )
            for at, row in chances.items()
            if (chance := float(row[int(counts.found[at])])) <= rare and counts.found[at]
        ]
        now_out = left_out.copy()
        for each in found:
            if each.chance <= FAR_OUT * rare:
                now_out[each.rows] = True
        if (now_out == left_out).all():
            break
        left_out = now_out
    return sorted(found, key=lambda each: (each.chance, each.factor, each.level))


def _years_since(known: KnownLots, since: datetime) -> float:
    """Return how long the levels that are looked at took to come, in years."""
    if not known.at:
        return 1.0
    first = max(known.at[0], since)
    return max((known.at[-1] - first).total_seconds() / (365.0 * 86_400.0), 1.0 / 52.0)


def _by_kind(names: Sequence[tuple[str, str]], counts: Groups) -> NDArray[np.float64]:
    """Return the correlation within each level, from the others of its kind."""
    together = np.zeros(len(names))
    for kind in {name[0] for name in names}:
        here = np.array([name[0] == kind for name in names])
        part = Groups(
            counts.found[here], counts.units[here], counts.share[here], counts.is_in[here]
        )
        together[here] = clumping(part)
    return together


def _chances(
    counts: Groups, together: NDArray[np.float64], is_now: NDArray[np.bool_]
) -> dict[int, NDArray[np.float64]]:
    """Return for the levels of now the chance of 0, 1, 2 ... or more finds."""
    return {
        int(at): skewed_tails(int(counts.units[at]), float(counts.share[at]), float(together[at]))
        for at in np.flatnonzero(is_now)
    }


def _limit(chances: Mapping[int, NDArray[np.float64]], allowed: float) -> tuple[float, float]:
    """Return the chance from which on a level alarms, and how many false alarms that makes."""
    upward = [row[::-1] for row in chances.values()]  # rising

    def attained(rare: float) -> float:
        total = 0.0
        for row in upward:
            at = int(np.searchsorted(row, rare, side="right"))
            total += float(row[at - 1]) if at else 0.0
        return total

    low, high = np.log(_LEAST_RARE), np.log(MOST_RARE)
    if attained(MOST_RARE) <= allowed:
        return MOST_RARE, attained(MOST_RARE)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if attained(float(np.exp(middle))) <= allowed:
            low = middle
        else:
            high = middle
    return float(np.exp(low)), attained(float(np.exp(low)))
