"""Cooks in a log told apart by a cold stretch or hours without readings; one cook left whole."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.cooks_in_log import cooks_in

Values = NDArray[float64]

BAG = modes_of(Cylinder(0.075, 0.2), Material(0.6, 2.0e6, 100.0))
CORNERS = [0.0, 35.0, 215.0, 275.0, 360.0]


def minutes(count: int) -> Values:
    return np.linspace(0.0, count - 1.0, count)


def cook(hottest_c: float = 121.5, count: int = 361) -> tuple[Values, Values]:
    """Return a chamber and the core of a bag in it, a reading a minute."""
    levels = [20.0, hottest_c, hottest_c, 40.0, 28.0]
    chamber = np.interp(minutes(count), CORNERS, levels)
    return chamber, core_curve(BAG, 60.0 * minutes(count), chamber, 20.0)


def test_one_cook_is_the_whole_log() -> None:
    for hottest_c in (65.0, 100.0, 121.5):
        chamber, core = cook(hottest_c)
        assert cooks_in(60.0 * minutes(361), [core], [chamber]) == ((0, 360),)
        assert cooks_in(60.0 * minutes(361), [], [chamber]) == ((0, 360),)


def test_a_night_before_and_after_is_of_the_cook() -> None:
    chamber, core = cook()
    still = np.full(700, 20.0)
    columns = [np.concatenate((still, each, still)) for each in (core, chamber)]
    assert cooks_in(60.0 * minutes(1761), [columns[0]], [columns[1]]) == ((0, 1760),)


@pytest.mark.parametrize("pause", [60, 600, 4000])
@pytest.mark.parametrize("second_c", [100.0, 121.5])
def test_cooks_of_two_days_are_two(pause: int, second_c: float) -> None:
    (chamber, core), (later, core_later) = cook(), cook(second_c)
    seconds = np.concatenate((60.0 * minutes(361), 60.0 * (minutes(361) + 360.0 + pause)))
    spans = cooks_in(
        seconds, [np.concatenate((core, core_later))], [np.concatenate((chamber, later))]
    )
    assert spans == ((0, 360), (361, 721))


def test_a_cook_whose_core_never_came_up_is_one_by_its_chamber() -> None:
    (chamber, core), (later, _) = cook(), cook()
    cold = np.linspace(20.0, 45.0, 361)
    spans = cooks_in(
        60.0 * minutes(722), [np.concatenate((core, cold))], [np.concatenate((chamber, later))]
    )
    assert len(spans) == 2


def test_a_new_load_in_a_warm_chamber_is_another_cook() -> None:
    chamber, core = (each[:260] for each in cook())
    warm = np.maximum(chamber, 75.0)
    spans = cooks_in(
        60.0 * minutes(520), [np.concatenate((core, core))], [np.concatenate((warm, warm))]
    )
    assert len(spans) == 2
    assert 259 <= spans[0][1] <= 260


def test_a_probe_that_fails_for_minutes_and_a_dip_part_nothing() -> None:
    chamber, core = cook()
    failing = chamber.copy()
    failing[100:108] = 0.0
    assert len(cooks_in(60.0 * minutes(361), [core], [failing])) == 1
    dipped = chamber.copy()
    dipped[100:130] = 80.0
    assert len(cooks_in(60.0 * minutes(361), [core], [dipped])) == 1


def test_hours_without_readings_while_hot_part_two_cooks() -> None:
    chamber, core = cook()
    seconds = 60.0 * minutes(361)
    seconds[150:] += 4 * 3600.0
    assert cooks_in(seconds, [core], [chamber]) == ((0, 149), (150, 360))
    seconds[150:] -= 2 * 3600.0
    assert len(cooks_in(seconds, [core], [chamber])) == 1


def test_readings_seldom_throughout_and_none_at_all() -> None:
    chamber, core = cook()
    assert len(cooks_in(14_400.0 * minutes(361), [core], [chamber])) == 1
    never = np.full(361, np.nan)
    assert cooks_in(60.0 * minutes(361), [never], []) == ((0, 360),)
    assert cooks_in(60.0 * minutes(361), [], []) == ((0, 360),)
