"""A measured core after an interruption: the promised hold against finite volumes of their own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Conducting, Moist, Unit
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.core_match import matches, scaled
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_along
from pinset.science.watching.going_on import WatchedLoad
from pinset.science.watching.watching import watch
from science.rings import core, moist

Values = NDArray[float64]
Course = tuple[tuple[float, float], ...]  # minutes and degC
KPA = 205.0
BAG, JAR = Cylinder(0.0805, 0.214), Cylinder(0.045, 0.12)
UP_MIN, WANTED_C, START_C = 30.0, 121.1, 20.0
SPEED = (WANTED_C - START_C) / UP_MIN  # K a minute
SHORT_MIN, LONG_MIN = 5.0, 30.0  # by which the latest may be too short, the likeliest be off


@dataclass(frozen=True)
class Load:
    """What is taken of a load, and what it is."""

    cases: tuple[tuple[str, Unit], ...]
    conducts: Callable[[Values], Values]  # W/(m K) at a temperature, in truth

    @property
    def unit(self) -> Unit:
        return self.cases[0][1]


def _bag(free_air: float, conductivity: float = 0.3) -> Unit:
    stuff = Material(conductivity, 1.8e6, 100.0)
    return Moist(BAG, stuff, free_air, KPA) if free_air else Conducting(BAG, stuff)


LEARNT = (("slow", _bag(0.155, 0.31)), ("quick", _bag(0.175, 0.35)))
HANDBOOK = (("cautious", _bag(0.0)), ("middle", _bag(0.15)), ("quick", _bag(0.3)))
GRAIN = tuple(
    (name, Conducting(JAR, Material(k, 2.6e6, 150.0)))
    for name, k in (("slow", 0.42), ("quick", 0.6))
)
LOADS = {
    "learnt": Load(LEARNT, moist(0.33, 0.165, KPA)),
    "learnt as moist, conducts": Load(LEARNT, lambda field: np.full(field.shape, 0.9)),
    "handbook": Load(HANDBOOK, moist(0.3, 0.15, KPA)),
    "conducts": Load((("only", _bag(0.0)),), lambda field: np.full(field.shape, 0.33)),
    "jar": Load(GRAIN, lambda field: np.full(field.shape, 0.5)),
}


@lru_cache
def truth(
    name: str, factor: float, chamber: tuple[tuple[float, float], ...], until: float
) -> Values:
    load = LOADS[name]
    shape, stuff = load.unit.shape, load.unit.material
    assert isinstance(shape, Cylinder)
    minutes = np.arange(0.0, until + 1.0)
    celsius = np.interp(minutes, *np.transpose(chamber))
    return core(
        shape.radius,
        shape.height,
        lambda field: factor * load.conducts(field),
        stuff.heat_capacity,
        stuff.surface,
        minutes,
        celsius,
        START_C,
    )


def enough_min(celsius: Values) -> float:
    """Return the minute by which F0 is 15."""
    along = f_along(60.0 * np.arange(len(celsius)), celsius)
    assert along[-1] > 15.0
    return float(np.interp(15.0, along, np.arange(len(celsius))))


@pytest.mark.parametrize(
    ("name", "factor", "share", "fall"),
    [
        ("learnt", 0.6, 0.6, (90.0, 20.0)),
        ("learnt", 1.0, 0.9, (60.0, 45.0)),
        ("learnt", 1.4, 0.9, (110.0, 5.0)),
        ("learnt", 1.4, 0.6, (60.0, 20.0)),
        ("learnt as moist, conducts", 0.6, 0.9, (90.0, 20.0)),
        ("learnt as moist, conducts", 1.0, 0.9, None),
        ("learnt as moist, conducts", 1.0, 0.9, (60.0, 20.0)),
        ("learnt as moist, conducts", 1.4, 0.6, (90.0, 45.0)),
        ("handbook", 0.6, 0.9, (60.0, 20.0)),
        ("handbook", 1.0, 0.6, (90.0, 5.0)),
        ("handbook", 1.4, 0.9, (60.0, 45.0)),
        ("jar", 0.6, 0.6, (60.0, 45.0)),
        ("jar", 1.0, 0.6, (90.0, 20.0)),
        ("jar", 1.4, 0.6, (110.0, 10.0)),
    ],
)
def test_a_promised_hold_is_never_much_too_short(
    name: str, factor: float, share: float, fall: tuple[float, float] | None
) -> None:
    """The core is read every five minutes, to a sixth of a kelvin; the load is as is not known."""
    steady = ((0.0, START_C), (UP_MIN, WANTED_C))
    whole = enough_min(truth(name, factor, steady, 900.0))
    now = at = 5.0 * round(share * whole / 5.0)
    course = steady
    if fall is not None:
        depth, lasts = fall
        now = at + lasts
        course = (*steady, (at, WANTED_C), (at + 5.0, depth + 0.1), (now, depth),
                  (now + (WANTED_C - depth) / SPEED, WANTED_C))  # fmt: skip
        course = tuple(dict(course).items())
    celsius = truth(name, factor, course, now + whole + 200.0)
    needs = enough_min(celsius) - now
    minutes = np.arange(now % 5.0, now + 1.0, 5.0)
    chamber = np.interp(minutes, *np.transpose(course)) + 0.1 * np.cos(7.1 * minutes)
    inside = celsius[minutes.astype(int)] + 0.17 * np.sin(12.9898 * minutes)
    load = WatchedLoad(LOADS[name].cases, START_C, WANTED_C, 60.0 * UP_MIN, 101.325)
    nothing = np.full(len(minutes), np.nan)
    [found] = watch(60.0 * minutes, chamber, nothing, inside, load, Rule(f0=15.0)).cores
    if found.again_s is None:
        latest, likely = found.rest_s, found.likely_rest_s
    else:
        assert found.likely_again_s is not None
        latest = found.again_s + found.heat_up_s
        likely = found.likely_again_s + found.heat_up_s
    assert latest is not None
    assert likely is not None
    assert needs > 0.0
    assert latest / 60.0 > needs - SHORT_MIN
    assert -LONG_MIN < likely / 60.0 - needs < LONG_MIN


def test_the_rings_agree_with_the_series() -> None:
    minutes = np.arange(0.0, 301.0)
    chamber = np.interp(minutes, [0, 30, 120, 130, 150, 160], [20, 121, 121, 70, 70, 121])
    found = core(0.08, 0.2, lambda f: np.full(f.shape, 0.9), 1.8e6, 100.0, minutes, chamber, 20.0)
    body = modes_of(Cylinder(0.08, 0.2), Material(0.9, 1.8e6, 100.0))
    assert np.max(np.abs(found - core_curve(body, 60.0 * minutes, chamber, 20.0))) < 0.6


@pytest.mark.parametrize("factor", [0.5, 1.0, 1.5])
@pytest.mark.parametrize("unit", [_bag(0.0, 0.5), _bag(0.15)])
def test_a_unit_is_known_again_by_its_core(unit: Unit, factor: float) -> None:
    seconds = 60.0 * np.arange(181)
    chamber = np.interp(seconds / 60.0, [0, 30, 130, 140, 180], [20, 121, 121, 80, 80])
    celsius = scaled(unit, factor).core(seconds, chamber, 20.0)
    found = matches([unit, scaled(unit, 1.2)], (seconds, chamber), (seconds, celsius), 20.0, 121.1)
    assert any(type(each.unit) is type(unit) for each in found)
    for each in found:
        if type(each.unit) is type(unit):
            ratio = each.unit.material.conductivity / unit.material.conductivity
            assert ratio == pytest.approx(factor, rel=0.01)
            assert abs(each.now_k) < 0.3


def test_a_core_that_tells_nothing_yet_is_taken_as_the_slowest() -> None:
    seconds = 60.0 * np.arange(20)
    chamber = np.interp(seconds / 60.0, [0, 30], [20, 121])
    slow, quick = _bag(0.0), _bag(0.3)
    flat = np.full(20, 20.0)
    [found] = matches([slow, quick], (seconds, chamber), (seconds, flat), 20.0, 121.1)
    assert found.unit == slow


@pytest.mark.parametrize("after", [0.0, 5.0, 10.0, 20.0])
@pytest.mark.parametrize(
    ("name", "factor", "share", "depth", "lasts"),
    [
        ("learnt as moist, conducts", 1.0, 0.8, 60.0, 15.0),
        ("learnt as moist, conducts", 0.6, 0.8, 90.0, 45.0),
        ("learnt", 1.0, 0.8, 60.0, 10.0),
        ("handbook", 1.0, 0.9, 60.0, 20.0),
        ("conducts", 1.0, 0.8, 60.0, 15.0),
        ("conducts", 1.0, 0.75, 60.0, 5.0),
        ("conducts", 1.2, 0.75, 90.0, 45.0),
        ("jar", 0.6, 0.75, 60.0, 10.0),
        ("jar", 1.0, 0.8, 90.0, 45.0),
    ],
)
def test_just_hot_again_a_core_that_still_falls_is_not_taken_to_stand(
    name: str, factor: float, share: float, depth: float, lasts: float, after: float
) -> None:
    """The shell is as cold as the chamber was: the core goes on falling for a while."""
    steady = ((0.0, START_C), (UP_MIN, WANTED_C))
    whole = enough_min(truth(name, factor, steady, 900.0))
    at = 5.0 * round(share * whole / 5.0)
    hot = at + 5.0 + lasts + (WANTED_C - depth) / SPEED
    course = (*steady, (at, WANTED_C), (at + 5.0, depth), (at + 5.0 + lasts, depth),
              (hot, WANTED_C))  # fmt: skip
    now = float(np.ceil(hot)) + after
    celsius = truth(name, factor, course, now + whole + 200.0)
    needs = enough_min(celsius) - now
    minutes = np.arange(now % 5.0, now + 1.0, 5.0)
    chamber = np.interp(minutes, *np.transpose(course)) + 0.1 * np.cos(7.1 * minutes)
    inside = celsius[minutes.astype(int)] + 0.17 * np.sin(12.9898 * minutes)
    load = WatchedLoad(LOADS[name].cases, START_C, WANTED_C, 60.0 * UP_MIN, 101.325)
    nothing = np.full(len(minutes), np.nan)
    [found] = watch(60.0 * minutes, chamber, nothing, inside, load, Rule(f0=15.0)).cores
    assert found.again_s is None
    assert found.rest_s is not None
    assert needs > 0.0
    assert found.likely_rest_s is not None
    assert found.rest_s / 60.0 > needs - SHORT_MIN
    assert -LONG_MIN < found.likely_rest_s / 60.0 - needs < LONG_MIN
