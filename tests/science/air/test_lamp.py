"""Lamps beside an integral over the tube, doses as ranges, people; ducts beside a library."""

from __future__ import annotations

from math import inf, pi

import numpy as np
import pytest
from fluids.friction import friction_factor
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pinset.errors import InputError
from pinset.science.air.cold_store import heat_of_cooling
from pinset.science.air.ducts import diameter_for, duct_drop, friction
from pinset.science.air.lamp import per_watt, per_watt_facing
from pinset.science.air.lamp_dose import (
    J_M2,
    W_M2,
    WORKDAY_S,
    Lamp,
    Organism,
    dose,
    dose_per_log,
    irradiance,
    kept,
    logs_killed,
    permitted_s,
    seconds_for,
    uvc_of,
)
from pinset.science.air.ranges import Range
from pinset.science.steam.boiler import (
    BOILER_HORSEPOWER_W,
    Heated,
    boiler_power,
    heat_to_warm,
    injected,
    steam_condensed,
    steam_enthalpy,
    substrate_heat_capacity,
)

LAMP = Lamp(Range(10.0, 12.0, 13.0), 0.83, 2000.0, 9000.0)


def by_integral(arc: float, height: float, along: float, across: float) -> float:
    """Return E by watt: a Lambertian line, element by element, onto a level surface."""

    def element(x: float) -> float:
        dx = x - along
        far = height**2 + across**2 + dx**2
        seen = np.sqrt((height**2 + across**2) / far)  # the tube's side, from there
        return seen / (pi**2 * arc) * (height / np.sqrt(far)) / far

    return float(quad(element, -arc / 2.0, arc / 2.0, epsabs=1e-12, epsrel=1e-11)[0])


@pytest.mark.parametrize("height", [0.1, 0.5, 2.0])
@pytest.mark.parametrize("along", [0.0, 0.3, 1.0])
@pytest.mark.parametrize("across", [0.0, -0.4])
def test_an_integral_over_the_tube(height: float, along: float, across: float) -> None:
    found = per_watt(0.83, height, along, across)
    assert float(found) == pytest.approx(by_integral(0.83, height, along, across), rel=1e-8)


def test_the_table_of_the_reference_note() -> None:
    """air.md section 3.1: Keitz beside a point source."""
    for distance, wanted in ((0.1, 2288.0), (0.3, 693.0), (1.0, 109.0), (2.0, 29.6)):
        assert 12.0 * per_watt_facing(0.83, distance) / W_M2 == pytest.approx(wanted, rel=5e-3)


@given(st.floats(0.05, 3.0), st.floats(0.05, 3.0), st.floats(0.0, 2.0), st.floats(0.0, 2.0))
def test_nowhere_is_it_brighter_than_below_the_middle(
    arc: float, height: float, along: float, across: float
) -> None:
    assert per_watt(arc, height, along, across) <= per_watt_facing(arc, height) * (1 + 1e-12)


def test_ageing_promises_what_the_standard_does_and_no_more() -> None:
    assert kept(LAMP).low == pytest.approx(0.85)
    assert kept(Lamp(LAMP.uvc_w, 0.83, 0.0, 9000.0)) == Range.exactly(1.0)
    assert kept(Lamp(LAMP.uvc_w, 0.83, 9001.0, 9000.0)).low == 0.0
    lit = irradiance(LAMP, per_watt_facing(0.83, 1.0))
    assert lit.low == pytest.approx(10.0 * 0.85 * per_watt_facing(0.83, 1.0))
    assert uvc_of(30.0).low < 11.2 < uvc_of(30.0).high


def test_one_organism_spans_fifty_fold() -> None:
    """air.md section 3.2: A. niger from 7 to 398 mJ/cm2."""
    each = dose_per_log(Organism.A_NIGER)
    assert (each.low / J_M2, each.high / J_M2) == pytest.approx((7.3, 398.0))
    killed = logs_killed(Organism.A_NIGER, Range.exactly(400.0 * J_M2))
    assert killed.low == pytest.approx(1.0, abs=0.01)
    assert killed.high > 50.0
    assert logs_killed(Organism.A_NIGER, dose(Range.exactly(1.0), 5.0), 10.0) == Range.exactly(0.0)


@pytest.mark.parametrize("organism", list(Organism))
def test_every_organism_has_a_range(organism: Organism) -> None:
    each = dose_per_log(organism)
    assert 0.0 < each.low <= each.middle <= each.high
    assert seconds_for(organism, 2.0, Range(0.0, 0.5, 1.0)).high == inf


def test_people() -> None:
    assert permitted_s(0.0) == WORKDAY_S
    assert permitted_s(0.2 * W_M2) == WORKDAY_S
    assert permitted_s(100.0 * W_M2) == pytest.approx(60.0)


