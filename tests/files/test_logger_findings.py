"""Probes and units of a log that cannot be right, never read to a number that looks fine."""

from __future__ import annotations

import numpy as np
import pytest

from files.logger_files import (
    AIR_KPA,
    Cook,
    cook,
    fahrenheit,
    numbers,
    simple,
)
from files.logger_looking import COOK, COUNT, core, ids, only, read
from pinset.errors import Severity
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import Basis, ColumnRole


@pytest.mark.parametrize(
    "fault",
    ["1372", "1370.0", "850", "-200", "-127", "-242.0", "9999", "999.9", "-999.0", "3276.7",
     "6553.5", "32767", "1e38", "NaN", "nan", "OL", "O.L", "OPEN", "ERR", "---", "#N/A", "Err",
     "Fehler", "Bruch", "+OVER", "inf", "-3.4e38", "N/A", "open circuit"],
)  # fmt: skip
@pytest.mark.parametrize(
    "places", [slice(80, 120), slice(100, 101), slice(0, 30), slice(150, None)]
)
def test_an_unplugged_probe(fault: str, places: slice) -> None:
    table = simple(COOK)
    where = range(COUNT)[places]
    for at in where:
        table.columns[2][at] = fault
    log = read(table)
    finding = only(log, "unplugged")
    assert finding.severity is Severity.WRONG
    assert f"row {where[0] + 2}" in finding.record
    assert f"in {len(where)} of {COUNT}" in finding.sentence
    assert np.all(np.isnan(core(log)[places]))
    assert np.count_nonzero(np.isnan(core(log))) == len(where)
    assert core(log)[~np.isnan(core(log))].max() < 122.0
    assert log.of_role(ColumnRole.CORE)[0].doubts == ("log.unplugged",)
    assert log.of_role(ColumnRole.CHAMBER)[0].doubts == ()


@pytest.mark.parametrize("fault", ["NaN", "1372", "OPEN", ""])
def test_a_probe_unplugged_from_first_to_last(fault: str) -> None:
    table = simple(COOK)
    table.columns[2] = [fault] * COUNT
    log = read(table)
    assert "log.unplugged" in ids(log)
    assert np.all(np.isnan(core(log)))


def test_a_lone_85_after_power_on_is_no_temperature() -> None:
    table = simple(COOK)
    table.columns[2][90] = "85.0"
    table.columns[2][91] = "84.0"
    table.columns[2][5] = "85"
    log = read(table)
    assert "row 7" in only(log, "unplugged").record
    assert np.isnan(core(log)[5])


def test_empty_cells_are_said() -> None:
    table = simple(COOK)
    for at in (30, 31, 90):
        table.columns[2][at] = ""
    log = read(table)
    finding = only(log, "missing")
    assert "3 of 181" in finding.sentence
    assert "row 32" in finding.record


@pytest.mark.parametrize("first", [40, 60, 100])
def test_a_probe_that_stands_still_while_others_move(first: int) -> None:
    table = simple(COOK)
    table.names.append("core 2 [°C]")
    table.columns.append(numbers(COOK.slow_core_c))
    table.columns[2][first:] = [table.columns[2][first]] * (COUNT - first)
    log = read(table)
    assert only(log, "stuck").severity is Severity.WRONG
    assert log.columns[1].doubts == ("log.stuck",)


@pytest.mark.parametrize("value", ["121.30", "21.00", "60.00"])
def test_a_probe_stuck_all_along(value: str) -> None:
    table = simple(COOK)
    table.columns[2] = [value] * COUNT
    assert "log.stuck" in ids(read(table))


def test_a_chamber_that_holds_and_a_core_that_waits_are_not_stuck() -> None:
    hold = np.interp(COOK.seconds / 60.0, [0, 30, 150, 180], [20, 121, 121, 60])
    late = np.interp(COOK.seconds / 60.0, [0, 70, 150, 180], [20, 20, 119, 117])
    table = simple(Cook(COOK.seconds, np.round(hold), np.round(late), late, hold))
    assert "log.stuck" not in ids(read(table))


def test_swapped_columns() -> None:
    table = simple(COOK, names=["min", "core [°C]", "chamber [°C]"])
    log = read(table)
    assert only(log, "swapped").severity is Severity.WRONG
    assert all("log.swapped" in column.doubts for column in log.columns)


def test_columns_in_their_place_are_not_swapped() -> None:
    assert "log.swapped" not in ids(read(simple(COOK)))


@pytest.mark.parametrize(
    "names", [("min", "chamber [°C]", "core [°C]"), ("min", "Kammer degC", "Kern degC")]
)
@pytest.mark.parametrize("top", [1.0, 0.62, 0.45])
def test_fahrenheit_taken_for_celsius(names: tuple[str, ...], top: float) -> None:
    chamber = 21.0 + (COOK.chamber_c - 21.0) * top
    inside = 21.0 + (COOK.core_c - 21.0) * top
    table = simple(
        Cook(COOK.seconds, fahrenheit(chamber), fahrenheit(inside), inside, chamber), names=names
    )
    log = read(table)
    assert "log.fahrenheit-as-celsius" in ids(log)
    assert log.of_role(ColumnRole.CHAMBER)[0].values == pytest.approx(chamber, abs=0.01)
    assert "log.fahrenheit-as-celsius" in log.of_role(ColumnRole.CHAMBER)[0].doubts


