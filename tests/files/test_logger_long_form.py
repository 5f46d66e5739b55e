"""Logs of one reading a row, a column naming the probe: the same as with a column a probe."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from files.logger_files import START, Cook, cook
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole, CookLog

COOK = cook()


def stamped(seconds: float) -> str:
    return f"{START + timedelta(seconds=float(seconds)):%Y-%m-%d %H:%M:%S}"


def rows_of(known: Cook, names: tuple[str, str]) -> list[tuple[float, str, float]]:
    """Return one reading after the other, the chamber's first."""
    return [
        (float(t), name, float(value))
        for t, *values in zip(known.seconds, known.chamber_c, known.core_c, strict=True)
        for name, value in zip(names, values, strict=True)
    ]


def read(lines: list[str]) -> CookLog:
    return read_log("\n".join(lines).encode(), "cook.csv")


def same(log: CookLog) -> None:
    [chamber] = log.of_role(ColumnRole.CHAMBER)
    [core] = log.of_role(ColumnRole.CORE)
    np.testing.assert_allclose(log.seconds, COOK.seconds)
    np.testing.assert_allclose(chamber.values, COOK.chamber_c)
    np.testing.assert_allclose(core.values, COOK.core_c)
    said = [each.sentence for each in log.findings if each.id == "log.one-reading-a-row"]
    assert len(said) == 1
    assert core.name in said[0]


@pytest.mark.parametrize(
    ("head", "names"),
    [
        ("time;probe;value [°C]", ("chamber", "core")),
        ("timestamp;sensor;temperature", ("Kammer", "Kern")),
        ("date;channel;temp_c", ("CH1", "CH2")),
        ("time;name;value", ("TC 1", "TC 2")),
    ],
)
@pytest.mark.parametrize("order", ["by time", "by probe", "newest first"])
def test_probes_one_below_the_other_are_put_side_by_side(
    head: str, names: tuple[str, str], order: str
) -> None:
    rows = rows_of(COOK, names)
    if order == "by probe":
        rows.sort(key=lambda row: (row[1], row[0]))
    elif order == "newest first":
        rows.sort(key=lambda row: (-row[0], row[1]))
    same(read([head, *(f"{stamped(t)};{name};{value:.2f}" for t, name, value in rows)]))


def test_minutes_numbers_of_channels_a_unit_and_a_battery() -> None:
    rows = rows_of(COOK, ("1", "2"))
    lines = [f"{t / 60.0:g},{name},{value:.2f},°C,3.61" for t, name, value in rows]
    same(read(["elapsed [min],channel,reading,unit,battery [V]", *lines]))


def test_a_gauge_among_the_probes_keeps_its_unit() -> None:
    rows = [
        (t, *each)
        for t, chamber, core, gauge in zip(
            COOK.seconds, COOK.chamber_c, COOK.core_c, COOK.gauge_kpa, strict=True
        )
        for each in (("chamber", chamber, "C"), ("core", core, "C"), ("pressure", gauge, "kPa"))
    ]
    lines = [f"{stamped(t)},{name},{value:.2f},{unit}" for t, name, value, unit in rows]
    log = read(["time,series,value,unit", *lines])
    same(log)
    [gauge] = log.of_role(ColumnRole.PRESSURE)
    assert gauge.unit == "kPa"


def apart(log: CookLog, late_s: float) -> None:
    """Compare a log whose core was always read later than its chamber."""
    [chamber] = log.of_role(ColumnRole.CHAMBER)
    [core] = log.of_role(ColumnRole.CORE)
    for column, late, known in ((chamber, 0.0, COOK.chamber_c), (core, late_s, COOK.core_c)):
        own = np.isin(log.seconds, COOK.seconds + late)
        np.testing.assert_allclose(column.values[own], known)
        inner = (log.seconds >= late) & (log.seconds <= COOK.seconds[-1] + late)
        line = np.interp(log.seconds[inner], COOK.seconds + late, known)
        np.testing.assert_allclose(column.values[inner], line)
        assert np.all(np.isnan(column.values[~inner]))


def test_probes_read_one_after_the_other_keep_their_times() -> None:
    rows = rows_of(COOK, ("chamber", "core"))
    lines = [
        f"{stamped(t + (2.0 if name == 'core' else 0.0))},{name},{value:.2f}"
        for t, name, value in rows
    ]
    apart(read(["time,probe,value", *lines]), 2.0)


def test_a_probe_that_misses_a_reading_misses_only_that() -> None:
    rows = [row for row in rows_of(COOK, ("chamber", "core")) if row[:2] != (600.0, "core")]
    log = read(["time,probe,value", *(f"{stamped(t)},{n},{v:.2f}" for t, n, v in rows)])
    [core] = log.of_role(ColumnRole.CORE)
    assert len(core.values) == len(COOK.seconds)
    assert np.flatnonzero(np.isnan(core.values)).tolist() == [10]


def test_probes_that_share_no_moments_are_put_between_each_other() -> None:
    """One file of two probes, one below the other, each with times of its own."""
    rows = sorted(rows_of(COOK, ("chamber", "core")), key=lambda row: row[1])
    lines = [
        f"{stamped(t + (17.0 if name == 'core' else 0.0))},{name},{value:.2f}"
        for t, name, value in rows
    ]
    apart(read(["time,probe,value", *lines]), 17.0)


@pytest.mark.parametrize("word", ["state", "door", "phase"])
def test_a_column_of_words_beside_probes_stays_as_it_is(word: str) -> None:
    lines = [
        f"{stamped(t)},{'heat' if at % 3 else 'hold'},{chamber:.2f},{core:.2f}"
        for at, (t, chamber, core) in enumerate(
            zip(COOK.seconds, COOK.chamber_c, COOK.core_c, strict=True)
        )
    ]
    log = read([f"time,{word},chamber [°C],core [°C]", *lines])
    assert len(log.of_role(ColumnRole.CORE)) == 1
    assert not [each for each in log.findings if each.id == "log.one-reading-a-row"]
    alone = [line.rsplit(",", 1)[0] for line in lines]
    log = read([f"time,{word},chamber [°C]", *alone])
    assert len(log.seconds) == len(COOK.seconds)
