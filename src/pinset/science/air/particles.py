"""Particles in the air of a room: by source, over time, and how much clean air a class needs.

One well mixed room. A mixing factor stretches times only; near a source, or in a dead corner, there
is more than the mean.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf, isfinite, log

import numpy as np

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over
from pinset.science.checks import Many, Values, within

WORST_MIXING = 10.0
"""Of perfect 1 to very poor 10, by the US Centers for Disease Control (MMWR 43(RR-13), 1994)."""


class Source(StrEnum):
    """Where a room's particles come from."""

    LEAK_IN = "leak-in"  # unfiltered, through gaps and doors
    PEOPLE = "people"
    FRESH = "fresh"  # through the filters, from outside
    RECIRCULATED = "recirculated"  # back through filters


@dataclass(frozen=True, slots=True)
class CleanRoom:
    """A room as its particles see it; every flow 0 or more, in m3/s.

    Raises
    ------
    InputError
        If a number is out of its range, or nothing carries particles away.
    """

    volume_m3: float
    fresh_m3_s: float  # outside air through filters
    fresh_passes: float  # share of outside particles that gets through them, 0 to 1
    outside_m3: Range  # of particles outside [1/m3]
    people: Range  # that people shed [1/s]
    leak_in_m3_s: float = 0.0  # unfiltered
    recirculated_m3_s: float = 0.0  # room air through filters and back
    recirculated_passes: float = 0.0
    settling_m3_s: float = 0.0  # velocity times floor; leave out at 0.5 um
    mixing: float = 1.0  # 1 perfect, 10 very poor

    def __post_init__(self) -> None:
        """Refuse what no room has."""
        if not (isfinite(self.volume_m3) and self.volume_m3 > 0.0):
            raise InputError("room volume", self.volume_m3, "above 0 m3")
        flows = {
            "fresh air": self.fresh_m3_s,
            "leak-in": self.leak_in_m3_s,
            "recirculated air": self.recirculated_m3_s,
            "settling": self.settling_m3_s,
        }
        for name, flow in flows.items():
            within(name, flow, 0.0, 1e4, "m3/s")
        within("share that passes", [self.fresh_passes, self.recirculated_passes], 0.0, 1.0, "")
        within("mixing", self.mixing, 1.0, WORST_MIXING, "")
        within("particles", [self.outside_m3.low, self.people.low], 0.0, inf, "")
        if self.removed_m3_s <= 0.0:
            raise InputError("air flows", 0.0, "some clean air: without it nothing is steady")

    @property
    def removed_m3_s(self) -> float:
        """Air freed of its particles in a second."""
        kept = self.recirculated_m3_s * (1.0 - self.recirculated_passes)
        return self.fresh_m3_s + self.leak_in_m3_s + self.settling_m3_s + kept


@dataclass(frozen=True, slots=True)
class Split:
    """What the steady air of a room carries, and from where, per m3."""

    total: Range
    by_source: dict[Source, Range]

    @property
    def most(self) -> Source:
        """The source of most of it, by the middles."""
        return max(self.by_source, key=lambda source: self.by_source[source].middle)


def _total(room: CleanRoom, people: float, outside: float) -> float:
    entering = room.leak_in_m3_s + room.fresh_m3_s * room.fresh_passes
    return (people + entering * outside) / room.removed_m3_s


def _shares(room: CleanRoom, people: float, outside: float) -> dict[Source, float]:
    """Return what each source adds to the steady concentration; all together are the total."""
    back = room.recirculated_m3_s * room.recirculated_passes
    leaving = room.removed_m3_s + back
    return {
        Source.LEAK_IN: room.leak_in_m3_s * outside / leaving,
        Source.PEOPLE: people / leaving,
        Source.FRESH: room.fresh_m3_s * room.fresh_passes * outside / leaving,
        Source.RECIRCULATED: back * _total(room, people, outside) / leaving,
    }


def steady(room: CleanRoom) -> Split:
    """Return the particles in a room that has been left as it is, by source.

    Returns
    -------
    Split
        ``C = (G + Qf Pf Co + Qr Pr C + Qi Co) / (Qf + Qr + Qi + v A)``. [1/m3]
    """

    def share(source: Source) -> Range:
        return over(lambda p, o: _shares(room, p, o)[source], room.people, room.outside_m3)

    return Split(steady_total(room), {source: share(source) for source in Source})


