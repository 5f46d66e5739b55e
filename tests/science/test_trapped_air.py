"""Air in the chamber: check rows, the way back, and which bound is the cautious one."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.lethality.lethality import lethal_rate
from pinset.science.steam.gauge import atmosphere
from pinset.science.steam.steam import saturation_pressure, saturation_temperature
from pinset.science.steam.trapped_air import (
    air_implied,
    temperature_with_air,
    unvented_as_remembered,
    unvented_cautious,
)
from pinset.units import PSI_PA
from science.check_rows import Row, rows

PSI = PSI_PA / 1000.0
ROWS = rows("steam.csv")
DALTON = [row for row in ROWS if row.quantity.startswith("temperature with air")]
UNVENTED = [row for row in ROWS if "never vented" in row.quantity]
SEA = 101.325
AT_15_PSI = 15.0 * PSI + SEA


@pytest.mark.parametrize("row", DALTON, ids=lambda row: row.id)
def test_a_share_of_air(row: Row) -> None:
    pressure = row["gauge"] * PSI + atmosphere(row["altitude"])
    air = row["mole fraction of air"]
    assert row.holds(temperature_with_air(pressure, air))
    assert air_implied(pressure, row.expected) == pytest.approx(air, abs=0.002)


@pytest.mark.parametrize("row", UNVENTED, ids=lambda row: row.id)
def test_a_share_of_the_first_air(row: Row) -> None:
    outside = atmosphere(row["altitude"])
    pressure = row["gauge"] * PSI + outside
    share = row["share of initial air left"]
    if "not re-heated" in row.quantity:
        assert row.holds(unvented_as_remembered(pressure, share, outside))
    else:
        assert row.holds(unvented_cautious(pressure, share, outside, start_c=row["T0"]))


def test_the_table_of_the_manuals() -> None:
    """121, 115, 112, 109 and 100 degC, from memory: given back to 0.6 K."""
    for share, celsius in ((0, 121), (1 / 3, 115), (1 / 2, 112), (2 / 3, 109), (1, 100)):
        assert unvented_as_remembered(AT_15_PSI, share, SEA) == pytest.approx(celsius, abs=0.6)


def test_five_percent_of_air_costs_almost_a_third() -> None:
    rate = lethal_rate(temperature_with_air(AT_15_PSI, 0.05)) / lethal_rate(120.95)
    assert rate == pytest.approx(0.69, abs=0.01)


@given(st.floats(60.0, 500.0), st.floats(0.0, 0.9))
def test_air_and_temperature_undo_each_other(pressure: float, air: float) -> None:
    celsius = temperature_with_air(pressure, air)
    assert air_implied(pressure, celsius) == pytest.approx(air, abs=1e-8)


@given(st.floats(60.0, 500.0), st.floats(0.0, 0.9), st.floats(1e-4, 0.05))
def test_more_air_is_cooler(pressure: float, air: float, more: float) -> None:
    assert temperature_with_air(pressure, air + more) < temperature_with_air(pressure, air)


@given(st.floats(30.0, 300.0), st.floats(0.0, 1.0), st.floats(60.0, 105.0), st.floats(0.0, 40.0))
def test_heated_air_is_the_cautious_bound(
    gauge: float, share: float, outside: float, start: float
) -> None:
    pressure = outside + gauge
    cautious = unvented_cautious(pressure, share, outside, start_c=start)
    remembered = unvented_as_remembered(pressure, share, outside)
    pure = saturation_temperature(pressure)
    assert start <= cautious <= remembered + 1e-6
    assert remembered <= pure + 1e-9
    heated = share * outside * (cautious + 273.15) / (start + 273.15)
    assert saturation_pressure(cautious) + heated == pytest.approx(pressure, abs=1e-5)


@given(st.floats(30.0, 300.0), st.floats(0.0, 0.9), st.floats(1e-3, 0.1))
def test_less_vented_is_cooler(gauge: float, share: float, more: float) -> None:
    for bound in (unvented_cautious, unvented_as_remembered):
        assert bound(SEA + gauge, share + more, SEA) < bound(SEA + gauge, share, SEA)


def test_a_chamber_that_is_only_warm_holds_what_it_held() -> None:
    moist = saturation_pressure(20.0) + SEA
    assert unvented_cautious(moist, 1.0, SEA) == pytest.approx(20.0, abs=1e-6)


def test_hotter_than_saturation_is_below_nought() -> None:
    assert air_implied(AT_15_PSI, 121.5) < 0.0
    log = air_implied(np.full(3, AT_15_PSI), np.array([119.0, 120.953, 123.0]))
    assert log.shape == (3,)
    assert log[0] > 0.0 > log[2]


def test_floats_and_arrays() -> None:
    assert type(temperature_with_air(200.0, 0.1)) is float
    assert type(air_implied(200.0, 110.0)) is float
    assert type(unvented_cautious(200.0, 0.5, 100.0)) is float
    assert temperature_with_air([200.0, 190.0], 0.1).shape == (2,)
    assert temperature_with_air(200.0, [0.1, 0.2, 0.3]).shape == (3,)
    assert air_implied(200.0, np.array([[110.0], [119.0]])).shape == (2, 1)


def test_nonsense_is_refused() -> None:
    for air in (-0.01, 1.0, math.nan):
        with pytest.raises(InputError, match=r"air: .* 0 to 0.99"):
            temperature_with_air(200.0, air)
    for kpa in (0.0, math.nan):
        with pytest.raises(InputError, match="pressure_kpa"):
            temperature_with_air(kpa, 0.1)
        with pytest.raises(InputError, match="pressure_kpa"):
            air_implied(kpa, 100.0)
    with pytest.raises(InputError, match="temperature_c"):
        air_implied(200.0, np.array([100.0, 1372.0]))
    for bound in (unvented_as_remembered, unvented_cautious):
        with pytest.raises(InputError, match="share"):
            bound(200.0, 1.1, SEA)
        with pytest.raises(InputError, match="atmosphere_kpa"):
            bound(200.0, 0.5, 10.0)
        with pytest.raises(InputError, match="with so much air"):
            bound(SEA, 1.0, SEA)
        with pytest.raises(InputError, match="pressure_kpa"):
            bound(math.nan, 0.5, SEA)
    with pytest.raises(InputError, match="start_c"):
        unvented_cautious(200.0, 0.5, SEA, start_c=90.0)
