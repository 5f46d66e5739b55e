"""Six invented farms lived through for days, with what must hold looked at all the way."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from days.described import Described
from days.evenings import ONLY_EVENINGS
from days.invented import FARMS, SPAWN_FROM_LIQUID, STRAW_AND_MARKET
from days.kept import asked_again, broken_promises
from days.robot import Habits, Robot, is_whole
from days.watched import problems
from pinset.services import clock
from pinset.services.farms.load import load
from pinset.services.plans.planning_day import Planned
from pinset.services.views import DayView

MONDAY = date(2026, 3, 9)
LOADED_AT = "2026-03-08T18:00+01:00"  # the evening before
DAYS = 9
HABITS = Habits(
    in_part=(2, 5), not_today=(4,), late=(3,), losses=(5,), again=(3, 4), evening=(2, 5)
)


def open_farm(farm: Described, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(clock.PRETENDED, LOADED_AT)
    report = load(farm.write(folder / "described"))
    assert report.applied, report.findings


LATER_HABITS = Habits(
    in_part=(1, 3, 7),
    not_today=(1, 8),
    late=(0, 4),
    losses=(2, 7),
    again=(0, 2, 7),
    evening=(0, 4, 8),
    late_minutes=95,
)


def lived(
    farm: Described, folder: Path, monkeypatch: pytest.MonkeyPatch, habits: Habits
) -> list[str]:
    """Live on a farm for days and return everything that did not hold."""
    open_farm(farm, folder, monkeypatch)
    found: list[str] = []

    def look(robot: Robot, view: DayView, planned: Planned) -> None:
        found.extend(problems(robot, view, planned))

    robot = Robot(monkeypatch, habits, look)
    for number in range(DAYS):
        day = robot.live(MONDAY + timedelta(days=number))
        found += [f"refused: {each}" for each in day.refused]
        found += [f"{day.day:%a %d}: {each}" for each in is_whole()]
    return [*found, *broken_promises(robot.days), *asked_again(robot.days)]


@pytest.mark.usefixtures("db")
@pytest.mark.parametrize("farm", [*FARMS, ONLY_EVENINGS], ids=lambda farm: farm.code)
def test_a_farm_lives(farm: Described, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = lived(farm, tmp_path, monkeypatch, HABITS)
    assert not found, "\n".join(found)


@pytest.mark.usefixtures("db")
@pytest.mark.parametrize("farm", [STRAW_AND_MARKET, SPAWN_FROM_LIQUID], ids=lambda farm: farm.code)
def test_it_lives_too_where_other_days_go_wrong(
    farm: Described, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = lived(farm, tmp_path, monkeypatch, LATER_HABITS)
    assert not found, "\n".join(found)
