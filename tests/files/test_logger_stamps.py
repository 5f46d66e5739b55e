"""Times as loggers write them, cell by cell; the order of dates from all of a file."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from pinset.files.logger.dates import decide_order, in_order, read_date
from pinset.files.logger.records import DateOrder, Sure
from pinset.files.logger.stamps import read_stamp, read_stamps, zone_offset

NOON = 43200.0


@pytest.mark.parametrize(
    ("cell", "day", "clock_s"),
    [
        ("2026-03-01T12:00:00Z", "2026-03-01", NOON),
        ("2026-03-01 12:00:00+01:00", "2026-03-01", NOON),
        ("2026-03-01 12:00:00,250", "2026-03-01", NOON + 0.25),
        ("2026/3/1 9:05", "2026/3/1", 9 * 3600.0 + 300.0),
        ("01.03.2026 12:00", "01.03.2026", NOON),
        ("1. 3. 2026 12:00:05", "1. 3. 2026", NOON + 5.0),
        ("3/1/2026 2:05:10 PM", "3/1/2026", 14 * 3600.0 + 310.0),
        ("3/1/26 12:05 a.m.", "3/1/26", 300.0),
        ("03/01/26,12:00:00", "03/01/26", NOON),
        ("01-Mar-2026 12:00:00", "01-Mar-2026", NOON),
        ("Mar 1, 2026 12:00:00 AM", "Mar 1, 2026", 0.0),
        ("Sun 1 Mar 2026 12:00", "1 Mar 2026", NOON),
        ("Mo., 02.03.2026 12:00", "02.03.2026", NOON),
        ("1. März 2026 14.30", "1. März 2026", 14.5 * 3600.0),
        ("20260301T120000", "20260301", NOON),
        ("20260301 120000", "20260301", NOON),
        ("2026-03-01", "2026-03-01", None),
        ("12:00:00", "", NOON),
        ("5:00:00 pm", "", 17 * 3600.0),
        ("12 PM", "", NOON),
        ("26:03:04", "", 26 * 3600.0 + 184.0),
        ("1d 02:03:04", "", 26 * 3600.0 + 184.0),
        ("1.02:03:04", "", 26 * 3600.0 + 184.0),
        ("0:30", "", 1800.0),
    ],
)
def test_a_cell_that_is_a_time(cell: str, day: str, clock_s: float | None) -> None:
    stamp = read_stamp(cell)
    assert stamp is not None
    assert stamp.date == day
    assert stamp.clock_s == clock_s
    column = read_stamps([cell, cell])
    assert column.dates == ((day,) if day else ())
    if clock_s is not None:
        assert list(column.clock_s) == [clock_s, clock_s]


@pytest.mark.parametrize(
    "cell",
    ["", "abc", "121.3", "12", "20260301", "31/02/2026", "12:61", "12:00:61", "13:00 PM", "0:30 AM",
     "2026-13-01 12:00", "2026-03-01 25:00:00", "01.03.1885 12:00", "12:00 XQZ", "-12:00", "PM"],
)  # fmt: skip
def test_a_cell_that_is_none(cell: str) -> None:
    assert read_stamp(cell) is None
    assert not read_stamps([cell]).is_time[0]


@pytest.mark.parametrize(
    ("text", "offset_s"),
    [("Z", 0), ("UTC", 0), ("+01:00", 3600), ("-0530", -19800), ("UTC-5", -18000), ("CEST", 7200)],
)
def test_zones(text: str, offset_s: int) -> None:
    assert zone_offset(text) == offset_s


@pytest.mark.parametrize("text", ["", "XYZ", "+99:00", "here"])
def test_no_zones(text: str) -> None:
    assert zone_offset(text) is None


def test_a_mixed_column_keeps_what_can_be_read() -> None:
    column = read_stamps(["2026-03-01 10:00:00", "x", "2026-03-01 10:01:00 PM", "2026-03-02 10:00"])
    assert list(column.is_time) == [True, False, True, True]
    assert list(column.date_of) == [0, -1, 0, 1]
    assert column.is_halved
    assert column.clock_s[2] == 22 * 3600.0 + 60.0
    assert np.isnan(column.clock_s[1])


def decided(
    *texts: str, header: str = "", is_american: bool | None = None
) -> tuple[DateOrder | None, Sure]:
    dates = [read_date(text) for text in texts]
    guess = decide_order([each for each in dates if each], texts, header, is_american=is_american)
    return guess.value, guess.sure


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (("25/12/2026",), DateOrder.DAY_FIRST),
        (("12/25/2026",), DateOrder.MONTH_FIRST),
        (("03/04/2026", "04/04/2026"), DateOrder.DAY_FIRST),
        (("03/04/2026", "03/05/2026"), DateOrder.MONTH_FIRST),
        (("12/31/26", "01/01/27"), DateOrder.MONTH_FIRST),
        (("31/12/26", "01/01/27"), DateOrder.DAY_FIRST),
        (("26-03-01", "26-03-02"), DateOrder.YEAR_FIRST),
        (("26-03-14",), DateOrder.YEAR_FIRST),
        (("01.03.2026",), DateOrder.DAY_FIRST),
    ],
)
def test_the_order_of_dates(texts: tuple[str, ...], order: DateOrder) -> None:
    assert decided(*texts) == (order, Sure.LIKELY)


def test_the_third_of_the_third_needs_no_order() -> None:
    assert decided("03/03/2026")[1] is Sure.LIKELY


def test_an_order_that_cannot_be_decided_is_unsure() -> None:
    assert decided("03/04/2026") == (DateOrder.DAY_FIRST, Sure.UNSURE)
    assert decided("03/04/2026", is_american=True) == (DateOrder.MONTH_FIRST, Sure.UNSURE)
    assert decided("03/04/2026", header="Datum TT/MM/JJJJ") == (DateOrder.DAY_FIRST, Sure.NAMED)
    assert decided("03/04/2026", header="mm/dd/yyyy") == (DateOrder.MONTH_FIRST, Sure.NAMED)


@pytest.mark.parametrize(
    "text", ["1 Jan 2026", "01-JAN-26", "1. Januar 2026", "1 gen 2026", "1 ene 2026", "2026-Jan-01"]
)
def test_months_by_name(text: str) -> None:
    found = read_date(text)
    assert found is not None
    assert in_order(found, DateOrder.DAY_FIRST) == date(2026, 1, 1)
