"""An invented farm with one grow room for two varieties that need different climates.

Days count from Monday 9 March 2026. Grey oysters stand in the room, which is kept mild for them;
blocks of both varieties are ready, and pink oysters need it warm.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from days.described import Described
from days.kept import asked_again, broken_promises
from days.robot import Habits, Lived, Robot, is_whole
from days.test_lived_days import MONDAY, open_farm
from days.watched import problems
from pinset.planning.reading.short_reason import ShortReason
from pinset.services.plans.planning_day import Planned
from pinset.services.promises.promises import promises_view
from pinset.services.views import DayView

PLACE = """
    instruments = []
    [farm]
    name = "Two climates (invented)"
    code = "farm"
    country = "Spain"
    altitude_m = 640
    time_zone = "Europe/Madrid"
    working_days = ["mon", "tue", "wed", "thu", "fri", "sat"]
    day_starts = "07:00"
    van_at = "11:00"

    [[sterilisers]]
    code = "vat"
    name = "Hot-water vat"
    room = "cooking"
    hours_per_day = 10
    cooks_per_day = 1
    load_at = "10:30"
    opened_until = "21:00"
    cooks = [
        {code = "straw", hours = 5, hands_minutes = 50, hold_minutes = 90, litres = 400},
    ]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 8, tue = 8, wed = 8, thu = 8, fri = 8, sat = 5}
