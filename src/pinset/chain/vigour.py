"""How fast a culture grows on a plate, from two radii, and whether that is slower than it was.

A colony spreads on agar at an even rate once it has begun, so two radii and the time between them
give its growth. A ruler is read to a millimetre, so a growth without its uncertainty says little:
two radii a day apart tell nothing that two radii four days apart would not tell four times better.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from pinset.errors import InputError

READ_WITHIN_MM = 1.0
"""A radius on a plate is read to within this, either way; mm, common practice, no source."""

TOLD_WITHIN = timedelta(hours=1)
"""The moment of a reading is right to within this, either way; common practice, no source."""

DAY_ONLY = timedelta(hours=12)
"""Where only the day of a reading is known it is taken at noon, right to within this."""

EDGE_MM = 42.0
"""From this radius on a colony touches the wall of a 90 mm dish (about 86 mm wide inside); mm,
common practice, no source."""

LARGEST_MM = 150.0
"""More than any plate has; mm."""

LEAST_APART = timedelta(hours=12)
"""Closer together two readings say nothing; common practice, no source."""

LONGEST_APART = timedelta(days=60)
"""Further apart two readings are not of one growth; common practice, no source."""

SLOW_SHARE = 0.75
"""Below this share of its own earlier plates a culture counts as slowed; common practice, no
source."""

LEAST_EARLIER = 2
"""Earlier plates without which nothing is compared; common practice, no source."""

SAME_WARMTH_K = 2.0
"""Plates that stood this much warmer or colder are not compared; K, common practice, no source."""

_PER_DAY = 86_400.0
_TWO_SIDED = 2.0
"""Coverage factor: about 95 in 100 of a normal error lie within (JCGM 100:2008, 6.3.3;
clause from memory)."""


@dataclass(frozen=True, slots=True)
class Radius:
    """How far a colony had come from the middle of where it was set, at a moment."""

    at: datetime
    mm: float
    within: timedelta = TOLD_WITHIN  # half-width within which the moment is right


@dataclass(frozen=True, slots=True)
class Growth:
    """How fast a colony grew between two readings."""

    mm_per_day: float
    uncertainty: float  # standard uncertainty [mm/day]
    days: float  # between the readings
    is_at_edge: bool = False  # the plate was full: it grew at least so fast

    @property
    def within(self) -> float:
        """Return the half-width that holds the true growth about 95 times in 100, in mm/day."""
        return _TWO_SIDED * self.uncertainty


@dataclass(frozen=True, slots=True)
class Measured:
    """The growth of one plate, with what it was measured on."""

    lot: str
    plate: int  # number of the plate, where several of a lot are measured
    at: datetime  # of the later reading
    growth: Growth
    transfers: int = 0  # since the mother, of the lot
    temperature_c: float | None = None  # of the room the plates stood in; None: not known
    medium: str = ""


@dataclass(frozen=True, slots=True)
class Slower:
    """The newest plate held against the culture's own earlier plates."""

    newest: Measured
    usual_mm_per_day: float  # middle of the earlier plates
    earlier: int  # how many they are, without those that were slower themselves
    is_slower: bool  # slower than can be told from reading a ruler

    @property
    def share(self) -> float:
        """Return the newest growth as a share of the usual; 1 where nothing grew before."""
        if not self.usual_mm_per_day:
            return 1.0
        return self.newest.growth.mm_per_day / self.usual_mm_per_day