def steady_total(room: CleanRoom) -> Range:
    """Return how many particles there are in a m3 of a room left as it is."""
    return over(lambda p, o: _total(room, p, o), room.people, room.outside_m3)


def after(room: CleanRoom, start_m3: float, seconds: Many) -> Values:
    """Return the particles some time after there were so many.

    Parameters
    ----------
    room : CleanRoom
        As it is from then on.
    start_m3 : float
        At 0 s. [1/m3]
    seconds : array_like
        0 or more. [s]

    Returns
    -------
    ndarray
        Low, middle and high by time: of shape (3, times). [1/m3]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("particles", start_m3, 0.0, inf, "1/m3")
    time = within("time", seconds, 0.0, inf, "s").reshape(1, -1)
    end = np.array(steady_total(room).ends).reshape(3, 1)
    pace = room.removed_m3_s / (room.volume_m3 * room.mixing)
    found: Values = end + (start_m3 - end) * np.exp(-pace * time)
    return found


def clearing_time(room: CleanRoom, start_m3: float, target_m3: float) -> Range:
    """Return how long a room takes to come down to so many particles.

    Parameters
    ----------
    room : CleanRoom
        As it is meanwhile.
    start_m3, target_m3 : float
        Both above 0. [1/m3]

    Returns
    -------
    Range
        0 if it is there already; infinite where it never comes so far down. [s]

    Raises
    ------
    InputError
        If a number is not above 0.

    Examples
    --------
    >>> nothing = Range.exactly(0.0)
    >>> room = CleanRoom(30.0, 30.0 * 20 / 3600, 0.0, nothing, nothing)
    >>> round(clearing_time(room, 100.0, 1.0).middle / 60.0, 1)
    13.8
    """
    if not (start_m3 > 0.0 and target_m3 > 0.0):
        raise InputError("particles", (start_m3, target_m3), "numbers above 0 per m3")
    per_s = room.removed_m3_s / (room.volume_m3 * room.mixing)

    def time(end: float) -> float:
        if start_m3 <= target_m3:
            return 0.0
        if end >= target_m3:
            return inf
        return log((start_m3 - end) / (target_m3 - end)) / per_s

    return over(time, steady_total(room))


def fouling_time(room: CleanRoom, start_m3: float, limit_m3: float) -> Range:
    """Return how long a room takes to come up to so many particles, as when its fan stops.

    Parameters
    ----------
    room : CleanRoom
        As it is meanwhile: unfiltered air through its gaps.
    start_m3, limit_m3 : float
        0 or more. [1/m3]

    Returns
    -------
    Range
        0 if it is there already; infinite where it never comes so far. [s]

    Raises
    ------
    InputError
        If a number is below 0.
    """
    within("particles", [start_m3, limit_m3], 0.0, inf, "1/m3")
    per_s = room.removed_m3_s / (room.volume_m3 * room.mixing)

    def time(end: float) -> float:
        if start_m3 >= limit_m3:
            return 0.0
        return log((end - start_m3) / (end - limit_m3)) / per_s if end > limit_m3 else inf

    return over(time, steady_total(room))


def fresh_air_for(room: CleanRoom, target_m3: float) -> Range:
    """Return how much filtered outside air keeps a room at so many particles.

    Parameters
    ----------
    room : CleanRoom
        Its own fresh air is left aside.
    target_m3 : float
        Above 0. [1/m3]

    Returns
    -------
    Range
        Infinite where the filter lets more through than the target. [m3/s]

    Raises
    ------
    InputError
        If the target is not above 0.
    """
    if not target_m3 > 0.0:
        raise InputError("target", target_m3, "above 0 per m3")
    cleaned = replace(room, fresh_m3_s=1.0).removed_m3_s - 1.0

    def needed(people: float, outside: float) -> float:
        missing = people + room.leak_in_m3_s * outside - target_m3 * cleaned
        gained = target_m3 - room.fresh_passes * outside
        if missing <= 0.0:
            return 0.0
        return missing / gained if gained > 0.0 else inf

    return over(needed, room.people, room.outside_m3)
