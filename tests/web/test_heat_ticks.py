"""Ticks of a drawn cook: round clock times, dates over days, hours without a clock."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from pinset.web.formats import shown_in
from pinset.web.heat_ticks import MOST_TICKS, degrees, time_in_words, times


def labels(end: float, started: str = "") -> list[str]:
    return [label.replace("\u00a0", " ") for _, label in times(end, started)]


def test_without_a_clock_minutes_or_hours() -> None:
    assert labels(180.0) == ["0 h", "1 h", "2 h", "3 h"]
    assert labels(50.0) == ["0 min", "10 min", "20 min", "30 min", "40 min", "50 min"]
    assert labels(600.0)[:2] == ["0 h", "2 h"]


def test_round_times_by_the_farms_clock() -> None:
    with timezone.override(ZoneInfo("Europe/Berlin")):
        assert labels(180.0, "2026-03-02T09:37:20+00:00") == ["11:00", "12:00", "13:00"]
        assert time_in_words(23.0, "2026-03-02T09:37:00+00:00") == "11:00"


def test_a_loggers_own_clock_stays() -> None:
    with timezone.override(ZoneInfo("Asia/Tokyo")):
        assert labels(180.0, "2026-03-02T10:37:00")[0] == "11:00"


def test_days_show_their_date() -> None:
    fortnight = labels(14 * 1440.0, "2026-03-02T10:30:00")
    assert fortnight == ["3 Mar", "6 Mar", "9 Mar", "12 Mar", "15 Mar"]
    assert labels(30 * 60.0, "2026-03-02T20:00:00") == ["3 Mar", "06:00", "12:00", "18:00", "4 Mar"]
    said = time_in_words(600.0, "2026-03-02T20:00:00", with_day=True)
    assert said.replace("\u00a0", " ") == "3 Mar 06:00"


def test_the_clock_change_moves_the_labels() -> None:
    """The night of 29 March 2026 has no 02:30 in Berlin (tz database)."""
    with timezone.override(ZoneInfo("Europe/Berlin")):
        night = labels(240.0, "2026-03-29T00:00:00+00:00")
        assert night == ["01:00", "03:00", "04:00", "05:00", "06:00"]


@pytest.mark.parametrize("end", [0.5, 1.0, 7.0, 33.0, 61.0, 240.0, 900.0, 3000.0, 20_160.0])
@pytest.mark.parametrize("started", ["", "2026-03-02T10:37:00"])
def test_a_handful_inside(end: float, started: str) -> None:
    found = list(times(end, started))
    assert len(found) <= MOST_TICKS + 1
    assert all(0.0 <= minute <= end for minute, _ in found)


def test_degrees_by_the_farms_units() -> None:
    assert [c for c, _ in degrees(110.0)] == [20.0, 40.0, 60.0, 80.0, 100.0]
    with shown_in("us"):
        assert [round(c * 1.8 + 32) for c, _ in degrees(122.0)] == [50, 100, 150, 200, 250]
        assert next(iter(degrees(122.0)))[1].endswith("F")
