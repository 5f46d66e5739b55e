"""When a lot is ready, how long it keeps, and what that makes it today.

A lot becomes ready some days after its present step began; the days are a triangular distribution
of the step. Ready units keep for a time that depends on the temperature of the room they stand in.
Below the step's hard floor (pink oyster: 8 to 10 °C) they die, whatever the calendar says. What was
carried from one room to another has spent a share of its time in each.

Dates here are whole days: a unit is ready on the first day on which its time has passed, and may
be used up to and including the day it keeps until.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from pinset.chain.keeping import is_too_cold, keeping_days
from pinset.chain.living import LivingLot, Stood
from pinset.chain.register import Step, StepKind
from pinset.chain.season_days import lasting_days
from pinset.chain.spreads import days_ahead, quantile
from pinset.chain.stages import Stage

_TINY = 1e-9


class LotState(StrEnum):
    """What a lot is on a day, as far as time and cold say."""

    NOT_READY = "not ready"  # more likely than not still growing
    READY = "ready"  # more likely than not ready, and still within its time
    PAST = "past its time"  # kept longer than it keeps
    DEAD_COLD = "dead of cold"  # stands below what it survives


@dataclass(frozen=True, slots=True)
class ReadyOn:
    """The day a lot is ready, as a distribution; all three alike if a person said so."""

    p10: date  # one time in ten it is ready before this
    p50: date
    p90: date  # one time in ten it is not ready by this
    mean_days: float  # since the step began
    judged: bool = False  # a person's own judgement, which overrules the route


@dataclass(frozen=True, slots=True)
class Standing:
    """The state of a lot on a day, with the words for it."""

    state: LotState
    words: str
    ready_on: ReadyOn
    keeps_until: date | None  # None: its time is not limited by keeping (units being picked)


def _whole_days(days: float) -> int:
    return math.ceil(days - _TINY)


def lead_days(step: Step, p: float = 0.5, *, since: date | None = None) -> int:
    """Return the whole days after which units of a step are ready with chance ``p``.

    Parameters
    ----------
    step : Step
        Any step of a route.
    p : float
        Chance, 0 to 1; 0.5 plans on the middle, 0.9 on a late lot. [-]
    since : date, optional
        The day the step begins, where its days follow the months; without it they are the usual.

    Returns
    -------
    int
        Days from the start of the step, rounded up. [d]

    Raises
    ------
    InputError
        If the chance is outside 0 to 1 or the step's days are disordered.
    """
    days = quantile(step.days, p)
    return _whole_days(days if since is None else lasting_days(step.days_by_month, since, days))


def ready_on(lot: LivingLot) -> ReadyOn:
    """Return the day a lot is ready, as a distribution.

    Parameters
    ----------
    lot : LivingLot
        Its present step and the day that began. For fruiting units ready is the first pick.

    Returns
    -------
    ReadyOn
        Days at chance 0.1, 0.5 and 0.9; a person's `expected_ready_on` overrules them.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    step, since = lot.now_step(), lot.step_since
    days = days_ahead(step.days)
    if lot.expected_ready_on is not None:
        judged = lot.expected_ready_on
        return ReadyOn(judged, judged, judged, float((judged - since).days), judged=True)
    percentiles = (
        lasting_days(step.days_by_month, since, each) for each in (days.p10, days.p50, days.p90)
    )
    p10, p50, p90 = (since + timedelta(days=_whole_days(each)) for each in percentiles)
    return ReadyOn(p10, p50, p90, lasting_days(step.days_by_month, since, days.mean))