def test_fahrenheit_without_a_name_is_seen_and_said() -> None:
    table = simple(
        Cook(
            COOK.seconds,
            fahrenheit(COOK.chamber_c),
            fahrenheit(COOK.core_c),
            COOK.core_c,
            COOK.core_c,
        ),
        names=("min", "chamber", "core"),
    )
    log = read(table)
    assert "°F was taken" in only(log, "unit-guessed").sentence
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_a_log_in_celsius_that_begins_as_hot_as_a_room_in_fahrenheit() -> None:
    chamber = np.interp(COOK.seconds, [0, 3600, 10800], [70.0, 130.0, 110.0])
    table = simple(Cook(COOK.seconds, chamber, chamber - 1.0, chamber, chamber))
    log = read(table)
    assert "21 °C" in only(log, "maybe-fahrenheit").sentence
    assert all("log.maybe-fahrenheit" in column.doubts for column in log.columns)


def test_kelvin_taken_for_celsius() -> None:
    table = simple(
        Cook(COOK.seconds, COOK.chamber_c + 273.15, COOK.core_c + 273.15, COOK.core_c, COOK.core_c)
    )
    log = read(table)
    assert "log.kelvin-as-celsius" in ids(log)
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_celsius_named_fahrenheit_is_said() -> None:
    log = read(simple(COOK, names=("min", "chamber [°F]", "core [°F]")))
    assert "log.celsius-as-fahrenheit" in ids(log)
    assert core(log).max() < 60.0


def test_a_core_in_celsius_beside_a_chamber_in_fahrenheit_is_said() -> None:
    """Neither named: the chamber shows °F, and the core would be frost and no cook in it."""
    chamber = 1.8 * COOK.chamber_c + 32.0
    given = Cook(COOK.seconds, chamber, COOK.core_c, COOK.core_c, COOK.core_c)
    log = read(simple(given, names=("min", "chamber", "core")))
    found = only(log, "celsius-as-fahrenheit")
    assert "core stands in a log taken for °F" in found.sentence
    column = log.of_role(ColumnRole.CORE)[0]
    assert "log.celsius-as-fahrenheit" in column.doubts
    assert log.of_role(ColumnRole.CHAMBER)[0].doubts == ()


def test_celsius_named_kelvin() -> None:
    log = read(simple(COOK, names=("min", "chamber [K]", "core [K]")))
    assert "log.celsius-as-kelvin" in ids(log)
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_absolute_pressure_given_as_gauge() -> None:
    table = simple(COOK)
    table.names.append("pressure [bar gauge]")
    table.columns.append(numbers((COOK.gauge_kpa + AIR_KPA) / 100.0, 4))
    log = read(table)
    assert only(log, "absolute-as-gauge").severity is Severity.WRONG
    column = log.of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is Basis.ABSOLUTE
    assert column.absolute_kpa(AIR_KPA) == pytest.approx(COOK.gauge_kpa + AIR_KPA, abs=0.01)
    assert column.doubts == ("log.absolute-as-gauge",)


def test_gauge_pressure_given_as_absolute() -> None:
    table = simple(COOK)
    table.names.append("pressure [kPa abs]")
    table.columns.append(numbers(COOK.gauge_kpa))
    log = read(table)
    assert only(log, "gauge-as-absolute").severity is Severity.WRONG
    assert log.of_role(ColumnRole.PRESSURE)[0].basis is Basis.GAUGE


def test_one_leap_in_a_short_log_does_not_make_it_fahrenheit() -> None:
    lines = ["min,chamber [°C],core [°C]"]
    for minute in range(0, 200, 5):
        hot = min(121.0, 20.0 + 3.4 * minute)
        core = 159.0 if minute == 60 else min(120.0, 20.0 + 0.9 * minute)
        lines.append(f"{minute},{hot:.1f},{core:.1f}")
    log = read_log("\n".join(lines).encode(), "cook.csv", atmosphere_kpa=101.3)
    core_column = next(each for each in log.columns if each.name.startswith("core"))
    assert "log.celsius-as-fahrenheit" not in {each.id for each in log.findings}
    assert float(np.nanmax(core_column.values)) == pytest.approx(120.0)


@pytest.mark.parametrize("minutes_a_degree", [25, 60])
def test_a_slow_core_by_whole_degrees_is_not_stuck(minutes_a_degree: int) -> None:
    given = cook(601)
    minutes = given.seconds / 60.0
    hold = np.interp(minutes, [0, 30, 560, 600], [20, 121, 121, 60])
    slow = np.interp(minutes, [0, 200, 600], [20, 20, 20 + 400 / minutes_a_degree])
    table = simple(Cook(given.seconds, hold, np.round(slow), slow, hold))
    assert "log.stuck" not in ids(read(table))
    warm = np.interp(minutes, [0, 60, 600], [20, 97, 97 + min(20, 540 / minutes_a_degree)])
    table = simple(Cook(given.seconds, hold, np.round(warm), warm, hold))
    assert "log.stuck" not in ids(read(table))


def test_a_stuck_probe_that_begins_to_move_by_a_leap_stays_stuck() -> None:
    given = cook(601)
    hold = np.interp(given.seconds / 60.0, [0, 30, 560, 600], [20, 121, 121, 60])
    inside = np.full(601, 20.0)
    inside[400:] = np.linspace(60.0, 100.0, 201)
    assert "log.stuck" in ids(read(simple(Cook(given.seconds, hold, inside, inside, hold))))
