"""What is said of a grow room: the verdict, what to beware of, where the numbers come from."""

from __future__ import annotations

from pinset.science.air.door import air_first_ppm, nobody_ppm
from pinset.science.air.drip import Drip, Wet
from pinset.science.air.grow_room import Needs
from pinset.science.air.ranges import Range
from pinset.services.air.room_asked import RoomAsked, RoomHere
from pinset.services.air.spoken import figures, kelvin, minutes, said, weight
from pinset.tables.air import air_value
from pinset.tables.loader import Quality, Value, sources
from pinset.units import Quantity

_SOON_MIN = 12.0 * 60.0
METHOD = (
    "Fresh air: CO2 given off over what a well mixed room may have above the air outside (ASHRAE).",
    "Low and high take all breath low, or all of it high: such numbers go wrong together.",
    "Moist air by psychrolib (ASHRAE Fundamentals 2017, chapter 1), at the altitude's pressure.",
    "Cold mist takes its heat from the room. What a coil below the dew point takes out is misted.",
    "Left out: what blocks and mushrooms evaporate, so water is at most; heat stored in walls.",
    "CO2 brings 10.7 kJ a gram (USDA Handbook 66); a gram's volume is that at the room's warmth.",
)


def verdict(asked: RoomAsked, need: Needs, system: str) -> str:
    """Return the first sentence."""
    low, middle, high = (said(Quantity.FLOW, end, system) for end in need.fresh_m3_s.ends)
    ppm = f"{asked.grow_room.co2_ppm:,.0f} ppm"
    return (
        f"{asked.name}: about {middle} of fresh air holds {ppm}. It may be {low}, it may be {high}:"
        " build for the most."
        if low != high
        else f"{asked.name}: {middle} of fresh air holds {ppm}."
    )


def flags(asked: RoomAsked, wall: Drip | None, until: Range, system: str) -> tuple[str, ...]:
    """Return what speaks against it, what harms people first."""
    found = []
    ppm = asked.grow_room.co2_ppm
    if ppm >= nobody_ppm():
        found.append(
            f"{ppm:,.0f} ppm is wanted here: nobody enters or stays at {nobody_ppm():,.0f} ppm."
        )
    elif ppm >= air_first_ppm():
        found.append(
            f"{ppm:,.0f} ppm is wanted here: from {air_first_ppm():,.0f} ppm the room is aired "
            "before anybody stays, the stay is short, and nobody goes in alone."
        )
    elif until.low < _SOON_MIN:
        found.append(
            f"If the fan stops, {air_first_ppm():,.0f} ppm may be reached within "
            f"{minutes(until.low)}: an alarm of its own, apart from the controller."
        )
    if wall is not None and wall.wet is not Wet.NO:
        drips = "will drip" if wall.wet is Wet.YES else "may drip"
        found.append(
            f"The coldest surface {drips}: its warmth less the dew point is "
            f"{kelvin(wall.margin_k, system)}. Insulate or warm it, or cover what stands below."
        )
    return tuple(found)


def points(asked: RoomAsked, need: Needs, system: str) -> tuple[str, ...]:
    """Return what else is worth knowing."""
    found = []
    room = asked.grow_room
    outside = said(Quantity.TEMPERATURE, asked.outside_c, system)
    coil = said(Quantity.TEMPERATURE, room.coil_c, system)
    if need.cooling_w.high > 0.0 and asked.outside_c < room.coil_c:
        found.append(
            f"The air outside, {outside}, is colder than the coil, {coil}: more outside air cools "
            "for nothing, and the coil may rest."
        )
    elif need.cooling_w.high > 0.0 and asked.outside_c < room.temperature_c:
        found.append(
            f"The air outside, {outside}, is colder than the room: more of it cools for nothing, "
            "but has to be wetted."
        )
    if need.dried_kg_s.high > 0.0 and need.heating_w.high > 0.0:
        found.append(
            "The coil dries more than it may cool: the air is warmed again behind it (reheat)."
        )
    if not room.walls_w_k:
        found.append("Walls are left out: type their U value times area, if heat goes through.")
    if asked.surface_c is None and asked.u_value is None:
        found.append(
            "Measure the coldest surface (a corner, a metal door frame): what is colder than the "
            "dew point drips."
        )
    if "mushrooms growing" not in asked.breaths and not asked.is_measured:
        found.append("Mushrooms on the blocks are left out: before a pick they breathe as well.")
    return tuple(found)


def inputs(here: RoomHere, asked: RoomAsked, system: str) -> tuple[str, ...]:
    """Return where the numbers come from."""
    found = []
    for group in here.groups:
        hangs = weight(group.kilograms, system)
        rate = air_value(f"breath.{group.breather}", group.stage)
        found.append(
            f"By the ledger: {group.units} units of {group.words}, {hangs} by their routes' "
            f"fillings, {group.oldest_days} days at most in this step. Breath: {cited(rate)}"
        )
    for name, breath in asked.breaths.items():
        found.append(f"CO2 of {name}: {figures(breath, 'g/h')}")
    return tuple(found)


def cited(row: Value) -> str:
    """Return a published value with its bounds and its source."""
    source = sources()[row.source]
    year = "" if source.year == "-" else f" {source.year}"
    who = f"{source.authors}{year}" if source.is_publication else source.authors
    if row.quality is Quality.COMMON_PRACTICE:
        who = "common practice, no source"
    low, high = row.low, row.high
    span = "" if low is None or high is None else f", {low:g} to {high:g}"
    return f"{row.value:g}{span} {row.unit} ({row.basis}; {who})."