"""

TABLES = {
    "varieties": """
        code,name,species,route,sold_as,price_per_kg
        grey,Grey oyster,Pleurotus ostreatus,grey-straw,picked,9
        pink,Pink oyster,Pleurotus djamor,pink-straw,picked,12
    """,
    "routes": """
        route,from_species,substrate,starts_at,step,supplier,supplier_days,delivery_weekdays,\\
        keeps_days_warm,cold_min_c
        grey-straw,Pleurotus ostreatus,straw,spawn,,,,,,
        grey-straw,,,,spawn,Spawn maker (invented),6,tue thu,,
        pink-straw,Pleurotus djamor,straw,spawn,,,,,,
        pink-straw,,,,spawn,Spawn maker (invented),6,tue thu,,2
        pink-straw,,,,block,,,,9,
    """,
    "vessels": """
        code,name,litres,in_circulation
        spawn-bag,Spawn bag,4.5,
        straw-bag,Straw bag,25,
    """,
    "buyers": """
        code,name,deliver_at
        market,Market (invented),13:00
        kitchen,A kitchen (invented),
    """,
    "promises": """
        code,buyer,variety,amount_kg,weekday,on_date,price
        market-saturday,market,grey,8,sat,,11
        kitchen-pink,kitchen,pink,6,,2026-03-25,14
    """,
    "lots": """
        code,variety,step,count,made_on,place,bought_from,in_room_since
        ,grey,spawn,6,2026-02-26,fridge-1,Spawn maker (invented),
        ,grey,block,20,2026-02-18,warm-1,,
        ,grey,block,20,2026-02-26,warm-1,,
        ,pink,block,16,2026-02-26,warm-1,,
        ,grey,fruiting,20,2026-02-12,grow-1,,2026-03-03
    """,
}
ALL_THE_TIME = Described("mild-all-the-time", PLACE, TABLES)
"""Grey oysters are promised every week, so the room is never warm while pink blocks keep."""

ROOM_IS_CLEARED = replace(
    ALL_THE_TIME,
    code="room-is-cleared",
    tables={
        **TABLES,
        "promises": """
            code,buyer,variety,amount_kg,weekday,on_date,price
            kitchen-pink,kitchen,pink,6,,2026-03-25,14
        """,
        "lots": """
            code,variety,step,count,made_on,place,bought_from,in_room_since,made_count,picked_kg
            ,pink,block,16,2026-02-26,warm-1,,,,
            ,grey,fruiting,20,2026-01-20,grow-1,,2026-02-06,20,22
        """,
    },
)
"""Nothing of grey oysters is promised; what stands there is picked once more."""

KEPT_COLD = replace(
    ROOM_IS_CLEARED,
    code="kept-cold",
    tables={
        **ROOM_IS_CLEARED.tables,
        "routes": """
            route,from_species,substrate,starts_at,step,supplier,supplier_days,delivery_weekdays,\\
            keeps_days_warm,keeps_days_cold,cold_min_c
            grey-straw,Pleurotus ostreatus,straw,spawn,,,,,,,
            grey-straw,,,,spawn,Spawn maker (invented),6,tue thu,,,
            pink-straw,Pleurotus djamor,straw,spawn,,,,,,,
            pink-straw,,,,spawn,Spawn maker (invented),6,tue thu,,,2
            pink-straw,,,,block,,,,2,25,2
        """,
        "lots": """
            code,variety,step,count,made_on,place,bought_from,in_room_since,made_count,picked_kg
            ,pink,block,16,2026-02-24,warm-1,,,,
            ,grey,fruiting,20,2026-01-20,grow-1,,2026-02-06,20,22
        """,
    },
)
"""Blocks that keep two days in the warm, and 25 in the cold: what this farm says of them."""


class Watch:
    """What was told on every morning, and what did not hold."""

    def __init__(self) -> None:
        self.told: dict[date, tuple[str, ...]] = {}
        self.found: list[str] = []

    def look(self, robot: Robot, view: DayView, planned: Planned) -> None:
        self.found += problems(robot, view, planned)
        self.told.setdefault(view.day, view.notes)


def lived(
    farm: Described, folder: Path, monkeypatch: pytest.MonkeyPatch, days: int
) -> tuple[Watch, list[Lived]]:
    open_farm(farm, folder, monkeypatch)
    watch = Watch()
    robot = Robot(monkeypatch, Habits(), watch.look)
    for number in range(days):
        day = robot.live(MONDAY + timedelta(days=number))
        watch.found += [f"refused: {each}" for each in day.refused]
        watch.found += [f"{day.day:%a %d}: {each}" for each in is_whole()]
    watch.found += [*broken_promises(robot.days), *asked_again(robot.days)]
    return watch, robot.days


@pytest.mark.usefixtures("db")
def test_blocks_that_lapse_in_the_other_climate_are_told_in_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch, days = lived(ALL_THE_TIME, tmp_path, monkeypatch, 2)
    assert not watch.found, "\n".join(watch.found)
    plan = days[0].told.plan
    (lapse,) = [each for each in plan.lapses if each.variety == "pink"]
    assert lapse.cause is ShortReason.CLIMATE
    assert lapse.units >= 14.0
    for day in watch.told:
        (note,) = [note for note in watch.told[day] if "blocks of Pink oyster" in note]
        assert "Grow room is kept mild" in note
        assert "Pink oyster needs warm" in note
    (short,) = [each for each in plan.short if each.variety == "pink"]
    assert short.reason_code is ShortReason.CLIMATE
    view = promises_view(8)
    assert any("blocks of Pink oyster" in remark for remark in view.remarks)
    rows = [row for _, week in view.weeks for row in week if row.promise == "kitchen-pink"]
    assert all("Grow room is kept mild" in row.reason for row in rows)


@pytest.mark.usefixtures("db")
def test_a_room_that_is_cleared_in_time_changes_and_says_when(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch, days = lived(ROOM_IS_CLEARED, tmp_path, monkeypatch, 9)
    assert not watch.found, "\n".join(watch.found)
    moves = [move for day in days for move in day.told.plan.moves if move.day == day.day]
    (moved_on,) = {move.day for move in moves if move.variety == "pink"}
    for day, notes in watch.told.items():
        changes = [note for note in notes if "warm (" in note and "Pink oyster" in note]
        assert bool(changes) is (day <= moved_on), (day, notes)
    (today,) = [note for note in watch.told[moved_on] if "Pink oyster" in note]
    assert "today" in today
    assert not any("would save them" in note for notes in watch.told.values() for note in notes)


@pytest.mark.usefixtures("db")
def test_blocks_wait_in_the_cold_until_the_room_is_theirs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch, days = lived(KEPT_COLD, tmp_path, monkeypatch, 9)
    assert not watch.found, "\n".join(watch.found)
    (cold,) = days[0].told.plan.kept_cold
    assert cold.room == "fridge"
    carried = [(day.day, job) for day in days for job in day.done if "into Fridge" in job.what]
    assert sum(job.count for _, job in carried) >= cold.units
    moves = [move for day in days for move in day.told.plan.moves if move.day == day.day]
    (moved_on,) = {move.day for move in moves if move.variety == "pink"}
    assert moved_on > cold.here
    assert all(day < moved_on for day, _ in carried)
    lapse = [note for notes in watch.told.values() for note in notes if "would save them" in note]
    assert all("nothing promised needs them" in note for note in lapse)
