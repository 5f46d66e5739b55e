"""Times of a log that cannot be right: repeated, backwards, a changed clock, gaps."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from files.logger_files import (
    Table,
    cook,
    simple,
    stamps,
)
from files.logger_looking import COOK, COUNT, flat, ids, only, read, stamped
from pinset.errors import InputError, Severity
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import LogLimits


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n\n  \n",
        b"\0" * 4000,
        b"\xef\xbb\xbf",
        b"Dear Ann, the cook went well,\nand the bags are cooling.\n",
        b"a;b;c\nx;y;z\n",
        b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20,
        b"PK\x03\x04 broken",
        b"%PDF-1.7\n1 0 obj << /Type /Catalog >> endobj\n",
        b"chamber,core\n20.1,20.3\n20.5,20.3\n20.2,20.1\n",
    ],
    ids=[
        "no bytes",
        "blank",
        "NUL",
        "mark",
        "letter",
        "words",
        "picture",
        "archive",
        "pdf",
        "no times",
    ],
)
def test_nothing_to_read_is_refused_in_a_plain_sentence(data: bytes) -> None:
    with pytest.raises(InputError) as caught:
        read_log(data, "cook.csv")
    assert "cook.csv" in str(caught.value)
    assert "accepted" in str(caught.value)


def test_an_empty_log() -> None:
    log = read_log(b"time;chamber [\xc2\xb0C];core [\xc2\xb0C]\n", "cook.csv")
    assert only(log, "empty").severity is Severity.WRONG
    assert len(log.seconds) == 0
    assert log.start is None
    assert [len(column.values) for column in log.columns] == [0, 0]


def test_one_reading() -> None:
    log = read(Table(["min", "chamber [°C]", "core [°C]"], [["0"], ["20.5"], ["20.1"]]))
    assert only(log, "one-reading").severity is Severity.WRONG
    assert list(log.seconds) == [0.0]


def test_a_time_that_repeats_is_named_and_left_out() -> None:
    table = simple(COOK)
    table.columns[0][50] = table.columns[0][49]
    log = read(table)
    assert "row 52" in only(log, "time-repeats").record
    assert len(log.seconds) == COUNT - 1
    assert np.all(np.diff(log.seconds) > 0)
    assert 52 not in log.rows


def test_times_that_repeat_throughout_are_said_once() -> None:
    table = simple(COOK)
    table.columns = [[cell for cell in cells for _ in range(2)] for cells in table.columns]
    log = read(table)
    said = only(log, "time-repeats").sentence
    assert said.startswith(f"{COUNT} readings in {COUNT} places repeat the time before them")
    assert len(log.seconds) == COUNT


def test_times_that_run_backwards_are_named_and_left_out() -> None:
    seconds = COOK.seconds.copy()
    seconds[100:105] -= 1200.0
    log = read(stamped(seconds))
    finding = only(log, "time-back")
    assert "row 102" in finding.record
    assert "5 readings, rows 102 to 106, go back in time by 19 min; left out." in finding.sentence
    assert len(log.seconds) == COUNT - 5
    assert np.all(np.diff(log.seconds) > 0)


def test_a_clock_reset_to_another_year() -> None:
    table = stamped()
    table.columns[0][90:] = stamps(
        "%Y-%m-%d %H:%M:%S",
        COOK.seconds[: COUNT - 90],
        datetime(2000, 1, 1),  # noqa: DTZ001
    )
    log = read(table)
    assert "log.time-back" in ids(log)
    assert "log.time-order" in ids(log)
    assert len(log.seconds) == 90


def test_a_gap_over_the_limit() -> None:
    table = simple(COOK)
    for column in table.columns:
        del column[60:75]
    log = read(table)
    finding = only(log, "gap")
    assert "16.0 min between rows 61 and 62" in finding.sentence
    assert "log.gap" not in ids(read(table, limits=LogLimits(gap_s=1000.0)))


def test_readings_far_apart_are_said_once() -> None:
    table = simple(cook(37, 600.0))
    log = read(table)
    only(log, "coarse")
    assert "log.gap" not in ids(log)


@pytest.mark.parametrize("first", [30, 90, 170])
def test_a_clock_put_back_by_an_hour_is_mended_and_said(first: int) -> None:
    seconds = COOK.seconds.copy()
    seconds[first:] -= 3600.0
    log = read(stamped(seconds, datetime(2026, 10, 25, 1, 30)))  # noqa: DTZ001
    finding = only(log, "clock-changed")
    assert f"rows {first + 1} and {first + 2}" in finding.sentence
    assert log.seconds == pytest.approx(COOK.seconds)


def test_a_clock_put_forward_while_temperatures_move_is_mended_and_said() -> None:
    seconds = COOK.seconds.copy()
    seconds[20:] += 3600.0
    log = read(stamped(seconds, datetime(2026, 3, 29, 1, 40)))  # noqa: DTZ001
    only(log, "clock-changed")
    assert "log.gap" not in ids(log)
    assert log.seconds == pytest.approx(COOK.seconds)


def test_a_clock_put_forward_while_all_is_still_is_left_and_said() -> None:
    table = simple(flat(), names=["time", "chamber [°C]", "core [°C]"])
    seconds = COOK.seconds.copy()
    seconds[90:] += 3600.0
    table.columns[0] = stamps("%Y-%m-%d %H:%M:%S", seconds)
    log = read(table)
    only(log, "clock-unclear")
    only(log, "gap")
    assert log.seconds == pytest.approx(seconds)


def test_a_real_hour_without_readings_is_a_gap() -> None:
    given = cook(241)
    keep = np.r_[0:20, 80:241]
    table = simple(given)
    table.columns = [[column[at] for at in keep] for column in table.columns]
    log = read(table)
    only(log, "gap")
    assert not ids(log) & {"log.clock-changed", "log.clock-unclear"}
    assert log.seconds == pytest.approx(given.seconds[keep], abs=0.1)


def test_two_jumps_of_an_hour_are_not_mended() -> None:
    seconds = COOK.seconds.copy()
    seconds[60:120] += 3600.0
    log = read(stamped(seconds))
    only(log, "clock-unclear")
    assert "log.clock-changed" not in ids(log)


def test_an_hour_exported_twice_is_no_change_of_the_clock() -> None:
    table = stamped()
    table.columns = [[*column[:120], *column[60:]] for column in table.columns]
    log = read(table)
    only(log, "rows-repeated")
    assert "log.clock-changed" not in ids(log)
    assert log.seconds == pytest.approx(COOK.seconds)


def test_zones_in_the_stamps_need_no_mending() -> None:
    table = stamped()
    local = COOK.seconds.copy()
    local[90:] -= 3600.0
    table.columns[0] = [
        f"{text}{'+02:00' if at < 90 else '+01:00'}"
        for at, text in enumerate(stamps("%Y-%m-%dT%H:%M:%S", local))
    ]
    log = read(table)
    assert log.seconds == pytest.approx(COOK.seconds)
    assert "log.clock-changed" not in ids(log)
