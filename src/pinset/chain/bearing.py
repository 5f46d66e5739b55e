"""What fruiting units can well bear, and from when: other numbers are asked about first."""

from __future__ import annotations

from datetime import date, timedelta
from math import inf

from pinset.chain.living import LivingLot
from pinset.chain.register import StepKind
from pinset.chain.season_days import days_from, lasting_days

MOST_OVER_YIELD = 2.0
SOME_GRAMS = 1000
"""More than twice the whole yield of the route, and some, is asked about; common practice, no
source."""

EARLY_SHARE = 0.75
"""A pick after less than this share of the shortest time that a route gives for the first one is
asked about; common practice, no source."""


def fruits(lot: LivingLot) -> bool:
    """Say whether units stand in a fruiting step, whatever their route is by now."""
    return any(step.code == lot.step and step.kind is StepKind.FRUIT for step in lot.route.steps)


def flush_of(lot: LivingLot) -> int:
    """Return the last flush picked of these units; 0 if others of the lot were, before they came.

    Parameters
    ----------
    lot : LivingLot
        Fruiting units standing at one place.
    """
    before = lot.last_picked_on is not None and lot.last_picked_on < lot.step_since
    return 0 if before else lot.flush


def bears(lot: LivingLot, day: date) -> bool:
    """Say whether units can stand in a flush: they fruit, and long enough or were picked already.

    Parameters
    ----------
    lot : LivingLot
        Units standing at one place.
    day : date
        The day asked about; the shortest time of the route counts, or a person's judgement.
    """
    if lot.now_step().kind is not StepKind.FRUIT:
        return False
    return flush_of(lot) > 0 or day >= _soonest(lot, 1.0)


def bears_early(lot: LivingLot, day: date) -> bool:
    """Say whether a pick of fruiting units is so early that it is asked about.

    Parameters
    ----------
    lot : LivingLot
        Fruiting units standing at one place.
    day : date
        Of the pick.
    """
    return flush_of(lot) < 1 and day < _soonest(lot, EARLY_SHARE)


def _soonest(lot: LivingLot, share: float) -> date:
    """Return the day by which a share of the shortest time to the first pick has passed."""
    shortest = days_from(lot.now_step(), lot.step_since).low
    if lot.expected_ready_on is not None:
        shortest = min(shortest, float((lot.expected_ready_on - lot.step_since).days))
    return lot.step_since + timedelta(days=round(shortest * share))


def flush_ends(lot: LivingLot, flush: int) -> date:
    """Return the day by which a flush of fruiting units is over, as their route says.

    Parameters
    ----------
    lot : LivingLot
        Fruiting units standing at one place.
    flush : int
        1 for the first; beyond the last of the route the last counts.
    """
    step = lot.now_step()
    shares, since = step.days_by_month, lot.step_since
    days = lasting_days(shares, since, step.days.mean)
    for number, each in enumerate(step.flushes[:flush], start=1):
        if number > 1:
            days += lasting_days(shares, since + timedelta(days=round(days)), each.gap_days.mean)
        days += max(1, each.pick_days) - 1
    return lot.step_since + timedelta(days=round(days))


def most_borne_g(whole_g: float) -> float:
    """Return the weight up to which nobody asks whether it was weighed or written wrongly.

    Parameters
    ----------
    whole_g : float
        What the units bring over all flushes, as their route says. [g]

    Returns
    -------
    float
        In g; without end where the route says no yield.

    Examples
    --------
    >>> most_borne_g(32 * 500.0)
    33000.0
    """
    return whole_g * MOST_OVER_YIELD + SOME_GRAMS if whole_g > 0 else inf
