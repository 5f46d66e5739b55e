"""A core whose chamber was hot already when it was first read, on the safe side of its end.

What happened before the first reading decides how a core goes on: the longer it was heated, the
slower it takes heat up from here. Nobody knows it surely, not even who says since when: an answer
may be a slip, the chamber may have come up otherwise than planned, or have been hotter before it
was first read. So each beginning that explains the readings about as well counts, and the one that
takes longest is gone by. Its end is a promise only where it is that of the beginning that was said,
or hardly later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pinset.science.heating.heated_unit import Conducting, Moist, Unit
from pinset.science.judging.core_match import TELLING, as_it_is, as_well_k
from pinset.science.judging.records import Rule
from pinset.science.watching.before import GONE_S, with_beginning
from pinset.science.watching.chamber import MINUTE, ChamberSoFar
from pinset.science.watching.core import HOT_K, Core, earned
from pinset.science.watching.going_on import (
    MEASURED,
    CoreNow,
    WatchedLoad,
    followed,
    longest,
    now_of,
    whole_s,
)

FIRM = 0.5  # share of the way a core has come since it was first read, where its end is a promise
FOLLOWS_K = 0.5  # that what was said may leave of the readings, where its end is a promise
AGREE_S = 180.0  # by which an end may be later than what was said gives, and is a promise still


@dataclass(frozen=True, slots=True)
class _Way:
    """A beginning and what the best unit leaves of the readings with it."""

    off_k: float
    going_on: list[CoreNow]


def heated_before(
    chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule
) -> tuple[CoreNow, bool]:
    """Return a core as it goes on at the longest, and whether that is a bound, not a promise.

    Parameters
    ----------
    chamber : ChamberSoFar
        Since its first reading, and hot at that.
    read : Core
        By its probe.
    load : WatchedLoad
        Its ``since_s`` is when it began to be heated, as somebody said.
    rule : Rule
        What it is to reach.
    """
    is_told = load.since_s is not None
    gone = max(0.0, float(chamber.seconds[0]) - (load.since_s or 0.0)) if is_told else 0.0
    told = _told(chamber, read, load, rule, gone) if is_told else None
    if earned(read, rule).reached_s is not None:
        ways = told or _ways(chamber, read, load, rule, (0.0,), _even(load))
        return max((now for way in ways for now in way.going_on), key=longest), False
    load = replace(load, start_c=min(load.start_c, float(read.celsius[0])))
    others = _others(chamber, read, load, rule, gone, told or [])
    if told is None:
        return max(others, key=longest), True
    said = min(told, key=lambda way: way.off_k)
    meant = max(said.going_on, key=longest)
    enough = as_well_k(said.off_k)
    as_said = [now for way in told for now in way.going_on if way.off_k <= enough]
    latest = max((*as_said, *others), key=longest)
    is_firm = (
        said.off_k <= FOLLOWS_K
        and _tells(chamber, read, FIRM)
        and whole_s(latest) - whole_s(meant) <= AGREE_S
    )
    return latest, not is_firm


def _even(load: WatchedLoad) -> list[Unit]:
    units = [unit for _, unit in load.cases]
    slowest = units[0]
    even: list[Unit] = [each for each in units if isinstance(each, Conducting)]
    return even or [Conducting(slowest.shape, slowest.material)]


def _tells(chamber: ChamberSoFar, read: Core, share: float = TELLING) -> bool:
    """Return whether a core has come such a share of the way since it was first read."""
    first_c, best_c = float(read.celsius[0]), float(np.max(read.celsius))
    return best_c - first_c >= share * max(chamber.hottest_c - first_c, 1.0)


def _told(
    chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule, gone_s: float
) -> list[_Way]:
    """Return what was said: with a chamber that came up as planned, or evenly, or was hotter."""
    from_c = min(load.start_c, float(read.celsius[0]))
    speed = load.k_per_s
    if gone_s < MINUTE:
        from_c = float(read.celsius[0])
    load = replace(load, start_c=from_c)
    planned = with_beginning(chamber, from_c, gone_s, speed)
    ways = [_Way(*followed(planned, read, load, rule))]
    if gone_s < MINUTE:
        return ways
    came = [with_beginning(chamber, from_c, gone_s, 0.0)]
    if chamber.celsius[0] < load.wanted_c - HOT_K:
        came.append(with_beginning(chamber, from_c, gone_s, speed, most_c=load.wanted_c))
    kinds = _moist_of(ways) or _even(load)[:1]
    by_these = replace(load, cases=tuple((MEASURED, each) for each in kinds))
    return [*ways, *(_Way(*followed(each, read, by_these, rule)) for each in came)]


def _moist_of(ways: Sequence[_Way]) -> Sequence[Unit]:
    """Return a unit in which vapour carries heat, if one follows the readings."""
    units = [now.unit for way in ways for now in way.going_on]
    return [each for each in units if isinstance(each, Moist)][:1]


def _others(
    chamber: ChamberSoFar,
    read: Core,
    load: WatchedLoad,
    rule: Rule,
    gone_s: float,
    told: Sequence[_Way],
) -> list[CoreNow]:
    """Return the core by each beginning that may be, heated no shorter than was said.

    The slowest case as if it had been cold when it was first read, and once the core has come a
    tenth of the way since then, the longest heating before that explains it about as well as the
    best one does, and the next beyond it.
    """
    slowest = load.cases[0][1]
    given = (chamber.seconds, chamber.celsius), (read.seconds, read.celsius)
    best = as_it_is(slowest, *given, load.start_c)
    cold = now_of(MEASURED, best, read, chamber, load, rule)
    if not _tells(chamber, read):
        return [cold]
    if not told:
        return _plausible(_ways(chamber, read, load, rule, GONE_S, _even(load)))
    longer = [gone_s + each for each in GONE_S[1:]]
    return [
        now
        for kind in (*_even(load)[:1], *_moist_of(told))
        for now in _plausible(_ways(chamber, read, load, rule, longer, [kind]), told)
    ]


def _ways(
    chamber: ChamberSoFar,
    read: Core,
    load: WatchedLoad,
    rule: Rule,
    gone_s: Sequence[float],
    units: Sequence[Unit],
) -> list[_Way]:
    by_these = replace(load, cases=tuple((MEASURED, each) for each in units))
    return [
        _Way(*followed(each, read, by_these, rule))
        for gone in gone_s
        for each in _beginnings(chamber, load, gone)
    ]


def _beginnings(chamber: ChamberSoFar, load: WatchedLoad, gone_s: float) -> Iterator[ChamberSoFar]:
    """Return how a chamber may have come to its first reading: from below, or from above."""
    yield with_beginning(chamber, load.start_c, gone_s, load.k_per_s)
    if gone_s >= MINUTE and chamber.celsius[0] < load.wanted_c - HOT_K:
        yield with_beginning(chamber, load.start_c, gone_s, load.k_per_s, most_c=load.wanted_c)


def _plausible(ways: Sequence[_Way], told: Sequence[_Way] = ()) -> list[CoreNow]:
    """Return the core by the ways that follow about as well as the best, and the next beyond."""
    enough = as_well_k(min(way.off_k for way in (*ways, *told)))
    fitting = [place for place, way in enumerate(ways) if way.off_k <= enough]
    if not fitting:
        return []
    return [now for way in ways[: fitting[-1] + 2] for now in way.going_on]
