"""What a farm loses while nothing is wrong: the usual shares, and how much groups of lots differ.

Both are taken from the farm's own counts and drawn to what its routes expect where those are
few. What is being asked about never takes part in what it is held against, and neither does what
stood out before it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pinset.learning.losses.known_lots import KnownLots, Rows
from pinset.learning.losses.told import Work

PRIOR_UNITS = 100.0
"""A route's expected share weighs as much as so many units looked at; our own choice."""

PRIOR_CLUMPING = 0.02
PRIOR_GROUPS = 10.0
"""Groups of a quiet farm are taken to be as much alike within as this correlation says, with the
weight of so many groups; our own choice. Lots that differ by 0.4 and sessions by 0.3 of the
logarithm of their rate have about 0.02 at 5 percent lost."""

MOST_CLUMPING = 0.5
OTHERWISE = 0.02
"""Share expected of a step whose route says nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Quiet:
    """Counts that are taken as quiet."""

    known: KnownLots
    is_in: NDArray[np.bool_]  # shape (lots,): what takes part
    by_route: NDArray[np.float64]  # shape (works,): share the route expects
    found: NDArray[np.float64]  # shape (works,), of what takes part
    units: NDArray[np.float64]

    def shares(self, rows: Rows, *, without: bool) -> NDArray[np.float64]:
        """Return the usual share of some lots, without their own counts if so asked."""
        found, units = self.found, self.units
        if without:
            own = rows[self.is_in[rows]]
            works = self.known.work[own]
            count = len(self.by_route)
            found = found - np.bincount(works, self.known.found[own], count)
            units = units - np.bincount(works, self.known.units[own], count)
        usual = (found + PRIOR_UNITS * self.by_route) / (units + PRIOR_UNITS)
        return np.asarray(usual[self.known.work[rows]])


def quiet_without(
    known: KnownLots, expected: Mapping[Work, float], left_out: NDArray[np.bool_]
) -> Quiet:
    """Return the quiet counts of all lots but those left out.

    Parameters
    ----------
    known : KnownLots
        All of them.
    expected : mapping of Work to float
        Share that a route expects to be lost.
    left_out : array of bool, shape (lots,)
        What stood out.
    """
    by_route = np.array([expected.get(work, OTHERWISE) for work in known.works], dtype=np.float64)
    is_in = ~left_out
    count = len(known.works)
    works = known.work[is_in]
    return Quiet(
        known=known,
        is_in=is_in,
        by_route=np.clip(by_route, 1e-4, 0.9),
        found=_summed(works, known.found[is_in], count),
        units=_summed(works, known.units[is_in], count),
    )


def _summed(works: Rows, counts: Rows, count: int) -> NDArray[np.float64]:
    return np.asarray(np.bincount(works, counts, count), dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Groups:
    """Lots counted together; arrays of shape (groups,)."""

    found: NDArray[np.float64]
    units: NDArray[np.float64]
    share: NDArray[np.float64]  # usual
    is_in: NDArray[np.bool_]  # all of it takes part in what is usual


def grouped(quiet: Quiet, groups: Sequence[Rows], *, without: bool) -> Groups:
    """Return groups of lots with what is usual of each.

    Parameters
    ----------
    quiet : Quiet
        What is usual.
    groups : sequence of array
        Positions of their lots.
    without : bool
        Whether each is held against the others alone.
    """
    known = quiet.known
    found, units, share, is_in = [], [], [], []
    for rows in groups:
        of = known.units[rows]
        found.append(float(known.found[rows].sum()))
        units.append(float(of.sum()))
        share.append(float(np.average(quiet.shares(rows, without=without), weights=of)))
        is_in.append(bool(quiet.is_in[rows].all()))
    return Groups(np.array(found), np.array(units), np.array(share), np.array(is_in, dtype=bool))


def clumping(groups: Groups) -> NDArray[np.float64]:
    """Return for every group the correlation of units within the others.

    Returns
    -------
    array, shape (groups,)
        From 0 to 0.5.

    Notes
    -----
    The moment estimate of a beta-binomial: the squared distances from what is usual, over their
    binomial variance, exceed the units by (n - 1) n times the correlation. Groups that stood out
    take no part, and every group is left out of its own.
    """
    spread = groups.share * (1.0 - groups.share)
    over = (groups.found - groups.units * groups.share) ** 2 / spread - groups.units
    pairs = groups.units * (groups.units - 1.0)
    over, pairs = np.where(groups.is_in, over, 0.0), np.where(groups.is_in, pairs, 0.0)
    count = max(1, int(groups.is_in.sum()))
    weight = PRIOR_GROUPS * max(float(pairs.sum()) / count, 1.0)
    correlation = (over.sum() - over + weight * PRIOR_CLUMPING) / (pairs.sum() - pairs + weight)
    return np.asarray(np.clip(correlation, 0.0, MOST_CLUMPING))