def growth(
    first: Radius,
    second: Radius,
    *,
    read_within_mm: float = READ_WITHIN_MM,
) -> Growth:
    """Return the growth of a colony from two radii.

    Parameters
    ----------
    first, second : Radius
        Of the same colony, the earlier first; both after it began to spread. [mm]
    read_within_mm : float
        Half-width within which a radius is read. [mm]

    Returns
    -------
    Growth
        Millimetres of radius per day with their standard uncertainty.

    Raises
    ------
    InputError
        If a radius is none a plate can have, the second is smaller than the first, or the two lie
        less than half a day or more than 60 days apart.

    Notes
    -----
    For v = (r2 - r1) / t the law of propagation of uncertainty [1]_ gives
    u(v)**2 = (2 u(r)**2 + v**2 (u(t1)**2 + u(t2)**2)) / t**2. A half-width a within which any value
    is as likely as another has the standard uncertainty a / sqrt(3) [2]_.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.2, equation (10); clause from memory.
    .. [2] JCGM 100:2008 (GUM), 4.3.7; clause from memory.

    Examples
    --------
    >>> from datetime import UTC
    >>> begun = datetime(2026, 3, 8, 9, tzinfo=UTC)
    >>> found = growth(Radius(begun, 12.0), Radius(begun + timedelta(days=4), 32.0))
    >>> found.mm_per_day, round(found.within, 2)
    (5.0, 0.42)
    """
    for radius in (first, second):
        if not 0.0 < radius.mm <= LARGEST_MM:
            accepted = f"more than 0 and at most {LARGEST_MM:g} mm, from where it was set outwards"
            raise InputError("radius", radius.mm, accepted)
    apart = second.at - first.at
    if not LEAST_APART <= apart <= LONGEST_APART:
        given = f"{apart / timedelta(hours=1):.1f} h apart"
        raise InputError("time between the radii", given, "half a day to 60 days")
    if second.mm < first.mm:
        raise InputError("radius", second.mm, f"{first.mm:g} mm or more, as it was before")
    days = apart.total_seconds() / _PER_DAY
    rate = (second.mm - first.mm) / days
    of_radius = read_within_mm / math.sqrt(3.0)
    of_times = [
        radius.within.total_seconds() / _PER_DAY / math.sqrt(3.0) for radius in (first, second)
    ]
    spread = math.hypot(of_radius, of_radius, *(rate * each for each in of_times)) / days
    return Growth(rate, spread, days, is_at_edge=second.mm >= EDGE_MM)


def of_plate(readings: Sequence[Radius]) -> tuple[datetime, Growth] | None:
    """Return the growth of one plate from all its readings, and when the last of them was.

    Parameters
    ----------
    readings : sequence of Radius
        Of one plate, in any order.

    Returns
    -------
    tuple or None
        From the first reading to the last before the plate was full; if there are no two such, to
        the first of a full plate. None where no two readings tell anything: they are too close
        together or too far apart, or one is smaller than the one before (the later ones count).
    """
    row: list[Radius] = []
    for reading in sorted(readings, key=lambda each: each.at):
        if row and (reading.mm < row[-1].mm or reading.at - row[0].at > LONGEST_APART):
            row = []
        row.append(reading)
    for last in (
        *reversed([each for each in row if each.mm < EDGE_MM]),
        *[each for each in row if each.mm >= EDGE_MM],
    ):
        if last.at - row[0].at >= LEAST_APART:
            return last.at, growth(row[0], last)
    return None


def held_against_earlier(plates: Sequence[Measured]) -> Slower | None:
    """Return the newest plate of a culture held against its own earlier ones.

    Parameters
    ----------
    plates : sequence of Measured
        All of one culture.

    Returns
    -------
    Slower or None
        None if there are fewer than two earlier plates like it: on the same medium, as warm within
        2 K, and not read when the plate was full. A plate counts as slower if it grew at less than
        three quarters of the middle of the earlier ones, and by more than its reading may be off.
        Plates that counted as slower themselves do not tell what is usual: a culture that stays
        slow would else count as sound again after some of them.
    """
    told = sorted((each for each in plates if not each.growth.is_at_edge), key=lambda each: each.at)
    held, usual = None, list[Measured]()
    for each in told:
        held = _held(each, usual)
        if held is None or not held.is_slower:
            usual.append(each)
    return held


def _held(newest: Measured, earlier: Sequence[Measured]) -> Slower | None:
    like = [
        each
        for each in earlier
        if (each.lot, each.plate) != (newest.lot, newest.plate) and _is_like(each, newest)
    ]
    if len(like) < LEAST_EARLIER:
        return None
    usual = median(each.growth.mm_per_day for each in like)
    now = newest.growth
    is_slower = now.mm_per_day < SLOW_SHARE * usual and now.mm_per_day + now.within < usual
    return Slower(newest, usual, len(like), is_slower)


def _is_like(one: Measured, other: Measured) -> bool:
    if one.medium != other.medium:
        return False
    if one.temperature_c is None or other.temperature_c is None:
        return one.temperature_c is other.temperature_c
    return abs(one.temperature_c - other.temperature_c) <= SAME_WARMTH_K
