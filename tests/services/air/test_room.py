"""A grow room's answer, beside hand computation and the tables of reference/air.md."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from pinset.chain.register import Farm, FarmBook, Room, RoomKind
from pinset.errors import InputError
from pinset.science.air.breath import Breather, Hanging, Stage
from pinset.services.air.answer import Answer
from pinset.services.air.hanging import Group
from pinset.services.air.room import room_answer
from pinset.services.air.room_asked import RoomHere
from pinset.services.air.typed import Typed

ROOM = Room("fog", "Fog room", RoomKind.GROWING, 16.0)
BLOCKS = Group(
    "grey",
    "Grey oyster",
    "pleurotus-ostreatus",
    Stage.FRUITING,
    400,
    (Hanging(Breather.OYSTER, Stage.FRUITING, 1000.0),),
    9,
)
FORM = {
    "volume": "60 m3",
    "temperature": "20 C",
    "humidity": "90 %",
    "co2": "1000",
    "outdoor-co2": "420",
    "outside": "5 C",
    "outside-humidity": "60",
    "altitude": "0 m",
    "mist": "cold",
    "mist-water": "12 C",
    "coil": "4 C",
    "fan-pressure": "100 Pa",
    "fan-share": "50 %",
    "heat-share": "90 %",
    "cop": "3",
    "mist-share": "80 %",
}


def here(units: str = "metric") -> RoomHere:
    farm = Farm("Test farm", 0.0, "UTC", units=units)
    return RoomHere(FarmBook(farm, rooms=(ROOM,)), ROOM, (BLOCKS,), {})


def answer(units: str = "metric", **typed: str) -> Answer:
    form = {**FORM, **{name.replace("_", "-"): text for name, text in typed.items()}}
    return room_answer(here(units), Typed(form, units))


def facts(found: Answer) -> Mapping[str, str]:
    return {fact.name: fact.value for fact in found.facts}


def test_fresh_air_is_that_of_the_table_of_reference_5_2() -> None:
    # 0.20 g/(kg h), outdoors 420 to 1000 ppm: 0.19 m3/h per kg; 1 000 kg give 200 g/h
    found = answer(own="200")
    assert facts(found)["Fresh air"] == "188 m³/h"
    assert facts(found)["Air changes"] == "3.1 an hour"
    assert "188 m³/h of fresh air holds 1,000 ppm" in found.sentence


def test_what_nobody_knows_is_low_middle_high() -> None:
    # 0.1, 0.2 and 0.4 g/(kg h) at 18 degC, Q10 2.6 to 3.2: 20 degC gives 2.8 ** 0.2 times more
    found = answer(kg_grey_fruiting="1000 kg")
    middle = 200.0 * 2.8**0.2 / 1829.0 / 580e-6  # grams a m3 at 20 degC: reference 5
    assert facts(found)["Fresh air"].startswith(f"{middle:.0f} m³/h (114 to ")
    assert "build for the most" in found.sentence
    assert "closed-vent test" in found.narrows
    assert "Grey oyster, ripening or fruiting alone" in found.narrows


def test_water_and_heat_are_those_of_reference_4_1() -> None:
    # 300 m3/h, 5 degC 60 % outside, 16 degC 90 % inside: +2.5 kg/h, +2.9 kW, as cold mist needs
    found = facts(answer(temperature="16 C", own="1", least_fresh="300 m3/h"))
    assert found["Water to mist"].startswith("2.5")
    assert found["Heating"].startswith("2.8")  # 12 degC mist brings 0.03 kW, the blocks 0.003
    assert found["Dew point"].startswith("14.4 °C")  # reference 4.1


def test_a_still_fan_is_told_with_the_hours_of_reference_5_3() -> None:
    # 200 g/h in 60 m3: 1 820 ppm/h, 5 000 ppm after 2.3 h from 800 ppm
    found = answer(own="200", co2="800")
    [fan] = [fact for fact in found.facts if fact.name.startswith("If the fan stops")]
    assert fan.value == "2 h 18 min"
    assert any("5,000 ppm may be reached within 2 h 18 min" in flag for flag in found.flags)
    assert any("never go in alone" in each for each in found.cautions)
    assert any("nobody goes in or stays" in each for each in found.cautions)
    assert any("Legionella" in each for each in found.cautions)


def test_a_cold_wall_drips() -> None:
    # at 90 % a wall 1.6 K colder than 16 degC air gets wet (reference 4.1)
    assert any(
        "will drip" in flag for flag in answer(own="200", temperature="16 C", surface="12 C").flags
    )
    assert any(
        "may drip" in flag for flag in answer(own="200", temperature="16 C", surface="14.4 C").flags
    )
    assert not any(
        "drip" in flag for flag in answer(own="200", temperature="16 C", surface="15.9 C").flags
    )


def test_money_is_that_of_the_heat_bought() -> None:
    # 2.84 kW of heat at 90 % for 24 h at 0.10: 7.6; the fan 188/3600 x 100 / 0.5 W is a tenth of it
    found = facts(
        answer(
            temperature="16 C",
            own="1",
            least_fresh="300 m3/h",
            heat_price="0.10",
            power_price="0",
            picked="10 kg",
        )
    )
    assert found["Running cost a day"].startswith("7.6")
    assert found["Running cost a kilogram picked"].startswith("0.76")


def test_both_systems_of_units_say_the_same() -> None:
    found = facts(answer("us", temperature="68 F", volume="2119 ft3", own="200"))
    assert found["Fresh air"] == "111 cfm"  # 188.4 m3/h
    assert found["Dew point"].startswith("65 °F")  # 18.3 degC


def test_outside_air_colder_than_the_coil_is_said() -> None:
    found = answer(own="200", outside="2 C", others="9 kW")
    assert any("colder than the coil" in point for point in found.points)


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("volume", "", "more than 0 m³"),
        ("volume", "-3", "more than 0 m³"),
        ("humidity", "0", "1 to 100 %"),
        ("outside-humidity", "105 %", "1 to 100 %"),
        ("least-fresh", "-20 m3/h", "0 m³/h or more"),
        ("co2", "400", "above the 420 ppm outdoors"),
        ("coil", "25 C", "below the room's 20 °C"),
        ("own", "50-40", "38-52"),
        ("temperature", "900 C", "0 to 35 °C"),
        ("fan-share", "0", "1 to 100 %"),
        ("heat-price", "-1", "money, 0 or more"),
    ],
)
def test_what_is_refused_names_the_field(field: str, text: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        room_answer(here(), Typed({**FORM, "own": "200", field: text}, "metric"))
    assert caught.value.field == field
    assert words in caught.value.accepted


def test_an_empty_room_asks_for_what_hangs_in_it() -> None:
    bare = replace(here(), groups=())
    with pytest.raises(InputError) as caught:
        room_answer(bare, Typed(FORM, "metric"))
    assert caught.value.field == "other-kg"