@pytest.mark.parametrize("flow", [0.0001, 0.02, 0.1, 0.5])
@pytest.mark.parametrize("diameter", [0.1, 0.3])
def test_a_library_of_friction(flow: float, diameter: float) -> None:
    """fluids: Darcy factor of a rough pipe, below and above the flows that are neither."""
    speed = flow / (pi * diameter**2 / 4.0)
    reynolds = 1.2041 * speed * diameter / 1.82e-5
    theirs = friction_factor(Re=reynolds, eD=0.09e-3 / diameter) / diameter * 0.60205 * speed**2
    assert friction(flow, diameter) == pytest.approx(theirs, rel=1e-6)


def test_ducts() -> None:
    flow = 0.2
    wide = diameter_for(flow)
    assert flow / (pi * wide**2 / 4.0) == pytest.approx(5.0)
    assert duct_drop(flow, wide, 10.0) == pytest.approx(15.0 * friction(flow, wide))
    counted = duct_drop(flow, wide, 10.0, fittings=2.0)
    assert counted == pytest.approx(10.0 * friction(flow, wide) + 2.0 * 0.60205 * 25.0)
    assert friction(0.0, 0.3) == 0.0
    between = [friction(pi * 0.1 * 1.82e-5 * re / 4.0 / 1.2041, 0.1) for re in (2000, 3000, 4000)]
    assert between == sorted(between)


def test_the_worked_chamber() -> None:
    """air.md section 7: 500 kg of bags and 400 kg of steel, 38 kW for 90 min."""
    parts = [Heated(500.0, substrate_heat_capacity(0.6)), Heated(400.0, Range.exactly(500.0))]
    heat = heat_to_warm(parts, 20.0, 121.0)
    power = boiler_power(heat, 0.15, 5400.0)
    assert power.middle == pytest.approx(38_000.0, rel=0.01)
    assert power.low < power.middle < power.high
    assert steam_condensed(heat, 0.15, 121.1).middle == pytest.approx(93.0, rel=0.01)
    assert pytest.approx(9810.0) == BOILER_HORSEPOWER_W


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: per_watt_facing(0.83, 0.0), "distance of the lamp"),
        (lambda: per_watt_facing(0.0, 1.0), "arc of the lamp"),
        (lambda: per_watt(0.83, 1.0, [float("nan")], [0.0]), "along the lamp"),
        (lambda: Lamp(Range.exactly(0.0), 0.83, 0.0, 9000.0), "UV-C of the lamp"),
        (lambda: Lamp(LAMP.uvc_w, 0.83, 0.0, 1000.0), "rated life"),
        (lambda: Lamp(LAMP.uvc_w, 0.83, -1.0, 9000.0), "hours burnt"),
        (lambda: uvc_of(0.0), "power of the lamp"),
        (lambda: irradiance(LAMP, -1.0), "irradiance per watt"),
        (lambda: dose(LAMP.uvc_w, -1.0), "time"),
        (lambda: logs_killed(Organism.E_COLI, Range(-1.0, 0.0, 0.0)), "dose"),
        (lambda: seconds_for(Organism.E_COLI, 0.0, LAMP.uvc_w), "powers of ten"),
        (lambda: permitted_s(-1.0), "irradiance"),
        (lambda: diameter_for(0.0), "air flow and speed"),
        (lambda: friction(-1.0, 0.3), "air flow"),
        (lambda: friction(1.0, 0.0), "duct diameter"),
        (lambda: duct_drop(1.0, 0.3, -1.0), "duct length"),
        (lambda: duct_drop(1.0, 0.3, 1.0, -1.0), "fittings"),
        (lambda: substrate_heat_capacity(1.05), "moisture"),
        (lambda: heat_to_warm([], 20.0, 20.0), "end temperature"),
        (lambda: heat_to_warm([Heated(-1.0, LAMP.uvc_w)], 20.0, 121.0), "masses"),
        (lambda: steam_condensed(LAMP.uvc_w, -1.0, 121.0), "losses"),
        (lambda: boiler_power(LAMP.uvc_w, 0.1, 0.0), "time to heat up"),
        (lambda: injected(-1.0, 220.0, 80.0), "heating power"),
        (lambda: injected(1.0, 220.0, 130.0), "end temperature"),
        (lambda: steam_enthalpy(0.0), "pressure"),
        (lambda: heat_of_cooling(-1.0, 3950.0, 16.0, 2.0), "mass"),
        (lambda: heat_of_cooling(1.0, 0.0, 16.0, 2.0), "heat capacity"),
        (lambda: heat_of_cooling(1.0, 3950.0, 2.0, 16.0), "end temperature"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
