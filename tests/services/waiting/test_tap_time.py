from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from pinset.errors import InputError
from pinset.services import clock
from pinset.services.waiting import tap_time

NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _at_nine(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(clock.PRETENDED, raising=False)
    monkeypatch.setattr(tap_time, "machine_now", lambda: NOW)


@pytest.mark.parametrize("wrong", [timedelta(0), timedelta(hours=3), -timedelta(days=400)])
def test_a_wrong_clock_does_not_change_how_long_a_tap_waited(wrong: timedelta) -> None:
    sent = NOW + wrong
    tapped = sent - timedelta(minutes=40)
    tap = tap_time.read_tap(tapped.isoformat(), sent.isoformat())
    assert tap.at == NOW - timedelta(minutes=40)
    assert tap.tapped == tapped
    assert tap.sent == sent
    assert tap.ahead == wrong


def test_a_script_writes_its_moments_with_a_z() -> None:
    tap = tap_time.read_tap("2026-03-12T08:59:30.000Z", "2026-03-12T09:00:00.000Z")
    assert tap.at == NOW - timedelta(seconds=30)


def test_a_difference_above_two_minutes_is_said() -> None:
    def said(ahead: timedelta) -> str:
        sent = (NOW + ahead).isoformat()
        return tap_time.clock_said(tap_time.read_tap(sent, sent), "Europe/Berlin")

    assert said(timedelta(minutes=2)) == ""
    assert "3 hours 5 minutes ahead of the farm's" in said(timedelta(hours=3, minutes=5))
    assert "1 day 0 hours behind the farm's" in said(-timedelta(days=1))
    assert "2026-03-12 10:00" in said(-timedelta(days=1))


@pytest.mark.parametrize(
    ("tapped", "sent"),
    [
        ("2026-03-12T09:00:10Z", "2026-03-12T09:00:00Z"),  # ahead of its own sending
        ("2026-01-01T09:00:00Z", "2026-03-12T09:00:00Z"),  # seventy days
        ("2026-03-12T08:00:00", "2026-03-12T09:00:00Z"),  # without an offset
        ("0001-01-01T00:00:00+14:00", "2026-03-12T09:00:00Z"),
        ("yesterday", "2026-03-12T09:00:00Z"),
        ("2026-03-12T08:00:00Z", ""),
    ],
)
def test_what_cannot_be_a_moment_of_a_tap_is_refused(tapped: str, sent: str) -> None:
    with pytest.raises(InputError):
        tap_time.read_tap(tapped, sent)
