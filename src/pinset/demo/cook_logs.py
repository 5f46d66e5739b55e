"""Invented logs of the demo's cooks: by the grid solver, with noise, as a data logger writes them.

Every log has the chamber, the gauge and a probe in the middle of a unit. How its loads conduct is
the simulation's own secret, near the middle case of a plan, as a farm would find out by its first
log. While the door seal leaks, air gets in and the chamber stays colder than
its gauge says.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from io import StringIO

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.grid import Face, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.loads import Filling, fill_of, usual_size
from pinset.science.heating.vapour import vapour_function
from pinset.science.steam.gauge import atmosphere, boiling_point
from pinset.science.steam.steam import saturation_pressure
from pinset.science.steam.trapped_air import temperature_with_air

Values = NDArray[float64]

FREE_AIR = 0.16  # of the vapour estimate; near the middle case's
STIRRED = 4.0  # a liquid turns over, steam moves through straw: conductivity times this
HOT_C = 121.4
STRAW_C = 74.0  # of the straw pasteuriser's steam and air
STEP_S = 60.0
EVERY = 2  # steps between readings of the logger
COOLS_MIN = 90  # that are logged after steam-off
CELLS = (10, 10)
HOLD_STEP = 5  # minutes; cooks within so much share a solution
NOISE_K, GAUGE_NOISE_BAR = 0.12, 0.006
AIR_LEFT = (0.12, 0.19)  # share of air while the seal leaks
STILL = 10.0  # surface coefficient after steam-off, W/(m2 K)


@dataclass(frozen=True, slots=True)
class LoggedLoad:
    """What a kind of cook holds, and how it comes up."""

    filling: Filling
    mass_kg: float
    moisture: float
    come_up_min: int
    is_under_pressure: bool = True


LOADS = {
    "agar": LoggedLoad(Filling.AGAR, 0.5, 0.97, 20),
    "grain": LoggedLoad(Filling.GRAIN, 0.9, 0.48, 30),
    "block": LoggedLoad(Filling.SAWDUST, 2.2, 0.61, 40),
    "straw": LoggedLoad(Filling.STRAW, 6.0, 0.75, 45, is_under_pressure=False),
}


def logged(
    kind: str, hold_minutes: int, began: datetime, altitude_m: float, seed: int, *, leaks: bool
) -> bytes:
    """Return the file a logger would have written of a cook: CSV with time stamps.

    Parameters
    ----------
    kind : str
        ``agar``, ``grain``, ``block`` or ``straw``.
    hold_minutes : int
        The chamber's hold as somebody read it off. [min]
    began : datetime
        When it was loaded, with its zone.
    altitude_m : float
        Of the farm. [m]
    seed : int
        Of the noise, and of how much air gets in.
    leaks : bool
        Whether the door seal leaks.
    """
    random = np.random.default_rng(seed)
    air = float(random.uniform(*AIR_LEFT)) if leaks and LOADS[kind].is_under_pressure else 0.0
    held = HOLD_STEP * round(hold_minutes / HOLD_STEP)
    seconds, chamber, gauge, core = _solved(kind, held, altitude_m, round(air, 2))
    text = StringIO()
    text.write("# invented log of a demo; simulated, no real cook\n")
    text.write("time,chamber [°C],core [°C]")
    text.write(",pressure [bar gauge]\n" if LOADS[kind].is_under_pressure else "\n")
    noisy = [
        chamber + random.normal(0.0, NOISE_K, len(seconds)),
        core + random.normal(0.0, NOISE_K, len(seconds)),
        np.maximum(gauge + random.normal(0.0, GAUGE_NOISE_BAR, len(seconds)), 0.0),
    ]
    for second, hot, inside, bar in list(zip(seconds, *noisy, strict=True))[::EVERY]:
        moment = (began + timedelta(seconds=float(second))).isoformat(timespec="seconds")
        text.write(f"{moment},{hot:.1f},{inside:.1f}")
        text.write(f",{bar:.2f}\n" if LOADS[kind].is_under_pressure else "\n")
    return text.getvalue().encode()


@lru_cache(maxsize=128)
def _solved(
    kind: str, hold_min: int, altitude_m: float, air: float
) -> tuple[Values, Values, Values, Values]:
    """Return times [s], chamber [degC], gauge [bar] and core [degC], without noise."""
    load = LOADS[kind]
    outside = float(atmosphere(altitude_m))
    boiling = float(boiling_point(altitude_m))
    hot = HOT_C if load.is_under_pressure else STRAW_C
    pressure = max(float(saturation_pressure(hot)), outside) if load.is_under_pressure else outside
    reached = float(temperature_with_air(pressure, air)) if air else hot
    up, off = load.come_up_min, load.come_up_min + hold_min
    minutes = np.arange(0.0, off + COOLS_MIN + 0.5)
    falls = min(boiling, hot - 1.0)
    corners = [0.0, up * 0.6, up, off, off + 20, off + 70]
    chamber = np.interp(minutes, corners, [24.0, falls, reached, reached, falls, 45.0])
    rises = [0.0, 0.0, pressure - outside, pressure - outside, 0.0, 0.0]
    gauge = np.interp(minutes, corners, rises) / 100.0
    seconds = minutes * STEP_S
    core = _core(load, seconds, chamber, pressure, off * STEP_S)
    return seconds, chamber, gauge, core


def _core(
    load: LoggedLoad, seconds: Values, chamber: Values, pressure_kpa: float, off_s: float
) -> Values:
    size = usual_size(load.filling, load.mass_kg, load.moisture)
    fill = fill_of(load.filling, size, load.mass_kg, load.moisture)
    conducts = (
        vapour_function(fill.conductivity, FREE_AIR, pressure_kpa)
        if load.is_under_pressure and fill.has_vapour
        else STIRRED * fill.conductivity
    )
    vessel = Vessel(size.radius, (Layer(size.height, conducts, fill.heat_capacity),))
    face = Face(np.where(seconds <= off_s, fill.surface, STILL))
    heated = heat_on_grid(
        vessel, seconds, chamber, 22.0, side=face, top=face, bottom=face, cells=CELLS,
        extrapolate=False,
    )  # fmt: skip
    return heated.core.curve_c
