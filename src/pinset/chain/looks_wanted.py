"""From which day on somebody should look at a lot once more.

It may be ready before its middle day, somebody wanted to see it again, or its first flush should
long be over and nothing was said of it.
"""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.bearing import flush_of
from pinset.chain.living import LivingLot
from pinset.chain.readiness import may_be_ready, ready_on
from pinset.chain.register import StepKind
from pinset.chain.stages import Stage

UNHEARD_DAYS = 3
"""A first flush of which nothing is written down is asked about so many days after the last day of
one that comes late; common practice, no source. [d]"""


def look_wanted_since(lot: LivingLot, today: date) -> date | None:
    """Return the day from which somebody should look at a lot once more; None: nobody need.

    Parameters
    ----------
    lot : LivingLot
        The lot; what fruits is looked at on the morning round, until its first flush is overdue.
    today : date
        The day asked about.

    Returns
    -------
    date or None
        The first day on which it may be ready, the one to which somebody put off looking again, or
        the one from which its first flush is asked about; the latest of them.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    days = [ready_on(lot).p10] if may_be_ready(lot, today) else []
    if is_watched(lot, today) and lot.look_on is not None:
        days.append(lot.look_on)
    if is_unheard_of(lot, today):
        days.append(first_flush_over(lot) + timedelta(days=UNHEARD_DAYS))
    return max(days, default=None)


def is_watched(lot: LivingLot, today: date) -> bool:
    """Say whether the day is reached on which somebody wanted a lot to be looked at again."""
    grows = lot.stage is not Stage.PREPARED and not lot.order and lot.alive > 0
    return grows and lot.look_on is not None and lot.look_on <= today


def is_unheard_of(lot: LivingLot, today: date) -> bool:
    """Say whether the first flush of a lot should long be over and nothing of it is written down.

    Neither a pick nor that it is not to be picked; a day on which a person expects it counts from
    that day.

    Parameters
    ----------
    lot : LivingLot
        Units standing at one place.
    today : date
        The day asked about.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    if lot.now_step().kind is not StepKind.FRUIT or lot.held or lot.order or lot.alive <= 0:
        return False
    if flush_of(lot) > 0 or lot.given_up_on is not None:
        return False
    return today >= first_flush_over(lot) + timedelta(days=UNHEARD_DAYS)


def first_flush_over(lot: LivingLot) -> date:
    """Return the last day of the first flush of fruiting units, of one that comes late.

    One in ten comes later still. Where a person expects it on a day, it begins on that day.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    flushes = lot.now_step().flushes
    picked = max(1, flushes[0].pick_days) if flushes else 1
    return ready_on(lot).p90 + timedelta(days=picked - 1)
