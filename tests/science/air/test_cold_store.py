"""Cold stores: what comes out of picked mushrooms, how long they keep, what the plant must do."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pinset.errors import InputError
from pinset.science.air.cold_store import (
    Picked,
    Store,
    averaged,
    early_load,
    heat_of_cooling,
    store_load,
)
from pinset.science.air.gas import HEAT_J_G
from pinset.science.air.moist import air_of
from pinset.science.air.picked import (
    cooled_to,
    half_cooling,
    keeps,
    life_spent,
    mg_of_ml,
    respiration,
    respiration_heat,
)
from pinset.science.air.ranges import Range, published

STORE = Store(
    air_of(2.0, 0.95),
    air_of(25.0, 0.6),
    walls_w_k=12.0,
    floor_w_k=4.0,
    volume_m3=20.0,
    air_changes_day=10.0,
    others_w=100.0,
)
PICKED = Picked("pleurotus-ostreatus", 100.0, 16.0, 300.0)


@pytest.mark.parametrize(
    ("celsius", "low", "high"),
    [(0.0, 83, 130), (5.0, 207, 211), (10.0, 293, 298), (20.0, 780, 940)],
)
def test_respiration_of_the_sheet(celsius: float, low: float, high: float) -> None:
    """UC Davis sheet: 83-130, 207, 296, 780-940 W/tonne at 0, 5, 10, 20 degC."""
    found = respiration_heat("agaricus-bisporus", celsius)
    assert 1e3 * found.low == pytest.approx(low, rel=0.02)
    assert 1e3 * found.high == pytest.approx(high, rel=0.02)


def test_oyster_by_bohling_and_hansen() -> None:
    """208 and 694 W/tonne at 3.5 and 15 degC."""
    assert 1e3 * respiration_heat("pleurotus-ostreatus", 3.5).middle == pytest.approx(208, rel=0.01)
    assert 1e3 * respiration_heat("pleurotus-ostreatus", 15.0).middle == pytest.approx(
        694, rel=0.01
    )


def test_a_species_nobody_measured_spans_both() -> None:
    wide = respiration("hericium-erinaceus", 10.0)
    for known in ("agaricus-bisporus", "pleurotus-ostreatus"):
        assert wide.low <= respiration(known, 10.0).low
        assert wide.high >= respiration(known, 10.0).high


def test_one_heat_for_all_breath() -> None:
    assert published("breath", "heat").middle * 1e3 == HEAT_J_G
    assert mg_of_ml(1.0) == pytest.approx(2.0, rel=0.02)  # "about 2 mg per mL" of the sheet


@pytest.mark.parametrize("hours", [0.5, 2.5, 6.0])
def test_an_integrator_of_cooling(hours: float) -> None:
    theirs = solve_ivp(
        lambda _, t: [-0.6931471805599453 / 2.5 * (t[0] - 1.0)], (0.0, hours), [18.0], rtol=1e-10
    )
    ours = cooled_to(18.0, 1.0, 2.5 * 3600.0, hours * 3600.0)
    assert ours == pytest.approx(theirs.y[0, -1], rel=1e-6)


@given(st.floats(600.0, 40_000.0))
def test_two_readings_tell_the_half_cooling_time(half: float) -> None:
    then = cooled_to(18.0, 1.0, half, half)
    found = half_cooling(half, 18.0, then, 1.0)
    assert found.middle == pytest.approx(half)
    assert found.low < half < found.high


def test_keeping_by_temperature() -> None:
    agaricus = keeps("agaricus-bisporus", 1.5)
    assert agaricus is not None
    assert agaricus.ends == pytest.approx((5.0, 6.0, 7.0))
    warm, cold = keeps("lentinula-edodes", 15.0), keeps("lentinula-edodes", 2.0)
    assert warm is not None
    assert cold is not None
    assert warm.high < cold.high
    assert cold.ends == pytest.approx((7.0, 11.0, 15.0))
    beyond = keeps("pleurotus-djamor", 13.5)
    assert beyond is not None
    assert beyond.middle == pytest.approx(1.5 / 2.9)
    assert keeps("ganoderma-lucidum", 2.0) is None


def test_life_is_spent_quicker_in_the_warm() -> None:
    spent = life_spent("pleurotus-ostreatus", [24.0, 12.0], [2.0, 20.0])
    cold = life_spent("pleurotus-ostreatus", [36.0], [2.0])
    assert spent is not None
    assert cold is not None
    assert cold.middle == pytest.approx(1.5 / 6.0)
    assert spent.middle > 2.0 * cold.middle
    assert life_spent("pleurotus-ostreatus", [], []) == Range.exactly(0.0)
    assert life_spent("ganoderma-lucidum", [1.0], [2.0]) is None


def test_a_store_adds_up() -> None:
    """air.md section 8: 100 kg a day from 16 to 2 degC is 1.54 kWh a day."""
    found = store_load(STORE, PICKED)
    assert found.product.middle * 24.0 / 1e3 == pytest.approx(1.536, rel=1e-3)
    assert found.walls == pytest.approx(276.0)
    assert found.floor == pytest.approx(32.0)
    assert found.air > 0.0
    parts = found.product.middle + found.respiration.middle + 276.0 + 32.0 + found.air + 100.0
    assert found.total.middle == pytest.approx(parts)
    assert found.plant.low == pytest.approx(found.total.low * 1.1 * 24.0 / 18.0)
    assert found.plant.high == pytest.approx(found.total.high * 1.3 * 24.0 / 16.0)
    more = store_load(STORE, replace(PICKED, held_kg=600.0))
    assert more.respiration.middle > found.respiration.middle


def test_the_first_hour_is_the_hardest() -> None:
    early = early_load(100.0, 3.0 * 3600.0, 16.0, 2.0)
    mean = heat_of_cooling(100.0, 3950.0, 16.0, 2.0) / (24.0 * 3600.0)
    assert early.middle > 5.0 * mean


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: respiration("agaricus-bisporus", -1.0), "temperature"),
        (lambda: keeps("agaricus-bisporus", -2.0), "temperature"),
        (lambda: mg_of_ml(-1.0), "CO2"),
        (lambda: cooled_to(18.0, 1.0, 0.0, 1.0), "half-cooling"),
        (lambda: half_cooling(0.0, 18.0, 9.0, 1.0), "between the readings"),
        (lambda: half_cooling(60.0, 18.0, 18.2, 1.0), "readings"),
        (lambda: half_cooling(60.0, 18.0, 1.0, 1.0), "readings"),
        (lambda: life_spent("agaricus-bisporus", [1.0], []), "as many"),
        (lambda: life_spent("agaricus-bisporus", [-1.0], [2.0]), "hours"),
        (lambda: averaged(-1.0, 8.0), "power"),
        (lambda: averaged(1.0, 25.0), "hours a day"),
        (lambda: store_load(replace(STORE, outside=air_of(1.0, 0.6)), PICKED), "around the store"),
        (lambda: store_load(replace(STORE, walls_w_k=-1.0), PICKED), "walls"),
        (lambda: store_load(STORE, replace(PICKED, held_kg=-1.0)), "mushrooms"),
        (lambda: store_load(STORE, replace(PICKED, picked_c=1.0)), "end temperature"),
        (lambda: early_load(1.0, 0.0, 16.0, 2.0), "half-cooling"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
