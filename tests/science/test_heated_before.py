"""A watch begun after the heat: held against finite volumes of their own."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_along
from pinset.science.watching.going_on import WatchedLoad
from pinset.science.watching.watching import Watching, watch
from science.test_core_match import (
    KPA,
    LOADS,
    SPEED,
    START_C,
    WANTED_C,
    Course,
    enough_min,
    truth,
)

COURSE = ((0.0, 20.0), (30.0, 121.1), (1500.0, 121.1))
TARGET_MIN = 15.0
RULE = Rule(f0=TARGET_MIN)
EARLY_MIN = 3.0  # as elsewhere: readings of every five minutes, to a sixth of a kelvin
LATEST_MIN = 20.0  # by which the latest may lie behind the true end an hour into a jar's cook


def looked_at(
    name: str,
    factor: float,
    first: int,
    until: int,
    *,
    since_min: float | None,
    course: Course = COURSE,
    start_c: float = START_C,
) -> tuple[Watching, float]:
    """Return a cook read from some minute on, and by how much its end lies behind the true one."""
    core = truth(name, factor, course, 1500.0)
    minutes = np.arange(1501.0)
    chamber = np.interp(minutes, *np.transpose(course))
    need = float(np.interp(TARGET_MIN, f_along(60.0 * minutes, core), minutes))
    at = np.arange(first, until + 1, 5)
    load = WatchedLoad(
        cases=LOADS[name].cases,
        start_c=start_c,
        wanted_c=WANTED_C,
        come_up_s=60.0 * (WANTED_C - START_C) / SPEED,
        atmosphere_kpa=KPA / 2.0,
        since_s=None if since_min is None else 60.0 * (since_min - first),
    )
    read = np.round(core[at] * 6.0) / 6.0
    found = watch(60.0 * (at - first), chamber[at], np.full(len(at), np.nan), read, load, RULE)
    now = found.cores[0]
    rest = now.rest_s if now.again_s is None else now.heat_up_s + now.again_s
    assert rest is not None
    return found, float(at[-1]) + rest / 60.0 - need


@pytest.mark.parametrize("first", [12, 35, 60, 90])
@pytest.mark.parametrize(
    ("name", "factor"), [("jar", 1.0), ("jar", 0.7), ("handbook", 1.0), ("learnt", 0.8)]
)
def test_no_end_is_told_too_early_where_nobody_says_since_when(
    name: str, factor: float, first: int
) -> None:
    core = truth(name, factor, COURSE, 1500.0)
    need = float(np.interp(TARGET_MIN, f_along(60.0 * np.arange(1501.0), core), np.arange(1501.0)))
    tells = np.flatnonzero(core - core[first] > 0.1 * (WANTED_C - core[first]))[0] + 5
    earliest = first + 7 if factor >= 1.0 else int(tells)  # slower than taken shows only then
    for until in np.linspace(earliest, need - 8.0, 4).astype(int).tolist():
        if until <= first + 5:
            continue
        found, late_min = looked_at(name, factor, first, until, since_min=None)
        assert found.was_hot
        assert late_min > -EARLY_MIN, until


@pytest.mark.parametrize("first", [35, 60])
def test_who_says_since_when_is_told_the_end_as_if_it_was_read_all_along(first: int) -> None:
    for until in (first + 45, first + 60):
        found, late_min = looked_at("jar", 1.0, first, until, since_min=0.0)
        assert not found.was_hot
        assert not found.is_bound
        assert late_min > -EARLY_MIN, until


SLOW = ((0.0, 20.0), (60.0, 121.1), (1500.0, 121.1))
VENTED = ((0.0, 20.0), (20.0, 98.0), (60.0, 99.0), (75.0, 121.1), (1500.0, 121.1))
DIPPED = ((0.0, 20.0), (20.0, 121.1), (50.0, 121.1), (55.0, 95.0), (70.0, 95.0), (80.0, 121.1),
          (1500.0, 121.1))  # fmt: skip


@pytest.mark.parametrize("course", [COURSE, SLOW, VENTED, DIPPED])
@pytest.mark.parametrize(("name", "factor"), [("jar", 0.7), ("handbook", 1.0)])
@pytest.mark.parametrize("slip_min", [0.0, 30.0, 65.0])
def test_no_slip_of_the_time_makes_a_promised_end_too_early(
    name: str, factor: float, course: Course, slip_min: float
) -> None:
    """Begun to be read in its 65th minute; the time that was said may be later than the true one.

    In the last course that reading lies in a dip of the chamber.
    """
    need = float(enough_min(truth(name, factor, course, 1500.0)))
    for until in (95, int(need) - 20):
        found, late_min = looked_at(name, factor, 65, until, since_min=slip_min, course=course)
        assert not found.was_hot
        assert late_min > -(2.0 if found.is_bound else 1.0) * EARLY_MIN, until


def test_a_bound_is_no_promise_and_lies_behind_the_true_end() -> None:
    found, late_min = looked_at("jar", 1.0, 65, 95, since_min=65.0)
    assert found.is_bound
    assert late_min > -EARLY_MIN


def test_a_chamber_that_comes_up_slowly_is_hot_later_than_planned() -> None:
    slow = ((0.0, 20.0), (120.0, 121.1), (1500.0, 121.1))
    _, late_min = looked_at("jar", 1.0, 0, 60, since_min=0.0, course=slow)
    assert late_min > -EARLY_MIN


def test_a_core_read_first_in_a_dip_of_its_chamber_may_be_hotter() -> None:
    found, _ = looked_at("jar", 1.4, 62, 75, since_min=0.0, course=DIPPED)
    assert found.cores[0].now_c > 100.0
    assert found.hot_core is None


def test_a_cold_chamber_is_asked_nothing() -> None:
    found, _ = looked_at("jar", 1.0, 0, 60, since_min=None)
    assert not found.was_hot


def test_a_load_put_into_heat_begins_where_it_is_read() -> None:
    """Heated since its first reading: the core begins with what it reads, as always."""
    hot = ((0.0, 121.1), (1500.0, 121.1))
    found, late_min = looked_at("jar", 1.0, 0, 60, since_min=0.0, course=hot, start_c=5.0)
    assert not found.was_hot
    assert not found.is_bound
    assert -EARLY_MIN < late_min < LATEST_MIN
