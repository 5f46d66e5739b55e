"""What pressure, steam and gauge of a watched cook make it say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.science.judging.records import Rule
from pinset.services.cooks.loads import Heat
from pinset.services.cooks.watch.records import Stage, WatchErrors
from services.cooks.watched_lines import (
    COOK,
    JAR,
    LOAD,
    Points,
    ids,
    state,
)


def test_air_left_in_is_said_with_what_steam_should_be_here() -> None:
    held: Points = [(0.0, 20.0), (30.0, 114.9), (60.0, 114.9)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.03), (60.0, 1.03)]
    found = state(60.0, held, gauge=gauge)
    [air] = [each for each in found.findings if each.id == "cook.air"]
    assert air.severity == "warning"
    assert air.sentence.startswith("At 1.03 bar gauge here steam should be 12")
    assert "the probe reads 114.9 °C: about 1" in air.sentence
    rising = state(28.0, held, gauge=[(0.0, 0.0), (30.0, 1.03)])
    assert [each.severity for each in rising.findings if each.id == "cook.air"] == ["note"]


def test_a_gauge_alone_is_said_to_be_taken_as_steam_only() -> None:
    found = state(60.0, gauge=[(0.0, 0.0), (30.0, 1.05), (60.0, 1.05)])
    assert found.chamber_by == "gauge"
    assert "watch.gauge-only" in ids(found)
    assert found.chamber_c == found.steam_c


@pytest.mark.parametrize(
    ("bar", "code", "severity"),
    [(1.2, "", ""), (1.35, "watch.near-plate", "warning"), (1.45, "watch.above-plate", "wrong")],
)
def test_pressure_at_the_plate_is_said_first(bar: float, code: str, severity: str) -> None:
    found = state(40.0, gauge=[(0.0, 0.0), (30.0, bar), (40.0, bar)])
    first = found.findings[0]
    if code:
        assert (first.id, first.severity) == (code, severity)
        assert "the plate's 1.4 bar" in first.sentence
    else:
        assert not any("plate" in each.id for each in found.findings)


def test_a_chamber_too_hot_for_its_plate_is_said_without_a_gauge() -> None:
    found = state(60.0, [(0.0, 20.0), (30.0, 128.0), (60.0, 128.0)])
    assert found.findings[0].id == "watch.above-plate"
    assert "above the air outside" in found.findings[0].sentence


def test_pressure_in_an_open_steamer_is_wrong() -> None:
    load = replace(LOAD, heat=Heat.OPEN_STEAM, rating_bar=0.0)
    rule = Rule(hold_c=70.0, hold_minutes=120.0)
    found = state(60.0, [(0.0, 20.0), (60.0, 99.0)], gauge=[(0.0, 0.0), (60.0, 0.2)],
                  load=load, rule=rule)  # fmt: skip
    assert found.findings[0].id == "watch.pressure-in-open-vessel"
    assert "sealed-vessel" in found.cautions


def test_above_the_plate_heat_goes_off_and_no_hold_is_offered() -> None:
    load = replace(LOAD, rating_bar=1.5)
    gauge: Points = [(0.0, 0.0), (30.0, 1.9), (60.0, 1.9)]
    found = state(60.0, gauge=gauge, load=load, errors=WatchErrors(gauge_kpa=2.0))
    assert found.stage is Stage.TOO_MUCH
    assert found.sentence == (
        "Heat off now: the gauge shows 1.9 bar, and the plate allows 1.5 bar."
    )
    offered = (found.left_min, found.left_quick_min, found.again_min, found.again_quick_min)
    assert offered == (None,) * 4
    assert (found.end_at, found.open_at, found.inoculate_at) == (None, None, None)
    assert found.findings[0].id == "watch.above-plate"
    assert "pressure" in found.cautions


def test_above_the_plate_within_the_gauges_error_asks_for_less_heat() -> None:
    load = replace(LOAD, rating_bar=1.1)
    gauge: Points = [(0.0, 0.0), (30.0, 1.11), (60.0, 1.11)]
    found = state(60.0, gauge=gauge, load=load, errors=WatchErrors(gauge_kpa=2.0))
    assert found.stage is Stage.HOLDING
    [said] = [each for each in found.findings if each.id == "watch.near-plate"]
    assert said.hint == "Turn the heat down now, until it is below."
    assert state(60.0, gauge=gauge, load=load).stage is Stage.TOO_MUCH


def test_pressure_in_an_open_steamer_is_the_headline() -> None:
    load = replace(LOAD, heat=Heat.OPEN_STEAM, rating_bar=0.0)
    rule = Rule(hold_c=70.0, hold_minutes=120.0)
    found = state(60.0, [(0.0, 20.0), (60.0, 99.0)], gauge=[(0.0, 0.0), (60.0, 0.2)],
                  load=load, rule=rule)  # fmt: skip
    assert found.sentence.startswith("Heat off now: the gauge shows 0.2")


def test_once_it_is_enough_heat_off_is_still_said_first() -> None:
    core: Points = [(0.0, 20.0), (60.0, 121.1), (500.0, 121.1)]
    gauge: Points = [(0.0, 0.0), (100.0, 1.09), (120.0, 1.8)]
    found = state(120.0, COOK, core=core, gauge=gauge, load=JAR)
    assert found.sentence.startswith("Heat off now: ")
    assert " The core has enough since " in found.sentence
    over = state(120.0, COOK, core=core, gauge=gauge, load=JAR, is_over=True)
    assert over.sentence.startswith("Enough since ")


def test_a_gauge_that_leaps_still_counts_as_pressure() -> None:
    above: Points = [(0.0, 0.0), (30.0, 1.05), (58.0, 1.05), (60.0, 1.9)]
    found = state(60.0, COOK, gauge=above)
    assert found.stage is Stage.TOO_MUCH
    assert "watch.leap" not in ids(found), "beside too much pressure nothing belittles the gauge"
    held: Points = [(0.0, 0.0), (30.0, 0.2), (56.0, 0.2), (58.0, 1.2), (60.0, 0.2)]
    below = state(60.0, COOK, gauge=held)
    [said] = [each for each in below.findings if each.id == "watch.leap"]
    assert said.sentence.endswith("is not taken for the chamber's steam; as pressure it counts.")


def test_air_that_comes_in_while_it_cools_is_no_warning() -> None:
    cook: Points = [(0.0, 20.0), (30.0, 121.1), (90.0, 121.1), (100.0, 90.0)]
    core: Points = [(0.0, 20.0), (60.0, 121.1), (100.0, 121.1)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.09), (90.0, 1.09), (100.0, 0.0)]
    found = state(100.0, cook, core=core, gauge=gauge, load=JAR)
    assert found.stage is Stage.ENOUGH
    assert "cook.air" not in ids(found)


def test_below_boiling_without_pressure_nothing_is_said_of_air() -> None:
    fell: Points = [(0.0, 20.0), (30.0, 121.1), (60.0, 121.1), (90.0, 90.0), (100.0, 90.0)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.05), (60.0, 1.05), (90.0, 0.0), (100.0, 0.0)]
    found = state(100.0, fell, gauge=gauge)
    assert "cook.air" not in ids(found)
    [cold] = [each for each in found.findings if each.id == "watch.below-boiling"]
    assert cold.severity == "note"
    assert cold.sentence.startswith("The chamber, 90.0 °C, is below boiling here (")
    pressed = state(100.0, fell, gauge=[*gauge[:3], (90.0, 0.3), (100.0, 0.3)])
    assert "cook.air" in ids(pressed), "with pressure, so cold a chamber holds air"


def test_open_steam_is_no_hotter_than_water_boils_at_that_height() -> None:
    """At 2600 m water boils at 91.3 degC: ICAO standard atmosphere and IAPWS-97; memory."""
    high = replace(LOAD, heat=Heat.OPEN_STEAM, rating_bar=0.0, altitude_m=2600.0)
    rule = Rule(hold_c=85.0, hold_minutes=120.0)
    hot: Points = [(0.0, 20.0), (40.0, 99.5), (200.0, 99.5)]
    found = state(200.0, hot, load=high, rule=rule)
    assert found.chamber_c == pytest.approx(91.3, abs=0.1)
    assert "cook.superheated" in ids(found)
    boiling: Points = [(0.0, 20.0), (40.0, 91.3), (200.0, 91.3)]
    sound = state(200.0, boiling, load=high, rule=rule)
    assert ids(sound) == {"watch.no-core"}
    assert found.left_min == pytest.approx(sound.left_min, abs=5.0)
