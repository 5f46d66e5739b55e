"""Alarms on drawn farms: rare on quiet ones, soon on those where something rose."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from learning.losses.drawn_farm import EXPECTED, SHOWING, START, Drawn, drawn_farm
from pinset.chain.histories import Shared
from pinset.learning.incidence.fit import fit
from pinset.learning.losses.alarms import FALSE_A_YEAR, ONCE, STAGE, Alarm, alarms, clumping
from pinset.learning.losses.told import told


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def raised_alarms(farm: Drawn, day: float = 170.0) -> tuple[Alarm, ...]:
    data = told(farm.lots, SHOWING, EXPECTED)
    return alarms(data, fit(data.records), START + timedelta(days=day))


def test_quiet_farms_alarm_as_seldom_as_is_said() -> None:
    farms, found = 8, 0
    for seed in range(farms):
        found += len(raised_alarms(drawn_farm(seeded(200 + seed), quiet_sd=0.1)))
    a_year = found / farms * 365.0 / 150.0
    assert a_year <= 2.0 * FALSE_A_YEAR


def test_a_bad_session_alarms_once_its_lots_are_known() -> None:
    level = "session-120"
    farm = drawn_farm(seeded(21), raised=(Shared.SESSION, level), by=2.4)
    mine = [each for each in raised_alarms(farm) if each.level == level]
    [alarm] = mine
    assert alarm.chance is not None
    assert alarm.found > 3.0 * alarm.expected
    assert alarm.at <= START + timedelta(days=121.0 + 8.0)
    assert alarm.lots == 2
    assert set(alarm.names) <= {lot.lot for lot in farm.lots}


def test_a_line_that_goes_bad_is_told_by_its_sum() -> None:
    farm = drawn_farm(seeded(22), raised=(Shared.LINE, "line-2"), by=1.2)
    found = raised_alarms(farm)
    assert any(each.level == "line-2" and each.chance is None for each in found)
    for each in found:
        assert each.lots_between >= 20.0
        assert each.found > each.expected


def test_alarms_of_long_ago_are_not_told() -> None:
    farm = drawn_farm(seeded(21), raised=(Shared.SESSION, "session-20"), by=2.4)
    assert any(each.level == "session-20" for each in raised_alarms(farm))
    assert not any(each.level == "session-20" for each in raised_alarms(farm, 400.0))


@pytest.mark.parametrize("lots", [0, 5, 19])
def test_too_few_lots_alarm_never(lots: int) -> None:
    farm = drawn_farm(seeded(23), lots=lots, raised=(Shared.SESSION, "session-1"), by=3.0)
    assert raised_alarms(farm) == ()


def test_clumping_is_that_of_drawn_lots() -> None:
    """Lots whose log rates differ by 0.5: the correlation of their shares, by a large draw."""
    farm = drawn_farm(seeded(24))
    result = fit(told(farm.lots, SHOWING, EXPECTED).records)
    levels = [f.name for f in result.records.factors]
    variance = float(result.scales.lot) ** 2 + sum(
        float(result.scales.levels[levels.index(kind.value)]) ** 2 for kind in ONCE
    )
    shares = -np.expm1(-0.03 * np.exp(seeded(25).normal(0.0, np.sqrt(variance), 400_000)))
    middle = float(shares.mean())
    drawn = float(shares.var()) / (middle * (1.0 - middle))
    assert clumping(result, middle) == pytest.approx(drawn, rel=0.15)
    assert STAGE not in set(Shared)
