"""Watched cooks of which lines are read: chamber, gauge and core along straight lines."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from pinset.science.judging.records import Rule
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch.records import CookNow, WatchReading
from pinset.services.cooks.watch.speech import Speech
from pinset.services.cooks.watch.state import watch_state

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
LOAD = LoadPlan(rating_bar=1.4, altitude_m=300.0)
JAR = replace(LOAD, mass_kg=0.2, diameter_cm=6.0, height_cm=10.0)
"""Small enough for a core that comes minutes behind its chamber."""
RULE = Rule(f0=15.0)
HERE = Speech("metric", "Europe/Berlin")
Points = list[tuple[float, float]]
COOK: Points = [(0.0, 20.0), (30.0, 121.1), (2000.0, 121.1)]


def line(points: Points, minute: float) -> float:
    """Return a value on the straight lines between points."""
    for (begin, low), (end, high) in pairwise(points):
        if begin <= minute <= end:
            return low + (high - low) * (minute - begin) / (end - begin)
    return points[-1][1]


def state(
    until: float,
    chamber: Points | None = None,
    *,
    core: Points | None = None,
    gauge: Points | None = None,
    step: float = 2.0,
    later_min: float = 0.0,
    load: LoadPlan = LOAD,
    rule: Rule = RULE,
    **more: object,
) -> CookNow:
    """Return a cook read every so many minutes along these lines."""
    readings = []
    for number in range(int(until / step) + 1):
        minute = number * step
        readings.append(
            WatchReading(
                BEGAN + timedelta(minutes=minute),
                None if chamber is None else line(chamber, minute),
                None if gauge is None else line(gauge, minute),
                None if core is None else line(core, minute),
            )
        )
    now = readings[-1].at + timedelta(minutes=later_min)
    return watch_state(load, rule, readings, now, speech=HERE, **more)  # type: ignore[arg-type]


def ids(found: CookNow) -> set[str]:
    return {each.id for each in found.findings}
