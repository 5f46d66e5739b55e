"""The date on a wall, where no farm is open that says whose."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from pinset.cli import demo as building
from pinset.services import clock
from pinset.services.farms import new as templates

LATE = datetime(2026, 3, 12, 23, 30, tzinfo=UTC)
TODAY, TOMORROW = date(2026, 3, 12), date(2026, 3, 13)


@pytest.fixture
def _in_auckland(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """This machine stands 13 hours before Greenwich, where it is half past eleven at night."""
    monkeypatch.delenv(clock.PRETENDED, raising=False)
    monkeypatch.setattr(clock, "now_utc", lambda: LATE)
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.usefixtures("_in_auckland")
@pytest.mark.parametrize(
    ("zone", "day"),
    [("", TOMORROW), ("Europe/Vienna", TOMORROW), ("America/Denver", TODAY), ("UTC", TODAY)],
)
def test_it_is_that_of_the_place(zone: str, day: date) -> None:
    assert clock.wall_day(zone) == day


@pytest.mark.parametrize(
    ("pretended", "zone", "day"),
    [
        ("2026-03-12", "", TODAY),
        ("2026-03-12", "Europe/Vienna", TODAY),
        ("2026-03-12", "Pacific/Auckland", TODAY),
        ("2026-03-12T23:30+00:00", "Europe/Vienna", TOMORROW),
        ("2026-03-12T23:30-07:00", "", TODAY),
        ("2026-03-13T00:30+01:00", "", TOMORROW),
    ],
)
def test_what_is_pretended_is_taken_at_its_word(
    pretended: str, zone: str, day: date, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.PRETENDED, pretended)
    assert clock.wall_day(zone) == day


@pytest.mark.usefixtures("_in_auckland")
def test_new_templates_stand_on_the_day_of_this_machine(tmp_path: Path) -> None:
    templates.new(tmp_path / "farm")
    lots = (tmp_path / "farm" / "lots.csv").read_text("utf-8-sig")
    assert "2026-03-07" in lots, "in their room for six days on the thirteenth"


@pytest.mark.usefixtures("_in_auckland")
def test_a_demo_farm_is_built_on_the_day_of_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    days: list[date] = []

    def told(_folder: Path, day: date, *_more: object) -> None:
        days.append(day)
        raise SystemExit(0)

    monkeypatch.setattr(building, "build", told)
    CliRunner().invoke(building.demo, [str(tmp_path / "demo"), "--no-serve"], obj={})
    assert days == [TOMORROW], "half past midnight in Vienna"
