"""Invented cooks of loads that conduct in ways of their own, by finite differences of their own.

Nothing of it comes from the code it is held against: forward steps on rings and slices. The laws
are invented shapes, no measured load: even; a hump about some temperature; an even fall, as of a
load that dries; an even rise, as of water (Choi & Okos 1986: 0.57 W/(m K) at 0 degC, 0.68 at 100);
a rise towards saturation, as vapour may make; a step, as of something that melts; a dip; a wave.
The levels lie within the measured range of sawdust (Ahn et al. 2009, 0.12 to 0.81 W/(m K)).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.services.cooks.loads import Filling, Heat, LoadPlan

Values = NDArray[float64]
Law = Callable[[Values], Values]

CELLS = 10
EVERY_S, LONGEST_S = 30.0, 12 * 3600.0
START_C, TARGET_MIN = 20.0, 15.0
SOLID = 1.42e3  # heat capacity of dry matter, J/(kg K); memory
WATER = 4.19e3
MOISTURE = 0.6


@dataclass(frozen=True)
class Cook:
    """A cook as it was, and how it was read."""

    law: str
    chamber: str  # steady, cool, cycling, late: heated for a while before its first reading
    load: LoadPlan  # as the grower knows it
    seconds: Values
    chamber_c: Values
    core_c: Values
    end_s: float  # F0 of 15 min in the core
    first_s: float  # of its first reading
    every_s: float  # readings
    digit_k: float  # last digit of them
    noise_k: float

    def read(self, random: np.random.Generator) -> tuple[Values, Values, Values]:
        """Return times, chamber and core as read until the end."""
        t = np.arange(self.first_s, self.end_s, self.every_s)

        def shown(celsius: Values) -> Values:
            noisy = np.interp(t, self.seconds, celsius) + random.normal(0.0, self.noise_k, len(t))
            return np.asarray(np.round(noisy / self.digit_k) * self.digit_k)

        return t, shown(self.chamber_c), shown(self.core_c)


def law_of(name: str, random: np.random.Generator) -> Law:
    """Return a conductivity as a function of temperature."""
    level = random.uniform(0.3, 0.7)
    by, at, wide = (
        random.uniform(0.15, 0.5),
        random.uniform(60.0, 100.0),
        random.uniform(12.0, 30.0),
    )
    return {
        "even": lambda c: level + 0.0 * c,
        "hump": lambda c: level * (1.0 + by * np.exp(-(((c - at) / wide) ** 2))),
        "peak at 80": lambda c: (
            level * (1.0 + by * np.clip((c - 40) / 40, 0, 1) * np.clip((115 - c) / 20, 0.2, 1))
        ),
        "fall": lambda c: level * (1.0 - 0.7 * by * np.clip((c - 20) / 100, 0, 1)),
        "rise": lambda c: level * (1.0 + by * np.clip((c - 20) / 100, 0, 1)),
        "saturation": lambda c: (
            level * (1.0 + 3.0 * by * np.exp((np.minimum(c, 118.0) - 100.0) / 18.0))
        ),
        "step": lambda c: level * (1.0 + (by - 0.3) / (1.0 + np.exp(-(c - at) / 4.0))),
        "dip": lambda c: level * (1.0 - 0.7 * by * np.exp(-(((c - at) / wide) ** 2))),
        "wave": lambda c: level * (1.0 + 0.4 * by * np.sin(c / 0.8 / at * 6.28 + wide)),
    }[name]


LAWS = ("even", "hump", "peak at 80", "fall", "rise", "saturation", "step", "dip", "wave")
CHAMBERS = ("steady", "steady", "cool", "cycling", "late")


def cook_of(seed: int, *, law: str = "", chamber: str = "") -> Cook:
    """Return the cook of a seed; of another law or chamber than the seed's own where it is said."""
    random = np.random.default_rng(seed)
    law = law or str(random.choice(LAWS))
    conducts = law_of(law, random)
    kind = str(random.choice(CHAMBERS))
    kind = chamber or kind
    radius, height = random.uniform(0.045, 0.085), random.uniform(0.12, 0.26)
    density, surface = random.uniform(450.0, 800.0), random.uniform(40.0, 150.0)
    up_s = 60.0 * random.uniform(20.0, 60.0)
    hot_c = random.uniform(116.0, 119.0) if kind == "cool" else random.uniform(120.5, 122.0)
    seconds = np.arange(0.0, LONGEST_S + EVERY_S, EVERY_S)
    around = np.interp(seconds, [0.0, 0.7 * up_s, up_s], [START_C, 99.0, hot_c])
    if kind == "cycling":
        around += np.where(seconds > up_s, 1.2 * np.sin(seconds / 540.0 * 2.0 * np.pi), 0.0)
    stored = density * (MOISTURE * WATER + (1.0 - MOISTURE) * SOLID) * random.uniform(0.95, 1.05)
    inside = _core(radius, height, conducts, stored, surface, seconds, around)
    rate = 10.0 ** ((inside - 121.1) / 10.0)
    along = np.concatenate(([0.0], np.cumsum((rate[1:] + rate[:-1]) / 2.0))) * EVERY_S / 60.0
    every = float(random.choice([30.0, 60.0, 60.0, 300.0]))
    first = up_s + 60.0 * random.uniform(5.0, 60.0) if kind == "late" else 0.0
    return Cook(
        law=law,
        chamber=kind,
        load=LoadPlan(
            heat=Heat.PRESSURE_STEAM,
            filling=Filling.SAWDUST,
            mass_kg=density * np.pi * radius**2 * height,
            moisture=MOISTURE,
            diameter_cm=200.0 * radius,
            height_cm=100.0 * height,
            rating_bar=1.5,
            wanted_c=121.1,
            come_up_min=30.0,
        ),
        seconds=seconds,
        chamber_c=around,
        core_c=inside,
        end_s=float(np.interp(TARGET_MIN, along, seconds)) if along[-1] > TARGET_MIN else np.inf,
        first_s=first,
        every_s=every,
        digit_k=float(random.choice([0.1, 0.1, 0.5, 1.0])),
        noise_k=float(random.choice([0.0, 0.1, 0.2])),
    )


