"""A year of hourly weather for six grow rooms: arrays beside two libraries called in a loop.

Peers, on the same rooms and hours in the same run: psychrolib (in plain Python, as a farm has it)
and CoolProp's real gas, each asked for every state of every hour in every room, the rest of the
balance being plain Python. A part of the hours is enough for them and their time is scaled. Needs
must be those of psychrolib's loop to 1e-9 and near those of the real gas. Prints one line of JSON;
exits 1 if a limit is broken.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable

import numpy as np
from best_of import best
from CoolProp.HumidAirProp import HAPropsSI

from pinset.science.air.gas import HEAT_J_G, PPM, gas_flow
from pinset.science.air.grow_room import GrowRoom, Hours, needs
from pinset.science.air.moist import pressure_at
from pinset.science.air.psychro import psychrolib
from pinset.science.air.ranges import Range

HOURS, ROOMS, LOOPED, REAL = 8760, 6, 500, 60
PLACE = pressure_at(400.0)
LIMITS = {"year_s": 1.0, "psychrolib_ratio": 10.0, "coolprop_ratio": 100.0, "coolprop_off": 0.02}
State = Callable[[float, float], tuple[float, float, float]]  # W, h, v by degC and humidity


def weather() -> tuple[np.ndarray, np.ndarray]:
    """Return an invented year: seasons, days, and scatter."""
    hours = np.arange(HOURS)
    rng = np.random.default_rng(7)
    season = -np.cos(2 * np.pi * hours / HOURS)
    day = -np.cos(2 * np.pi * (hours % 24) / 24)
    celsius = 9.0 + 11.0 * season + 4.0 * day + rng.normal(0.0, 2.0, HOURS)
    return celsius, np.clip(0.75 - 0.15 * day + rng.normal(0.0, 0.08, HOURS), 0.2, 1.0)


def rooms() -> list[GrowRoom]:
    return [
        GrowRoom(
            temperature_c=14.0 + n,
            humidity=0.85 + 0.01 * n,
            co2_ppm=800.0 + 50.0 * n,
            breath_g_h=Range(100.0 + 20.0 * n, 200.0 + 40.0 * n, 400.0 + 80.0 * n),
            walls_w_k=30.0,
            others_w=200.0,
        )
        for n in range(ROOMS)
    ]


def by_psychrolib(celsius: float, humidity: float) -> tuple[float, float, float]:
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, humidity, PLACE)
    return (
        ratio,
        psychrolib.GetMoistAirEnthalpy(celsius, ratio),
        psychrolib.GetMoistAirVolume(celsius, ratio, PLACE),
    )


def by_coolprop(celsius: float, humidity: float) -> tuple[float, float, float]:
    state = ("T", celsius + 273.15, "P", PLACE, "R", humidity)
    return HAPropsSI("W", *state), HAPropsSI("H", *state), HAPropsSI("Vda", *state)


def looped(state: State, celsius: np.ndarray, humid: np.ndarray) -> np.ndarray:
    """Return mist, run-off, heating and cooling of every case, room and hour, one by one."""
    found = np.empty((4, 3, ROOMS, len(celsius)))
    for r, room in enumerate(rooms()):
        for t, (outside_c, outside_rh) in enumerate(zip(celsius, humid, strict=True)):
            inside = state(room.temperature_c, room.humidity)
            outside = state(float(outside_c), float(outside_rh))
            cold = state(room.coil_c, 1.0)[0]
            for case, grams in enumerate(room.breath_g_h.ends):
                found[:, case, r, t] = hour(room, grams, inside, outside, cold, float(outside_c))
    return found


def hour(
    room: GrowRoom,
    grams: float,
    inside: tuple[float, float, float],
    outside: tuple[float, float, float],
    cold: float,
    outside_c: float,
) -> tuple[float, float, float, float]:
    """Return the balance of one hour in one case."""
    gas = gas_flow(grams, room.temperature_c, PLACE)
    dry = gas / ((room.co2_ppm - room.outdoor_ppm) * PPM) / inside[2]
    water = dry * (inside[0] - outside[0])
    vapour = 2.501e6 + 1860.0 * room.temperature_c
    walls = room.walls_w_k * (room.temperature_c - outside_c)
    total = dry * (inside[1] - outside[1]) + walls
    capacity = 1006.0 + 1860.0 * inside[0]
    condensed = (inside[0] - cold) / (capacity * (room.temperature_c - room.coil_c))
    gained = grams / 3600.0 * HEAT_J_G + room.others_w
    wetting = vapour - 4186.0 * room.water_c
    sensible = total - water * vapour - gained
    coil = max(0.0, -water / condensed)
    heating = sensible + wetting * (water + condensed * coil) + coil
    if heating < 0.0:
        coil = -(sensible + wetting * water) / (1.0 + wetting * condensed)
        heating = 0.0
    dried = condensed * coil
    carried = coil + dried * (vapour - 4186.0 * room.coil_c)
    return max(0.0, water + dried), dried, heating, carried


def stacked(found: Hours) -> np.ndarray:
    return np.stack([found.mist_kg_s, found.dried_kg_s, found.heating_w, found.cooling_w])


def main() -> int:
    """Measure, print, judge."""
    celsius, humid = weather()
    ours = best(lambda: needs(rooms(), celsius, humid, PLACE))
    year = stacked(needs(rooms(), celsius, humid, PLACE))
    every = slice(None, None, HOURS // LOOPED)
    few = slice(None, None, HOURS // REAL)
    loop = looped(by_psychrolib, celsius[every], humid[every])
    real = looped(by_coolprop, celsius[few], humid[few])
    scale = np.max(np.abs(year), axis=(1, 2, 3), keepdims=True)
    off = float(np.max(np.abs(loop - year[..., every]) / scale))
    sums, real_sums = year[..., few].sum(axis=-1), real.sum(axis=-1)
    real_off = float(np.max(np.abs(real_sums - sums)[2:] / sums[2:].max(axis=-1, keepdims=True)))
    psychrolib_s = best(lambda: looped(by_psychrolib, celsius[every], humid[every]), 2)
    coolprop_s = best(lambda: looped(by_coolprop, celsius[few], humid[few]), 1)
    figures = {
        "benchmark": "room_year",
        "hours": HOURS,
        "rooms": ROOMS,
        "cases": 3,
        "year_s": round(ours, 4),
        "psychrolib_ratio": round(psychrolib_s * HOURS / len(celsius[every]) / ours, 1),
        "coolprop_ratio": round(coolprop_s * HOURS / len(celsius[few]) / ours, 1),
        "off_psychrolib": float(f"{off:.2g}"),
        "coolprop_off": float(f"{real_off:.2g}"),
        "limits": LIMITS,
    }
    print(json.dumps(figures))
    is_fast = (
        ours <= LIMITS["year_s"]
        and figures["psychrolib_ratio"] >= LIMITS["psychrolib_ratio"]
        and figures["coolprop_ratio"] >= LIMITS["coolprop_ratio"]
    )
    return int(not (is_fast and off < 1e-9 and real_off <= LIMITS["coolprop_off"]))


if __name__ == "__main__":
    sys.exit(main())
