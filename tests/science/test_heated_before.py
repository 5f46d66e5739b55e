"""A watch begun after the heat: held against finite volumes of their own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_along
from pinset.science.watching.watching import WatchedLoad, Watching, watch
from science.test_core_match import HANDBOOK, KPA, LOADS, SPEED, START_C, WANTED_C, truth

COURSE = ((0.0, 20.0), (30.0, 121.1), (1500.0, 121.1))
TARGET_MIN = 15.0
RULE = Rule(f0=TARGET_MIN)
EARLY_MIN = 3.0  # as elsewhere: readings of every five minutes, to a sixth of a kelvin


def looked_at(
    name: str, factor: float, first: int, until: int, *, since_min: float | None
) -> tuple[Watching, float]:
    """Return a cook read from some minute on, and by how much its end lies behind the true one."""
    core = truth(name, factor, COURSE, 1500.0)
    minutes = np.arange(1501.0)
    chamber = np.interp(minutes, *np.transpose(COURSE))
    need = float(np.interp(TARGET_MIN, f_along(60.0 * minutes, core), minutes))
    at = np.arange(first, until + 1, 5)
    load = WatchedLoad(
        cases=LOADS[name].cases,
        start_c=START_C,
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
    for until in (first + 30, first + 45):
        found, late_min = looked_at("jar", 1.0, first, until, since_min=0.0)
        assert not found.was_hot
        assert abs(late_min) < EARLY_MIN, until


def test_a_cold_chamber_is_asked_nothing() -> None:
    found, _ = looked_at("jar", 1.0, 0, 60, since_min=None)
    assert not found.was_hot


def test_a_load_put_into_heat_begins_where_it_is_read() -> None:
    """Heated since its first reading: the core begins with what it reads, as always."""
    minutes = np.arange(0.0, 61.0, 5.0)
    load = WatchedLoad(
        cases=HANDBOOK,
        start_c=START_C,
        wanted_c=WANTED_C,
        come_up_s=1800.0,
        atmosphere_kpa=KPA / 2.0,
        since_s=0.0,
    )
    core = 35.0 + 0.6 * minutes
    given = (60.0 * minutes, np.full(13, 121.1), np.full(13, np.nan), core)
    warm = watch(*given, load, RULE)
    cold = watch(*given, replace(load, start_c=35.0), RULE)
    assert not warm.was_hot
    assert warm.cores[0].rest_s == cold.cores[0].rest_s
