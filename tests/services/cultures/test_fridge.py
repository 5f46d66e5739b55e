"""What would be lost with a fridge, and where a second tube could stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.chain.stages import Stage
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.services.cultures.fridge import fridge_map
from pinset.tables.water_blocks import water_blocks

MakeLot = Callable[..., str]


def test_a_culture_that_stands_in_one_room_would_be_lost_with_it(make: MakeLot) -> None:
    tube, other = make(20), make(10, count=12)
    [view] = fridge_map()
    assert (view.room, view.temperature_c) == ("fridge", 4.0)
    assert view.sentence == "If Fridge failed, 1 culture of 1 would be lost."
    [risk] = view.at_risk
    assert (risk.culture, risk.units, risk.is_only_here) == ("g1", "18 tubes", True)
    assert set(risk.lots) == {tube, other}
    assert risk.elsewhere == ""
    assert risk.second == "Put a tube in Packing (3 °C): there it keeps 100 days."


def test_what_stands_in_two_rooms_is_safe_and_comes_last(make: MakeLot) -> None:
    make(20)
    make(20, culture="g2")
    make(20, culture="g2", place="cold-1")
    fridge, packing = fridge_map()
    assert fridge.sentence == "If Fridge failed, 1 culture of 2 would be lost."
    assert [risk.culture for risk in fridge.at_risk] == ["g1", "g2"]
    assert fridge.at_risk[1].elsewhere == "also in Packing"
    assert fridge.at_risk[1].second == ""
    assert packing.sentence.endswith("no culture would be lost: each stands elsewhere, too.")


def test_grain_elsewhere_is_said_but_is_no_second_place(make: MakeLot) -> None:
    make(20)
    make(10, Stage.GRAIN, 8, "inc-1")
    [view] = fridge_map()
    [risk] = view.at_risk
    assert risk.is_only_here
    assert "lives on as grain jars in Incubation" in risk.elsewhere
    assert "brought back from there for a while" in risk.elsewhere


def test_plates_in_the_warm_for_this_week_are_no_second_place(make: MakeLot) -> None:
    make(20)
    make(9, Stage.PLATE, 3, "inc-1")
    [view] = fridge_map()
    [risk] = view.at_risk
    assert risk.is_only_here
    assert risk.elsewhere.startswith("lives on as plates in Incubation")


def test_a_culture_of_which_only_such_plates_stand_would_be_lost_with_them(make: MakeLot) -> None:
    make(9, Stage.PLATE, 3, "inc-1")
    [view] = fridge_map()
    assert view.room == "inc"
    assert view.at_risk[0].is_only_here


@pytest.mark.parametrize("holds", [0, 6])
def test_where_no_other_room_keeps_it_the_table_of_storage_says_what_else(
    make: MakeLot, farm: FarmBook, holds: int
) -> None:
    """Blocks of agar in sterile water keep 1 to 5 years at 5 to 20 degC: tables/storage.csv."""
    make(20, place="cold-1")
    narrow = (
        Room("pack", "Packing", RoomKind.PACKING, 3.0, (Shelf("cold-1", 200),)),
        Room("lab", "Laboratory", RoomKind.LABORATORY, 22.0, (Shelf("lab-1", 100),)),
        Room("fridge", "Fridge", RoomKind.COLD, 4.0, (Shelf("fridge-1", holds),)),
    )
    register_store.write(register_store.book_records(replace(farm, rooms=narrow)), TODAY, "", NOW)
    assert (water_blocks().low, water_blocks().high) == (365.0, 1825.0)
    [risk] = fridge_map()[0].at_risk
    if holds:
        assert risk.second.startswith("Put a tube in Fridge (4 °C)")
    else:
        assert risk.second == (
            "Put a tube in Laboratory (22 °C): there it keeps 40 days. Or keep pieces in sterile "
            "water at 5-20 °C, 1 to 5 years (common practice, no source)."
        )


def test_without_any_other_room_it_is_given_away_or_kept_in_water(
    make: MakeLot, farm: FarmBook
) -> None:
    make(20)
    only = tuple(room for room in farm.rooms if room.code in {"fridge", "grow"})
    for room in farm.rooms:
        if room not in only:
            register_store.write([], TODAY, "", NOW, retire=[(RegisterKind.ROOM, room.code)])
    [risk] = fridge_map()[0].at_risk
    assert risk.second.startswith("No other room here keeps it: give a tube to somebody you trust")
    assert "sterile water at 5-20 °C" in risk.second


def test_without_a_shelf_there_is_nothing_to_lose(farm: FarmBook) -> None:  # noqa: ARG001
    assert fridge_map() == ()
