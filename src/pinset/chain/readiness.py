"""When a lot is ready, how long it keeps, and what that makes it today.

A lot becomes ready some days after its present step began; the days are a triangular distribution
of the step. Ready units keep for a time that depends on the temperature of the room they stand in.
Below the step's hard floor (pink oyster: 8 to 10 °C) they die, whatever the calendar says.

Dates here are whole days: a unit is ready on the first day on which its time has passed, and may
be used up to and including the day it keeps until.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from pinset.chain.living import LivingLot
from pinset.chain.register import Step, StepKind
from pinset.chain.spreads import days_ahead, quantile
from pinset.errors import InputError

WARM_C = 20.0
"""At and above this a unit keeps its `keeps_days_warm`; °C, common practice, no source."""

COLD_C = 4.0
"""At and below this (or its floor, if higher) it keeps its `keeps_days_cold`; °C, storage table."""

CHILLED_C = 8.0
"""Colder than this a unit that must not be chilled counts as chilled; °C, storage table (8 to 10
for pink oyster)."""

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


def lead_days(step: Step, p: float = 0.5) -> int:
    """Return the whole days after which units of a step are ready with chance ``p``.

    Parameters
    ----------
    step : Step
        Any step of a route.
    p : float
        Chance, 0 to 1; 0.5 plans on the middle, 0.9 on a late lot. [-]

    Returns
    -------
    int
        Days from the start of the step, rounded up. [d]

    Raises
    ------
    InputError
        If the chance is outside 0 to 1 or the step's days are disordered.
    """
    return _whole_days(quantile(step.days, p))


def is_too_cold(step: Step, temperature_c: float) -> bool:
    """Return whether units of a step die or spoil at a temperature.

    Parameters
    ----------
    step : Step
        Its `cold_min_c` is the hard floor; without one, `keeps_days_cold` None means that it must
        not be chilled, which counts below ``CHILLED_C`` unless the step itself is run so cold.
    temperature_c : float
        Of the room. [°C]

    Returns
    -------
    bool
        True below the floor.

    Raises
    ------
    InputError
        If the temperature is not a number.
    """
    if math.isnan(temperature_c):
        raise InputError("temperature", temperature_c, "a number of °C")
    if step.cold_min_c is not None:
        return temperature_c < step.cold_min_c
    if step.keeps_days_cold is not None or step.kind is StepKind.FRUIT:
        return False  # grow rooms are as cold as their climate asks
    return temperature_c < min(CHILLED_C, step.temperature_c)


def keeping_days(step: Step, temperature_c: float) -> float:
    """Return how many days a ready, unopened unit keeps at a temperature.

    Parameters
    ----------
    step : Step
        Its keeping times warm and cold.
    temperature_c : float
        Of the room it stands in. [°C]

    Returns
    -------
    float
        Days after the ready day; 0 below the floor. [d]

    Raises
    ------
    InputError
        If the temperature is not a number.

    Notes
    -----
    The warm figure holds from ``WARM_C`` up, the cold figure from ``COLD_C`` (or the floor, if
    that is higher) down. Between them the logarithm of the days runs straight, which is a constant
    Q10: an assumption, common practice, no source. A unit that must not be chilled keeps its warm
    figure at every temperature it survives.

    Examples
    --------
    >>> from pinset.chain.register import Spread
    >>> from pinset.chain.stages import Stage
    >>> grain = Step("grain", StepKind.TRANSFER, Stage.GRAIN, Spread(8, 11, 14),
    ...              Spread(0, 0.02, 0.05), 23.0, keeps_days_warm=14.0, keeps_days_cold=90.0)
    >>> keeping_days(grain, 2.0), keeping_days(grain, 23.0)
    (90.0, 14.0)
    """
    if is_too_cold(step, temperature_c):
        return 0.0
    warm, cold = step.keeps_days_warm, step.keeps_days_cold
    if cold is None or temperature_c >= WARM_C:
        return warm
    cold_at = COLD_C if step.cold_min_c is None else max(COLD_C, step.cold_min_c)
    if temperature_c <= cold_at:
        return cold
    share = (temperature_c - cold_at) / (WARM_C - cold_at)
    if warm <= 0.0 or cold <= 0.0:
        return cold + share * (warm - cold)
    return math.exp((1.0 - share) * math.log(cold) + share * math.log(warm))


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
    days = days_ahead(lot.now_step().days)
    if lot.expected_ready_on is not None:
        judged = lot.expected_ready_on
        return ReadyOn(judged, judged, judged, float((judged - lot.step_since).days), judged=True)
    p10, p50, p90 = (
        lot.step_since + timedelta(days=_whole_days(each))
        for each in (days.p10, days.p50, days.p90)
    )
    return ReadyOn(p10, p50, p90, days.mean)


def keeps_until(lot: LivingLot) -> date | None:
    """Return the last day on which units of a lot may be used.

    Parameters
    ----------
    lot : LivingLot
        Its step, room temperature and the day it was opened, if it was.

    Returns
    -------
    date or None
        Counted from the middle ready day (or a person's judgement) at the temperature of the room
        it stands in now; an opened vessel keeps no longer than its opened life. None for fruiting
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
    last = ready_on(lot).p50 + timedelta(
        days=math.floor(keeping_days(step, lot.temperature_c) + _TINY)
    )
    if lot.opened_on is not None and step.opened_keeps_days is not None:
        opened = lot.opened_on + timedelta(days=math.floor(step.opened_keeps_days + _TINY))
        last = min(last, opened)
    return last


def state(lot: LivingLot, today: date) -> Standing:
    """Return what a lot is today, with words for it.

    Parameters
    ----------
    lot : LivingLot
        The lot.
    today : date
        The day asked about.

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
        return Standing(LotState.READY, words, ready, until)
    return Standing(LotState.NOT_READY, _coming_words(ready, today), ready, until)


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


def _coming_words(ready: ReadyOn, today: date) -> str:
    if ready.p10 == ready.p90:
        return f"ready {_day(ready.p50)}"
    words = f"ready {_day(ready.p10)} to {_day(ready.p90)}"
    return f"{words}, may be ready: look" if today >= ready.p10 else words


def _day(day: date | None) -> str:
    return "" if day is None else f"{day.day} {day:%B}"