def _core(
    radius: float,
    height: float,
    conducts: Law,
    stored: float,
    surface: float,
    seconds: Values,
    around: Values,
) -> Values:
    """Return the core at these times by forward steps, as long as F0 may not be reached."""
    dr, dz = radius / CELLS, height / 2.0 / CELLS
    edge = dr * np.arange(CELLS + 1)
    area = np.diff(edge**2)[:, None] / 2.0  # over 2 pi, as all that follows
    most = float(np.max(conducts(np.linspace(0.0, 125.0, 126))))
    steps = int(np.ceil(EVERY_S / (0.22 * stored / most / (1.0 / dr**2 + 1.0 / dz**2))))
    step_s = EVERY_S / steps
    field = np.full((CELLS, CELLS), START_C)
    found, earned = np.full(len(seconds), START_C), 0.0
    for at in range(1, len(seconds)):
        for part in range(steps):
            now_c = around[at - 1] + (around[at] - around[at - 1]) * (part + 0.5) / steps
            k = conducts(field)
            out = (k[1:] + k[:-1]) / 2.0 * edge[1:-1, None] * dz * np.diff(field, axis=0) / dr
            up = (k[:, 1:] + k[:, :-1]) / 2.0 * area * np.diff(field, axis=1) / dz
            gain = np.zeros_like(field)
            gain[:-1] += out
            gain[1:] -= out
            gain[:, :-1] += up
            gain[:, 1:] -= up
            gain[-1] += radius * dz * (now_c - field[-1]) / (dr / 2.0 / k[-1] + 1.0 / surface)
            gain[:, -1] += (
                area[:, 0] * (now_c - field[:, -1]) / (dz / 2.0 / k[:, -1] + 1.0 / surface)
            )
            field = field + gain * step_s / (stored * area * dz)
        found[at] = field[0, 0]
        earned += 10.0 ** ((field[0, 0] - 121.1) / 10.0) * EVERY_S / 60.0
        if earned > 1.5 * TARGET_MIN:
            found[at:] = field[0, 0]
            break
    return found