def life_left(lot: LivingLot, day: date) -> float:
    """Return the share of its keeping time that a ready lot has left on a day.

    Parameters
    ----------
    lot : LivingLot
        Its step, the rooms it stood in, and the one it stands in now.
    day : date
        The day asked about.

    Returns
    -------
    float
        1 up to the ready day, 0 from the day after its last on. In each room the time runs evenly:
        half of the keeping time warm and then half of the keeping time cold, which is an
        assumption (common practice, no source). [-]

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    step, left, since = lot.now_step(), 1.0, _keeps_since(lot)
    here = Stood(max(day, since), lot.temperature_c)
    for stood in (*lot.stood, here):
        until = min(stood.until, here.until)
        days = (until - since).days
        if days <= 0:
            continue
        keeps = keeping_days(step, stood.temperature_c)
        if days > math.floor(left * keeps + _TINY):
            return 0.0
        left, since = left - days / keeps, until
    return max(0.0, left)


def _keeps_since(lot: LivingLot) -> date:
    """Return the day from which its keeping time runs: the middle ready day, unless told otherwise.

    Told is the last day where it stood first; its whole time there ends on that day.
    """
    if lot.keeps_until is None:
        return ready_on(lot).p50
    first = lot.stood[0].temperature_c if lot.stood else lot.temperature_c
    whole = math.floor(keeping_days(lot.now_step(), first) + _TINY)
    return lot.keeps_until - timedelta(days=whole)


def _last_day(lot: LivingLot) -> date:
    """Return the last day a lot may be used, unopened; its time may have run out elsewhere."""
    step, since, left = lot.now_step(), _keeps_since(lot), 1.0
    for stood in lot.stood:
        keeps = keeping_days(step, stood.temperature_c)
        if stood.until <= since:
            continue
        last = since + timedelta(days=math.floor(left * keeps + _TINY))
        if stood.until > last:
            return last
        left -= (stood.until - since).days / keeps
        since = stood.until
    keeps = keeping_days(step, lot.temperature_c)
    return since + timedelta(days=math.floor(max(0.0, left) * keeps + _TINY))


def keeps_until(lot: LivingLot) -> date | None:
    """Return the last day on which units of a lot may be used.

    Parameters
    ----------
    lot : LivingLot
        Its step, room temperature and the day it was opened, if it was.

    Returns
    -------
    date or None
        Counted from the middle ready day (or a person's judgement): what it stood ready in another
        room has used up its share of the keeping time there, and the rest runs at the temperature
        of this room. An opened vessel keeps no longer than its opened life. None for fruiting
        units, which are picked flush by flush. The day before it began if it stands below its
        floor: no day is left.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    step = lot.now_step()
    if is_too_cold(step, lot.temperature_c):
        return lot.step_since - timedelta(days=1)
    if step.kind is StepKind.FRUIT:
        return None
    last = _last_day(lot)
    if lot.opened_on is not None and step.opened_keeps_days is not None:
        opened = lot.opened_on + timedelta(days=math.floor(step.opened_keeps_days + _TINY))
        last = min(last, opened)
    return last


def may_be_ready(lot: LivingLot, today: date) -> bool:
    """Say whether a lot is more likely not ready yet, and may be all the same, so that one looks.

    What fruits is looked at on the morning round, what is held back or on its way not at all; a
    person's own judgement leaves nothing open.

    Parameters
    ----------
    lot : LivingLot
        The lot.
    today : date
        The day asked about: from the one on which one in ten is ready until half are.

    Returns
    -------
    bool
        Whether it is to be looked at, if nobody has looked since.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    if lot.stage is Stage.PREPARED or lot.order or lot.held or lot.alive <= 0:
        return False
    if lot.now_step().kind is StepKind.FRUIT:
        return False
    ready = ready_on(lot)
    return not ready.judged and ready.p10 <= today < ready.p50


def state(lot: LivingLot, today: date, *, is_looked_at: bool = False) -> Standing:
    """Return what a lot is today, with words for it.

    Parameters
    ----------
    lot : LivingLot
        The lot.
    today : date
        The day asked about.
    is_looked_at : bool
        Whether somebody looked since it may be ready, so that no look is asked for.

    Returns
    -------
    Standing
        Cold comes before the calendar; then past its time, ready, not ready.

    Raises
    ------
    InputError
        If the step's days are disordered.
    """
    ready, until, step = ready_on(lot), keeps_until(lot), lot.now_step()
    if is_too_cold(step, lot.temperature_c):
        return Standing(LotState.DEAD_COLD, _cold_words(step, lot.temperature_c), ready, until)
    if until is not None and today > until:
        reason = "opened " + _day(lot.opened_on) + ", " if _opening_binds(lot, until) else ""
        words = f"past its time: {reason}kept until {_day(until)}"
        return Standing(LotState.PAST, words, ready, until)
    if today >= ready.p50:
        since = f"ready since {_day(ready.p50)}" if today > ready.p50 else "ready today"
        words = since if until is None else f"{since}, keeps until {_day(until)}"
        if lot.use_by is not None:
            words += f"; to be used first, by {_day(lot.use_by)}"
        return Standing(LotState.READY, words, ready, until)
    words = _coming_words(lot, ready, today, is_looked_at=is_looked_at)
    return Standing(LotState.NOT_READY, words, ready, until)


def _opening_binds(lot: LivingLot, until: date) -> bool:
    opened_life = lot.now_step().opened_keeps_days
    if lot.opened_on is None or opened_life is None:
        return False
    return until == lot.opened_on + timedelta(days=math.floor(opened_life + _TINY))


def _cold_words(step: Step, temperature_c: float) -> str:
    if step.cold_min_c is None:
        return (
            f"must not be chilled and stands at {temperature_c:g} °C: take it for dead until tested"
        )
    return (
        f"stands at {temperature_c:g} °C and dies below {step.cold_min_c:g} °C: "
        "take it for dead until tested"
    )


def _coming_words(lot: LivingLot, ready: ReadyOn, today: date, *, is_looked_at: bool) -> str:
    if ready.p10 == ready.p90:
        return f"ready {_day(ready.p50)}"
    words = f"ready {_day(ready.p10)} to {_day(ready.p90)}"
    if today < ready.p10:
        return words
    if lot.now_step().kind is StepKind.FRUIT:
        return f"{words}, may be ready: look on the morning round"
    if not may_be_ready(lot, today):
        return f"{words}, may be ready"
    return f"{words}, may be ready: looked at" if is_looked_at else f"{words}, may be ready: look"


def _day(day: date | None) -> str:
    return "" if day is None else f"{day.day} {day:%B}"
