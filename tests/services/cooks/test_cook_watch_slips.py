"""A watched core whose probe gets out of its unit: no "enough" by it, and it stays named."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.records import Rule
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch.records import CookNow, Stage, WatchReading
from pinset.services.cooks.watch.state import watch_state
from services.cooks.watched_lines import ids

Values = NDArray[float64]

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
LOAD = LoadPlan(
    mass_kg=2.5,
    diameter_cm=16.1,
    height_cm=21.4,
    rating_bar=1.4,
    altitude_m=0.0,
    start_c=18.0,
    come_up_min=35.0,
)
MINUTES = np.arange(0.0, 401.0)
CORNERS = [0.0, 35.0, 330.0, 360.0, 400.0]
CHAMBER = np.interp(MINUTES, CORNERS, [18.0, 121.2, 121.2, 97.0, 85.0])
BAG = Cylinder(0.0805, 0.214)
CORE = core_curve(modes_of(BAG, Material(0.45, 1.8e6, 120.0)), 60.0 * MINUTES, CHAMBER, 18.0)


def watched(core: Values, now: int, every: int) -> CookNow:
    readings = [
        WatchReading(
            BEGAN + timedelta(minutes=minute),
            chamber_c=round(float(CHAMBER[minute]), 1),
            core_c=round(float(core[minute]), 1),
        )
        for minute in range(0, now + 1, every)
    ]
    until = BEGAN + timedelta(minutes=now)
    return watch_state(LOAD, Rule(f0=15.0), readings, until, heated_since=BEGAN)


@pytest.mark.parametrize("over_min", [0.0, 12.0])
@pytest.mark.parametrize("every", [1, 2, 5, 10])
def test_no_enough_is_said_by_a_core_that_is_out(every: int, over_min: float) -> None:
    share = np.clip((MINUTES - 50.0) / max(over_min, 0.01), 0.0, 1.0)
    out = (1.0 - share) * CORE + share * (CHAMBER - 0.2)
    for now in (80, 100):
        found = watched(out, now, every)
        assert found.stage is not Stage.ENOUGH
        assert found.core_by == "reckoned"
        [said] = [each for each in found.findings if each.id == "watch.slipped-core"]
        assert said.sentence.startswith("The core is perhaps out of its unit: ")
        assert "It counts for nothing, and the core is reckoned." in said.sentence


@pytest.mark.parametrize("every", [2, 10])
@pytest.mark.parametrize("now", [60, 200, 330, 400])
def test_a_core_in_its_unit_is_believed_to_the_end(now: int, every: int) -> None:
    found = watched(CORE, now, every)
    assert found.core_by == "measured"
    assert "watch.slipped-core" not in ids(found)
    assert (found.stage is Stage.ENOUGH) is (now >= 330)


def test_a_core_pulled_out_at_the_opening_takes_nothing_back() -> None:
    opened = MINUTES >= 380.0
    cold = np.where(opened, 25.0, CHAMBER)
    readings = [
        WatchReading(
            BEGAN + timedelta(minutes=minute),
            chamber_c=float(cold[minute]),
            core_c=25.0 if opened[minute] else float(CORE[minute]),
        )
        for minute in range(0, 401, 2)
    ]
    until = BEGAN + timedelta(minutes=400)
    found = watch_state(LOAD, Rule(f0=15.0), readings, until, heated_since=BEGAN)
    assert "watch.slipped-core" not in ids(found)
    assert found.stage is Stage.ENOUGH
