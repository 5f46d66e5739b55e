"""Outages: an integrator, the worked room, what is reached first, the laboratory."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from scipy.integrate import solve_ivp

from pinset.errors import InputError
from pinset.science.air.gas import HEAT_J_G, grams_m3
from pinset.science.air.outages import (
    Limit,
    Quantity,
    Standing,
    Stop,
    in_order,
    reached,
    stopped,
)
from pinset.science.air.particles import CleanRoom, after, fouling_time
from pinset.science.air.ranges import Range

TONNE = Standing(
    name="fruiting",
    temperature_c=20.0,
    co2_ppm=800.0,
    free_m3=60.0,
    heat_capacity=1000.0 * 3114.0,
    breath_g_h=Range(100.0, 200.0, 400.0),
    walls_w_k=30.0,
    outside_c=25.0,
    fresh_m3_s=0.08,
    others_w=300.0,
)
AIR_FIRST = Limit("air first", Quantity.CO2, 5000.0)
HOT = Limit("too hot", Quantity.TEMPERATURE, 28.0)
COLD = Limit("too cold", Quantity.TEMPERATURE, 12.0, is_most=False)


def test_the_tonne_with_its_fan_dead() -> None:
    """air.md section 5.3: +1 820 ppm/h, 5 000 ppm after 2.3 h, 40 000 ppm after 21.5 h."""
    course = stopped([TONNE], Stop.FAN, 24 * 60)
    rise = course.co2_ppm[1, 0, 60] - 800.0
    assert rise == pytest.approx(1820.0, abs=5.0)
    assert reached(course, 0, AIR_FIRST).minutes.middle == pytest.approx(138.3, abs=0.1)
    danger = reached(course, 0, Limit("danger", Quantity.CO2, 40_000.0))
    assert danger.minutes.middle == pytest.approx(21.515 * 60.0, abs=0.2)
    assert danger.minutes.high == inf  # little breath does not get so far in a day
    assert (course.temperature_c == 20.0).all()


@pytest.mark.parametrize("stop", [Stop.POWER, Stop.COOLING])
@pytest.mark.parametrize("case", [0, 1, 2])
def test_an_integrator_of_both_balances(stop: Stop, case: int) -> None:
    room = replace(TONNE, leaks_h=Range(0.1, 0.2, 0.5))
    course = stopped([room], stop, 300)
    leak = room.leaks_h.ends[2 - case] / 3600.0 * room.free_m3
    fresh = max(leak, room.fresh_m3_s) if stop is Stop.COOLING else leak
    others = 0.0 if stop is Stop.POWER else room.others_w
    q10 = (2.6, 2.8, 3.2)[case]

    def slope(_: float, y: list[float]) -> list[float]:
        grams = room.breath_g_h.ends[case] / 3600.0 * q10 ** ((min(y[0], 35.0) - 20.0) / 10.0)
        gone = (30.0 + fresh * 1.2041 * 1006.0) * (25.0 - y[0])
        warm = (grams * HEAT_J_G + others + gone) / room.heat_capacity
        gas = (grams / grams_m3(20.0) * 1e6 + fresh * (420.0 - y[1])) / room.free_m3
        return [warm, gas]

    theirs = solve_ivp(slope, (0.0, 18_000.0), [20.0, 800.0], rtol=1e-9, atol=1e-9)
    assert course.temperature_c[case, 0, -1] == pytest.approx(theirs.y[0, -1], abs=0.001)
    assert course.co2_ppm[case, 0, -1] == pytest.approx(theirs.y[1, -1], rel=1e-4)


def test_what_is_reached_first_over_rooms() -> None:
    winter = replace(TONNE, name="winter", outside_c=-10.0, breath_g_h=Range(0.0, 5.0, 10.0))
    course = stopped([TONNE, winter], Stop.POWER, 48 * 60)
    found = in_order(course, [[AIR_FIRST, HOT], [COLD]])
    assert (found[0].room, found[0].limit.name) == ("fruiting", "air first")
    assert {one.room for one in found} == {"fruiting", "winter"}
    cold = next(one for one in found if one.limit is COLD)
    assert 0.0 < cold.minutes.low < cold.minutes.high
    assert [one.minutes.low for one in found] == sorted(one.minutes.low for one in found)


def test_a_limit_that_is_passed_already() -> None:
    course = stopped([replace(TONNE, co2_ppm=6000.0)], Stop.FAN, 5)
    assert reached(course, 0, AIR_FIRST).minutes == Range.exactly(0.0)


def test_a_cold_shelf_warms_towards_the_room() -> None:
    shelf = Standing("shelf", 2.0, 420.0, 1.0, 100.0 * 3950.0, Range(3.0, 7.0, 8.0), 8.0, 22.0)
    course = stopped([shelf], Stop.COOLING, 600)
    rising = course.temperature_c[1, 0]
    assert (rising[1:] > rising[:-1]).all()
    found = reached(course, 0, Limit("spoils", Quantity.TEMPERATURE, 8.0))
    assert 60.0 < found.minutes.low < found.minutes.high < 600


def test_a_laboratory_without_overpressure_fouls() -> None:
    outside = Range(1e7, 3.52e7, 5e7)
    room = CleanRoom(30.0, 0.0, 1.0, outside, Range.exactly(3.5e4), leak_in_m3_s=0.01)
    found = fouling_time(room, 3.5e5, 3.52e6)
    there = after(room, 3.5e5, list(found.ends))
    assert [there[2, 0], there[1, 1], there[0, 2]] == pytest.approx([3.52e6] * 3)
    assert fouling_time(room, 5.0, 4.0) == Range.exactly(0.0)
    assert fouling_time(room, 5.0, 1e9) == Range.exactly(inf)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: replace(TONNE, free_m3=0.0), "free air"),
        (lambda: replace(TONNE, heat_capacity=0.0), "free air"),
        (lambda: replace(TONNE, temperature_c=-300.0), "temperature"),
        (lambda: replace(TONNE, co2_ppm=-1.0), "CO2"),
        (lambda: replace(TONNE, walls_w_k=-1.0), "walls"),
        (lambda: stopped([], Stop.FAN, 5), "rooms"),
        (lambda: stopped([TONNE], Stop.FAN, 0), "minutes"),
        (lambda: reached(stopped([TONNE], Stop.FAN, 1), 1, HOT), "room"),
        (lambda: in_order(stopped([TONNE], Stop.FAN, 1), []), "limits"),
        (lambda: fouling_time(CleanRoom(1, 1, 0, *[Range(0, 0, 0)] * 2), -1.0, 1.0), "particles"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
