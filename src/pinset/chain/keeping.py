"""How long ready units keep at a temperature, and below which they die."""

from __future__ import annotations

import math

from pinset.chain.register import Step, StepKind
from pinset.errors import InputError

WARM_C = 20.0
"""At and above this a unit keeps its `keeps_days_warm`; °C, common practice, no source."""

COLD_C = 4.0
"""At and below this (or its floor, if higher) it keeps its `keeps_days_cold`; °C, storage table."""

CHILLED_C = 8.0
"""Colder than this a unit that must not be chilled counts as chilled; °C, storage table (8 to 10
for pink oyster)."""


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
