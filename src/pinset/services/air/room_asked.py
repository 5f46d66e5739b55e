"""A grow room as a form describes it: filled from the farm's records, read back into SI."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.register import FarmBook, Room
from pinset.errors import InputError
from pinset.science.air.breath import (
    Breather,
    Hanging,
    Stage,
    mushroom_breath,
    substrate_breath,
)
from pinset.science.air.grow_room import GrowRoom, Mist
from pinset.science.air.ranges import Range
from pinset.science.air.running_cost import Plant, Prices
from pinset.services.air.hanging import DOES, Group, hanging_in
from pinset.services.air.typed import Typed
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.tables.room_climate import Band, climate_of
from pinset.units import Quantity, convert, rounded

OUTDOOR_PPM = 420.0
KINDS = tuple(f"{breather}.{stage}" for breather in Breather for stage in Stage)
"""What else may hang in a room: whose breath, and what it does."""

GUESSED = {"heat-share": "90 %", "cop": "3", "fan-share": "40 %", "mist-share": "80 %"}
"""How well a plant does what it does, until the farm types its own (first guesses)."""

_USUAL_HUMIDITY, _USUAL_CO2 = 0.9, 1000.0
_METRIC = {"cold": "12 °C", "coil": "4 °C", "fan-pressure": "150 Pa"}
_US = {"cold": "54 °F", "coil": "39 °F", "fan-pressure": "0.6 in wg"}


@dataclass(frozen=True, slots=True)
class RoomHere:
    """A room of the farm with what hangs in it."""

    book: FarmBook
    room: Room
    groups: tuple[Group, ...]
    usual: Mapping[str, str]  # what its form begins with


@dataclass(frozen=True, slots=True)
class RoomAsked:
    """A room as it was typed."""

    name: str
    grow_room: GrowRoom
    breaths: Mapping[str, Range]  # CO2 by whose it is [g/h]
    is_measured: bool
    substrate_kg: float
    free_m3: float
    outside_c: float
    outside_humidity: float
    altitude_m: float
    surface_c: float | None
    u_value: float | None
    fan_pa: float
    fan_share: float
    plant: Plant | None  # None: no prices
    prices: Prices | None
    picked_kg_day: float


def room_here(code: str, now: datetime | None = None) -> RoomHere:
    """Return a room with what hangs in it and what its form begins with.

    Raises
    ------
    RefusedError
        If the farm has no such room.
    """
    book, today = planning_day.farm_book(now or now_utc())
    groups = hanging_in(code, book, today)
    room = next(each for each in book.rooms if each.code == code)
    return RoomHere(book, room, groups, _usual(book, room, groups))


def _usual(book: FarmBook, room: Room, groups: Sequence[Group]) -> dict[str, str]:
    system = book.farm.units
    humidity, co2 = _wanted(groups)
    own = _US if system == "us" else _METRIC
    kilograms = {group.key: _shown(Quantity.MASS, group.kilograms, system) for group in groups}
    return {
        **GUESSED,
        **kilograms,
        "temperature": _shown(Quantity.TEMPERATURE, room.temperature_c, system),
        "humidity": f"{humidity * 100:.0f} %",
        "co2": f"{co2:.0f}",
        "outdoor-co2": f"{OUTDOOR_PPM:.0f}",
        "altitude": _shown(Quantity.LENGTH, book.farm.altitude_m, system),
        "mist": Mist.COLD,
        "mist-water": own["cold"],
        "coil": own["coil"],
        "fan-pressure": own["fan-pressure"],
    }


_TYPED_IN = {
    "metric": {Quantity.MASS: "kg", Quantity.TEMPERATURE: "°C", Quantity.LENGTH: "m"},
    "us": {Quantity.MASS: "lb", Quantity.TEMPERATURE: "°F", Quantity.LENGTH: "ft"},
}


def _shown(quantity: Quantity, value: float, system: str) -> str:
    unit = _TYPED_IN[system][quantity]
    number = float(rounded(convert(quantity, value, unit), 1))
    return f"{number:.9g} {unit}"


def _wanted(groups: Sequence[Group]) -> tuple[float, float]:
    """Return humidity and CO2 that suit all that fruits here: the strictest of what is known."""
    climates = []
    for group in groups:
        if group.stage is Stage.FRUITING and group.species:
            try:
                climates.append(climate_of(group.species))
            except InputError:
                continue  # nothing is published of it here
    humid = [each.humidity for each in climates if each.humidity]
    gas = [each.co2_ppm.high for each in climates if each.co2_ppm]
    return _shared(humid), min(gas, default=_USUAL_CO2)


def _shared(bands: Sequence[Band]) -> float:
    if not bands:
        return _USUAL_HUMIDITY
    low, high = max(band.low for band in bands), min(band.high for band in bands)
    return (low + high) / 2.0


def read_room(here: RoomHere, form: Typed) -> RoomAsked:
    """Return what was typed of a room.

    Raises
    ------
    InputError
        If something is missing or cannot be; its field is the one of the form.
    """
    celsius = form.measure("temperature", Quantity.TEMPERATURE)
    breaths = _breaths(here.groups, form, celsius)
    total = Range(0.0, 0.0, 0.0)
    for breath in breaths.values():
        total = total.plus(breath)
    own = form.span("own", "g/h", "g/h of a closed-vent test: 45, or 38-52") if _own(form) else None
    if own is None and total.high <= 0.0:
        raise InputError("other-kg", form.given("other-kg"), "the weight of what hangs in the room")
    plant, prices = _bought(form)
    return RoomAsked(
        name=here.room.name,
        grow_room=GrowRoom(
            temperature_c=celsius,
            humidity=form.humidity("humidity"),
            co2_ppm=form.ppm("co2"),
            breath_g_h=own or total,
            walls_w_k=form.number_or("walls", 0.0, 0.0, 1e5, "0 to 100,000 W/K", "W/K"),
            others_w=form.least("others", Quantity.POWER),
            least_fresh_m3_s=form.least("least-fresh", Quantity.FLOW),
            mist=Mist.STEAM if form.given("mist") == Mist.STEAM else Mist.COLD,
            water_c=form.measure("mist-water", Quantity.TEMPERATURE),
            coil_c=form.measure("coil", Quantity.TEMPERATURE),
            outdoor_ppm=form.ppm("outdoor-co2", OUTDOOR_PPM),
        ),
        breaths={"what hangs here": own} if own else breaths,
        is_measured=own is not None,
        substrate_kg=_weight(here.groups, form),
        free_m3=form.above("volume", Quantity.VOLUME),
        outside_c=form.measure("outside", Quantity.TEMPERATURE),
        outside_humidity=form.humidity("outside-humidity"),
        altitude_m=form.measure("altitude", Quantity.LENGTH) if form.given("altitude") else 0.0,
        surface_c=form.measure("surface", Quantity.TEMPERATURE) if form.given("surface") else None,
        u_value=_u_value(form),
        fan_pa=form.least("fan-pressure", Quantity.GAUGE_PRESSURE),
        fan_share=_share(form, "fan-share"),
        plant=plant,
        prices=prices,
        picked_kg_day=form.least("picked", Quantity.MASS),
    )


def _own(form: Typed) -> bool:
    return bool(form.given("own"))


def _u_value(form: Typed) -> float | None:
    if not form.given("u-value"):
        return None
    return form.number("u-value", 0.0, 8.0, "0 to 8 W/(m² K)")


def _share(form: Typed, name: str) -> float:
    return form.number(name, 1.0, 100.0, "1 to 100 %", "%") / 100.0


def _weight(groups: Sequence[Group], form: Typed) -> float:
    known = sum(form.least(group.key, Quantity.MASS) for group in groups)
    return known + form.least("other-kg", Quantity.MASS)


def _breaths(groups: Sequence[Group], form: Typed, celsius: float) -> dict[str, Range]:
    found: dict[str, Range] = {}
    for group in groups:
        parts = group.weighing(form.least(group.key, Quantity.MASS))
        total = Range(0.0, 0.0, 0.0)
        for part in parts:
            total = total.plus(substrate_breath(part, celsius))
        found[group.words] = total
    other = form.given("other") or KINDS[-1]
    if other not in KINDS:
        raise InputError("other", other, "one of those listed")
    breather, _, stage = other.partition(".")
    weight = form.least("other-kg", Quantity.MASS)
    words = f"what else hangs here, {DOES[Stage(stage)]}"
    found[words] = substrate_breath(Hanging(Breather(breather), Stage(stage), weight), celsius)
    growing = form.least("growing", Quantity.MASS)
    found["mushrooms growing"] = mushroom_breath(growing, celsius)
    return {name: breath for name, breath in found.items() if breath.high > 0.0}


def _bought(form: Typed) -> tuple[Plant | None, Prices | None]:
    """Return plant and prices; none where no price was typed."""
    names = ("heat-price", "power-price", "water-price")
    money = "money, 0 or more"
    if not any(form.given(name) for name in names):
        return None, None
    heat, power, water = (form.number_or(name, 0.0, 0.0, 1e6, money) for name in names)
    plant = Plant(
        heating_efficiency=_share(form, "heat-share"),
        cooling_cop=form.number("cop", 0.1, 20.0, "0.1 to 20"),
        fan_pa=form.least("fan-pressure", Quantity.GAUGE_PRESSURE),
        fan_efficiency=_share(form, "fan-share"),
        mist_taken_up=_share(form, "mist-share"),
    )
    return plant, Prices(heat, power, water)
