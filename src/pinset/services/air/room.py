"""What a grow room needs: fresh air, water, heating and cooling, fan, duct and money, in words."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.air.door import air_first_ppm, nobody_ppm
from pinset.science.air.drip import Drip, dew_point, drip, surface_of
from pinset.science.air.ducts import QUIET_M_S, diameter_for
from pinset.science.air.fans import fan_power
from pinset.science.air.gas import fresh_air_for, gas_flow, seconds_to
from pinset.science.air.grow_room import Hours, Needs, needs
from pinset.science.air.moist import MoistAir, air_of, pressure_at
from pinset.science.air.ranges import Range, swings
from pinset.science.air.running_cost import cost, cost_a_day, cost_a_kg
from pinset.services import cautions
from pinset.services.air import room_words
from pinset.services.air.answer import Answer, Fact
from pinset.services.air.room_asked import RoomAsked, RoomHere, read_room
from pinset.services.air.spoken import (
    HOUR,
    figures,
    pressure,
    ranged,
    said,
    times,
    water,
)
from pinset.services.air.typed import Typed, at_its_field
from pinset.units import Quantity

CAUTIONS = ("co2", "spores", "mist-water")
FIELDS = {
    "temperature": "temperature",
    "humidity": "humidity",
    "outside temperature": "outside",
    "outside humidity": "outside-humidity",
    "CO2 wanted": "co2",
    "cooler of the room": "coil",
    "cooler of a room": "coil",
    "mist water": "mist-water",
    "altitude": "altitude",
    "substrate": "other-kg",
    "growing mushrooms": "growing",
    "fan pressure": "fan-pressure",
    "U value": "u-value",
}
"""The field of the form behind each argument of a sum."""

MINUTE = 60.0


def room_answer(here: RoomHere, form: Typed) -> Answer:
    """Return what a room needs in the weather that was typed.

    Raises
    ------
    InputError
        If something is missing or cannot be; its field is the one of the form.
    """
    try:
        asked = read_room(here, form)
        pascal = pressure_at(asked.altitude_m)
        hours = needs([asked.grow_room], [asked.outside_c], [asked.outside_humidity], pascal)
        return _answer(here, asked, hours, pascal)
    except InputError as problem:
        raise at_its_field(problem, FIELDS) from None


def _answer(here: RoomHere, asked: RoomAsked, hours: Hours, pascal: float) -> Answer:
    system = here.book.farm.units
    need = hours.of(0)
    air = air_of(asked.grow_room.temperature_c, asked.grow_room.humidity, pascal)
    wall = _wall(asked, air)
    soon, never = air_first_ppm(), nobody_ppm()
    until = {limit: _until(asked, limit, pascal) for limit in (soon, never)}
    facts = [
        *_air_facts(asked, need, system),
        *_plant_facts(asked, need, system),
        *_drip_facts(air, wall, system),
        *_fan_facts(asked, need, system),
        *_cost_facts(here, asked, hours),
        Fact(
            f"If the fan stops: {soon:,.0f} ppm after",
            times(until[soon]),
            f"{never:,.0f} ppm, nobody inside, after {times(until[never])}",
        ),
    ]
    return Answer(
        sentence=room_words.verdict(asked, need, system),
        flags=room_words.flags(asked, wall, until[soon], system),
        facts=tuple(facts),
        points=room_words.points(asked, need, system),
        narrows=_narrows(asked, pascal, system),
        cautions=cautions.sentences(CAUTIONS),
        inputs=room_words.inputs(here, asked, system),
        method=room_words.METHOD,
    )


def _air_facts(asked: RoomAsked, need: Needs, system: str) -> list[Fact]:
    changes = need.fresh_m3_s.times(HOUR / asked.free_m3)
    breath = asked.grow_room.breath_g_h
    return [
        Fact("Fresh air", ranged(Quantity.FLOW, need.fresh_m3_s, system), "at the room's warmth"),
        Fact("Air changes", figures(changes, "an hour")),
        Fact("CO2 given off", figures(breath, "g/h"), "measured" if asked.is_measured else ""),
    ]


def _plant_facts(asked: RoomAsked, need: Needs, system: str) -> list[Fact]:
    by = "steam" if asked.grow_room.mist.value == "steam" else "cold mist"
    return [
        Fact("Water to mist", water(need.mist_kg_s, system), f"by {by}, at most"),
        Fact("Heating", ranged(Quantity.POWER, need.heating_w, system)),
        Fact(
            "Cooling",
            ranged(Quantity.POWER, need.cooling_w, system),
            f"{water(need.dried_kg_s, system)} runs off the coil" if need.dried_kg_s.high else "",
        ),
    ]


def _drip_facts(air: MoistAir, wall: Drip | None, system: str) -> list[Fact]:
    known = wall.dew_point_c if wall else dew_point(air)
    facts = [
        Fact(
            "Dew point",
            ranged(Quantity.TEMPERATURE, known, system),
            "a sensor may be 3 % wrong near saturation",
        )
    ]
    if wall is not None:
        facts.append(Fact("Coldest surface", ranged(Quantity.TEMPERATURE, wall.surface_c, system)))
    return facts


def _wall(asked: RoomAsked, air: MoistAir) -> Drip | None:
    if asked.surface_c is not None:
        return drip(air, Range.exactly(asked.surface_c))
    if asked.u_value is not None:
        return drip(air, surface_of(air.temperature_c, asked.outside_c, asked.u_value))
    return None


def _fan_facts(asked: RoomAsked, need: Needs, system: str) -> list[Fact]:
    most = need.fresh_m3_s.high
    if most <= 0.0:
        return []
    watts = fan_power(most, asked.fan_pa, asked.fan_share)
    wide = said(Quantity.LENGTH, diameter_for(most), system)
    speed = said(Quantity.SPEED, QUIET_M_S, system)
    flow = said(Quantity.FLOW, most, system)
    return [
        Fact(
            "Fan",
            f"{flow} at {pressure(asked.fan_pa, system)}",
            f"takes {said(Quantity.POWER, watts, system)}; read its curve with dirty filters",
        ),
        Fact("Duct", f"{wide} across", f"round, at {speed} and the most air, to be quiet"),
    ]


def _cost_facts(here: RoomHere, asked: RoomAsked, hours: Hours) -> list[Fact]:
    if asked.plant is None or asked.prices is None:
        return []
    money = here.book.farm.currency
    day = cost_a_day(cost(hours, asked.plant, asked.prices), 0)
    facts = [Fact("Running cost a day", figures(day, money), "in this weather all day")]
    if asked.picked_kg_day > 0.0:
        each = cost_a_kg(day, asked.picked_kg_day)
        facts.append(Fact("Running cost a kilogram picked", figures(each, money)))
    return facts


def _until(asked: RoomAsked, limit_ppm: float, pascal: float) -> Range:
    """Return in how many minutes a limit for people is reached, were no air changed."""
    room = asked.grow_room
    if room.co2_ppm >= limit_ppm:
        return Range.exactly(0.0)
    flows = [gas_flow(g, room.temperature_c, pascal) for g in reversed(room.breath_g_h.ends)]
    soon, middle, late = (
        seconds_to(limit_ppm, room.co2_ppm, flow, 0.0, room.outdoor_ppm, asked.free_m3) / MINUTE
        for flow in flows
    )
    return Range(soon, middle, late)


def _narrows(asked: RoomAsked, pascal: float, system: str) -> str:
    if asked.is_measured:
        return (
            "The CO2 is measured here. Next: a hygrometer checked over salt, since three points of "
            "humidity move the dew point by half a kelvin. Repeat the closed-vent test each week."
        )
    room = asked.grow_room

    def flow(**grams: float) -> float:
        gas = gas_flow(sum(grams.values()), room.temperature_c, pascal)
        return fresh_air_for(gas, room.co2_ppm, room.outdoor_ppm)

    names = dict(enumerate(asked.breaths))
    moved = swings(flow, {f"n{n}": asked.breaths[name] for n, name in names.items()})
    if not moved:
        return ""
    most = moved[0]
    whose = names[int(most.name[1:])]
    low, high = (said(Quantity.FLOW, end, system) for end in (most.answer.low, most.answer.high))
    return (
        "One closed-vent test, a quarter of an hour, replaces what is guessed of the breath. "
        f"Of that, {whose} alone moves the fresh air from {low} to {high}."
    )
