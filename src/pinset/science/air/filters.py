"""Filters in a row: what gets through, how hard they are to blow through, when to change them.

What passes one filter meets the next, so the shares that pass multiply, but only if all were tested
with particles of one size. A class of one test says nothing about another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over, published
from pinset.tables.air import air_keys, air_value

LOCAL_TIMES = 5.0
"""How many times the overall share may pass at the worst spot of H13 to U16 (EN 1822)."""


@dataclass(frozen=True, slots=True)
class Filter:
    """A filter: which share of the particles of its test it keeps back."""

    name: str
    efficiency: float  # 0 to 1
    tested_with: str  # particle size of the test

    def __post_init__(self) -> None:
        """Refuse a share that is none."""
        if not 0.0 <= self.efficiency <= 1.0:
            raise InputError("filter efficiency", self.efficiency, "a share from 0 to 1")


def filters_known() -> tuple[str, ...]:
    """Return the keys of the filter classes that are published, coarse to fine by their tests."""
    return air_keys("efficiency")


def filter_of(key: str) -> Filter:
    """Return a published filter class.

    Raises
    ------
    InputError
        If the table has none of that key.
    """
    row = air_value(key, "efficiency")
    return Filter(key, row.value, row.basis)


def passes(filters: Sequence[Filter]) -> float:
    """Return the share of particles that gets through filters in a row.

    Raises
    ------
    InputError
        If they were not tested with particles of one size.
    """
    tests = sorted({one.tested_with for one in filters})
    if len(tests) > 1:
        raise InputError(
            "filters",
            " and ".join(tests),
            "filters tested with particles of one size",
            "Give each one's efficiency at the same size.",
        )
    share = 1.0
    for one in filters:
        share *= 1.0 - one.efficiency
    return share


class Resistance(StrEnum):
    """How loaded a filter is."""

    FINE = "fine"
    SOON = "soon"  # past the least multiple at which makers say change
    DUE = "due"  # past the most


def resistance(first_pa: float, now_pa: float, flow_ratio: float = 1.0) -> tuple[float, Resistance]:
    """Return how many times its first resistance a filter has, and what that means.

    Parameters
    ----------
    first_pa, now_pa : float
        Pressure drops when new and now, above 0. [Pa]
    flow_ratio : float
        The flow now over the flow when new, above 0. [1]

    Raises
    ------
    InputError
        If a number is not above 0.

    Notes
    -----
    Fine media are nearly laminar: the drop goes with the flow, so it is brought to the first flow.
    A falling flow hides a loaded filter. Change it too when the face speed cannot be held.
    """
    if not (first_pa > 0.0 and now_pa > 0.0 and flow_ratio > 0.0):
        raise InputError("pressure drops", (first_pa, now_pa, flow_ratio), "numbers above 0")
    times = now_pa / flow_ratio / first_pa
    limit = published("filter", "resistance_at_change")
    if times >= limit.high:
        return times, Resistance.DUE
    return times, Resistance.SOON if times >= limit.low else Resistance.FINE


def days_to_change(days: Sequence[float], drops_pa: Sequence[float]) -> Range | None:
    """Return in how many days after the last reading a filter is loaded, by its own readings.

    Parameters
    ----------
    days : sequence of float
        When it was read, rising. [d]
    drops_pa : sequence of float
        At one flow, the first one when new, above 0. [Pa]

    Returns
    -------
    Range or None
        To the least, middle and most multiple of the first reading; None if it does not rise. [d]

    Raises
    ------
    InputError
        If there are fewer than two readings, or they are out of order or range.

    Notes
    -----
    A straight line through the first reading: loading is quicker later on, so read again.
    """
    when, drops = np.asarray(days, dtype=float), np.asarray(drops_pa, dtype=float)
    is_rising = when.size > 1 and bool(np.all(np.diff(when) > 0.0))
    if when.shape != drops.shape or not is_rising or not np.all(drops > 0.0):
        raise InputError("filter readings", len(when), "two or more, by day, above 0 Pa")
    since, more = when - when[0], drops - drops[0]
    slope = float(np.sum(since * more) / np.sum(since**2))
    if slope <= 0.0:
        return None
    first, last = float(drops[0]), float(since[-1])
    limit = published("filter", "resistance_at_change")
    return over(lambda times: max(0.0, first * (times - 1.0) / slope - last), limit)
