"""How long to hold: heating-only times, after-heat, and cooling."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.holding import ChamberPlan, cooling_time, hold_at, hold_for, under
from pinset.science.lethality.lethality import f_of_log
from science.check_rows import Row, rows

BAG = Cylinder(0.075, 0.2)
CAPACITY = 1.9955e6
STEAM = ChamberPlan(20.0, 121.2, ((30.0, 121.2),))


@pytest.mark.parametrize(("k", "minutes"), [(0.3, 359), (0.6, 219), (0.9, 170), (1.2, 145)])
def test_minutes_from_steam_on_to_f0_15(k: float, minutes: float) -> None:
    """Times of the project's reference note on heat, section 5, from an own grid (computed)."""
    hold = hold_for(Conducting(BAG, Material(k, CAPACITY, 100.0)), STEAM, 15.0, count_cooling=False)
    assert (hold.hold_s + STEAM.come_up_s) / 60.0 == pytest.approx(minutes, abs=1.0)
    assert 15.0 <= hold.f0_at_steam_off < 16.0, "whole minutes, never too few"


@pytest.mark.parametrize("k", [0.3, 0.6, 1.2])
def test_after_heat_shortens_the_hold_and_still_earns_what_is_asked(k: float) -> None:
    material = Material(k, CAPACITY, 100.0)
    cautious = hold_for(Conducting(BAG, material), STEAM, 15.0, count_cooling=False)
    hold = hold_for(Conducting(BAG, material), STEAM, 15.0)
    assert hold.hold_s < cautious.hold_s
    assert 15.0 <= hold.f0 < 15.5
    less = under(Conducting(BAG, material), STEAM, hold.hold_s - 60.0)
    assert less.f0 < 15.0
    assert hold.f0_at_steam_off < 15.0
    fine = np.arange(0.0, hold.seconds[-1], 5.0)
    chamber = np.interp(fine, hold.seconds, hold.chamber_c)
    core = core_curve(modes_of(BAG, material), fine, chamber, 20.0)
    assert f_of_log(fine, core) == pytest.approx(hold.f0, rel=0.005)


def test_uneven_corners_are_as_exact() -> None:
    even = ChamberPlan(20.0, 121.2, ((30.0, 121.2),))
    odd = ChamberPlan(20.0, 121.2, ((15.5, 72.28333333333333), (30.0, 121.2)))
    unit = Conducting(BAG, Material(0.6, CAPACITY, 100.0))
    assert under(unit, odd, 7200.0).f0 == pytest.approx(under(unit, even, 7200.0).f0, rel=1e-3)


def test_a_little_is_earned_without_a_hold() -> None:
    small = hold_for(Conducting(Cylinder(0.02, 0.06), Material(0.6, 3e6, 100.0)), STEAM, 0.4)
    assert small.hold_s == 0.0
    assert small.f0 >= 0.4


def test_a_hold_given_says_what_it_earns() -> None:
    unit = Conducting(BAG, Material(0.6, CAPACITY, 100.0))
    short, long = (under(unit, STEAM, 3600.0 * hours) for hours in (2.0, 3.0))
    assert 0.0 < short.f0_at_steam_off < short.f0 < long.f0


def test_a_chamber_too_cold_is_said() -> None:
    open_steam = ChamberPlan(20.0, 93.3, ((90.0, 93.3),))
    with pytest.raises(InputError, match=r"hold_c: 93.3 .* F0 15 min within 48 h"):
        hold_for(Conducting(BAG, Material(0.6, CAPACITY, 100.0)), open_steam, 15.0)


@pytest.mark.parametrize("name", ["SV32", "SV33"])
def test_cooling_from_100_to_30(name: str) -> None:
    row: Row = next(each for each in rows("solver.csv") if each.id == name)
    material = Material(row["k"], row["rho*cp"], 100.0)
    took = cooling_time(Cylinder(row["R"], row["H"]), material, 100.0, 30.0, 20.0)
    assert row.holds(took / 3600.0)


@pytest.mark.parametrize(
    ("come_up", "cool_down", "hold_c"),
    [
        ((), ((15.0, 100.0),), 121.0),
        (((30.0, 118.0),), ((15.0, 100.0),), 121.0),
        (((30.0, 100.0), (30.0, 121.0)), ((15.0, 100.0),), 121.0),
        (((30.0, 121.0),), ((0.0, 100.0),), 121.0),
        (((30.0, 20.0),), ((15.0, 100.0),), 20.0),
    ],
)
def test_chambers_that_are_none(
    come_up: tuple[tuple[float, float], ...],
    cool_down: tuple[tuple[float, float], ...],
    hold_c: float,
) -> None:
    with pytest.raises(InputError):
        ChamberPlan(20.0, hold_c, come_up, cool_down)


def test_targets_and_coolings_that_are_none() -> None:
    material = Material(0.6, CAPACITY, 100.0)
    for f0 in (0.0, -1.0, float("nan")):
        with pytest.raises(InputError, match="f0"):
            hold_for(Conducting(BAG, material), STEAM, f0)
    with pytest.raises(InputError, match="to_c"):
        cooling_time(BAG, material, 100.0, 15.0, 20.0)
    with pytest.raises(InputError, match="hold_s"):
        under(Conducting(BAG, material), STEAM, -1.0)


def test_hold_at_ends_when_the_core_was_hot_for_long_enough() -> None:
    chamber = ChamberPlan(20.0, 100.0, ((30.0, 100.0),))
    unit = Conducting(BAG, Material(0.6, 2.0e6, 100.0))
    found = hold_at(unit, chamber, 90.0, 60.0)
    is_on = found.seconds <= chamber.come_up_s + found.hold_s
    hot = found.seconds[is_on & (found.core_c >= 90.0)]
    assert hot[-1] - hot[0] == pytest.approx(3600.0, abs=120.0)
    longer = hold_at(unit, chamber, 90.0, 120.0)
    assert longer.hold_s - found.hold_s == pytest.approx(3600.0, abs=1.0)


@pytest.mark.parametrize(("core_c", "minutes"), [(100.0, 10.0), (15.0, 10.0), (90.0, 4000.0)])
def test_hold_at_refuses_what_cannot_be(core_c: float, minutes: float) -> None:
    chamber = ChamberPlan(20.0, 100.0, ((30.0, 100.0),))
    with pytest.raises(InputError):
        hold_at(Conducting(BAG, Material(0.6, 2.0e6, 100.0)), chamber, core_c, minutes)
