"""What was read of a cook so far, without the readings that leap away from the others."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.science.steam.steam import saturation_temperature
from pinset.science.watching.chamber import LEAST_KPA
from pinset.science.watching.doubts import Leap, leaping, leaps_up_at_end

Values = NDArray[float64]


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read; NaN where one was not read. Shapes (n,)."""

    seconds: Values
    probe_c: Values
    pressure_kpa: Values
    core_c: Values


def steam_of(pressure_kpa: Values) -> Values:
    """Return saturated steam's temperatures, NaN where no pressure was read, in degC."""
    steam_c = np.full(len(pressure_kpa), np.nan)
    pressed = ~np.isnan(pressure_kpa) & (pressure_kpa >= LEAST_KPA)
    steam_c[pressed] = saturation_temperature(pressure_kpa[pressed])
    return steam_c


def without_leaps(read: Readings) -> tuple[Readings, tuple[Leap, ...]]:
    """Return the readings without those that leap away, and these."""
    steam_c = steam_of(read.pressure_kpa)
    of_probe = leaping(read.seconds, read.probe_c, is_core=False)
    of_gauge = leaping(read.seconds, steam_c, is_core=False)
    of_core = leaping(read.seconds, read.core_c, is_core=True)
    leaps = [
        leap
        for record, celsius, off in (
            ("core", read.core_c, of_core),
            ("chamber", read.probe_c, of_probe),
            ("gauge", steam_c, of_gauge),
        )
        for leap in _leaps(record, read.seconds, celsius, off)
    ]
    kept = replace(
        read,
        probe_c=np.where(of_probe, np.nan, read.probe_c),
        pressure_kpa=np.where(of_gauge, np.nan, read.pressure_kpa),
        core_c=np.where(of_core, np.nan, read.core_c),
    )
    return kept, tuple(leaps)


def without_last(read: Readings) -> tuple[Readings, tuple[Leap, ...]] | None:
    """Return the readings without a last one far above the one before; None: there is none."""
    steam_c = steam_of(read.pressure_kpa)
    kept, leaps = read, []
    for record, name, celsius in (
        ("core", "core_c", read.core_c),
        ("chamber", "probe_c", read.probe_c),
        ("gauge", "pressure_kpa", steam_c),
    ):
        if not leaps_up_at_end(celsius):
            continue
        off = np.zeros(len(celsius), dtype=bool)
        off[np.flatnonzero(~np.isnan(celsius))[-1]] = True
        leaps += _leaps(record, read.seconds, celsius, off)
        kept = replace(kept, **{name: np.where(off, np.nan, getattr(read, name))})
    return (kept, tuple(leaps)) if leaps else None


def _leaps(record: str, seconds: Values, celsius: Values, off: NDArray[bool_]) -> list[Leap]:
    last = np.flatnonzero(~np.isnan(celsius) & ~off)
    end = int(last[-1]) if len(last) else -1
    return [
        Leap(record, float(seconds[at]), float(celsius[at]), bool(at > end))
        for at in np.flatnonzero(off)
    ]
