"""The chamber of a cook that still goes on: what is known of it so far, minute by minute.

A reading that comes later never changes the minutes before the last one, so what a core earned by
them can't shrink again. Where a probe is missing, the gauge stands for it as saturated steam; that
does not exclude air.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.errors import Finding, Severity
from pinset.science.judging.findings import MOST_BETWEEN
from pinset.science.steam.check import OFF_K, SteamCheck, check_steam
from pinset.science.steam.steam import saturation_temperature

Values = NDArray[float64]

MINUTE = 60.0
PROBE_COUNTS_S = 1800.0
"""So long after a probe's reading a gauge alone does not stand for it: with air left in, the steam
the gauge speaks of would be hotter than the chamber. [s]"""

TOGETHER_S = 60.0
"""A probe and a gauge read within this count as read together. [s]"""

LEAST_KPA = 1.0
FELL_K = 2.0
"""Below its hottest by more, a chamber has fallen."""

INTERRUPTED_K = 5.0
"""Once colder by more than it had been before, a chamber was interrupted."""

RISING_S, RISING_K = 600.0, 1.0
"""Hotter than so long ago by more, it still comes up."""

STEAM_C = 85.0
_FOR_S = 300.0  # a pair of readings is checked as if it lasted so long


@dataclass(frozen=True, slots=True)
class ChamberSoFar:
    """A chamber by its readings. Times count as those of the readings do."""

    seconds: Values  # whole minutes from its first reading on, shape (n,), n at least 1 [s]
    celsius: Values  # shape (n,) [degC]
    is_blind: NDArray[bool_]  # steps in which nothing was read for too long, shape (n - 1,)
    last_s: float  # its last reading [s]
    now_c: float  # at it [degC]
    hottest_c: float
    fell_since_s: float | None  # when it was last at its hottest, if it has fallen since
    is_rising: bool
    is_by_gauge: bool  # its last reading is of the gauge alone
    was_by_gauge: bool  # some reading was
    earlier_c: float  # so long before its last reading as tells whether it rises

    @property
    def was_interrupted(self) -> bool:
        """Whether it fell at some time since its first reading, and not by a little."""
        fell = np.maximum.accumulate(self.celsius) - self.celsius
        return bool(np.max(fell) > INTERRUPTED_K)


def chamber_so_far(
    seconds: Values,
    probe_c: Values,
    pressure_kpa: Values,
    *,
    error_k: float = 0.0,
    lower_s: float = MOST_BETWEEN,
) -> ChamberSoFar | None:
    """Return a chamber by its readings so far, or None if nothing was read of it.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    probe_c : ndarray, shape (n,)
        Probe in the chamber; NaN where there was no reading. [degC]
    pressure_kpa : ndarray, shape (n,)
        Absolute pressure; NaN where there was no reading. [kPa]
    error_k : float
        Largest error of the probe. [K]
    lower_s : float
        Between readings further apart the chamber is taken as cold as the colder of both. [s]

    Returns
    -------
    ChamberSoFar or None
        Linear between readings closer together. More than half an hour between them counts for
        nothing.
        A probe that is hotter than steam can be counts as that steam.
    """
    steam_c = np.full(len(seconds), np.nan)
    pressed = ~np.isnan(pressure_kpa) & (pressure_kpa >= LEAST_KPA)
    steam_c[pressed] = saturation_temperature(pressure_kpa[pressed])
    probed = ~np.isnan(probe_c)
    used = np.where(probed, probe_c, steam_c)
    too_hot = probed & pressed & (probe_c > steam_c + OFF_K + error_k)
    used[too_hot] = steam_c[too_hot]
    before = np.maximum.accumulate(np.where(probed, seconds, -np.inf))
    alone = pressed & ~probed & (seconds - before > PROBE_COUNTS_S)
    known = probed | alone
    if not np.any(known):
        return None
    return _along(seconds[known], used[known], alone[known], lower_s)


def _along(t: Values, celsius: Values, alone: NDArray[bool_], lower_s: float) -> ChamberSoFar:
    minutes = t[0] + np.arange(0.0, t[-1] - t[0] + 1e-9, MINUTE)
    curve = np.interp(minutes, t, celsius)
    steps = np.diff(t)
    gaps = np.flatnonzero(steps > lower_s)
    is_blind = np.zeros(len(minutes) - 1, dtype=bool_)
    for gap in gaps:
        inside = (minutes > t[gap]) & (minutes < t[gap + 1])
        curve[inside] = min(celsius[gap], celsius[gap + 1])
        if steps[gap] > MOST_BETWEEN:
            is_blind |= (minutes[1:] > t[gap]) & (minutes[:-1] < t[gap + 1])
    hottest = float(np.max(celsius))
    fell_since = None
    if celsius[-1] < hottest - FELL_K:
        fell_since = float(t[np.flatnonzero(celsius >= hottest - FELL_K)[-1]])
    earlier = float(np.interp(t[-1] - RISING_S, t, celsius))
    return ChamberSoFar(
        seconds=minutes,
        celsius=curve,
        is_blind=is_blind,
        last_s=float(t[-1]),
        now_c=float(celsius[-1]),
        hottest_c=hottest,
        fell_since_s=fell_since,
        is_rising=bool(celsius[-1] > earlier + RISING_K),
        is_by_gauge=bool(alone[-1]),
        was_by_gauge=bool(np.any(alone)),
        earlier_c=earlier,
    )


def steam_now(
    seconds: Values,
    probe_c: Values,
    pressure_kpa: Values,
    *,
    error_k: float = 0.0,
    error_kpa: float = 0.0,
    atmosphere_kpa: float | None = None,
) -> SteamCheck | None:
    """Return how the last probe and gauge that were read together lie to the saturation line.

    Parameters, errors as :func:`chamber_so_far` and
    :func:`~pinset.science.steam.check.check_steam`.

    Returns
    -------
    SteamCheck or None
        Of that one pair, taken as lasting; None if there is no pair of the last ten minutes, or it
        is too cold for steam. Without pressure and below boiling nothing is told of air: that is
        said instead.
    """
    probed, pressed = np.flatnonzero(~np.isnan(probe_c)), np.flatnonzero(~np.isnan(pressure_kpa))
    if len(probed) == 0 or len(pressed) == 0:
        return None
    apart = np.abs(seconds[probed][:, None][-_LATEST:] - seconds[pressed][-_LATEST:])
    near = np.argwhere(apart <= TOGETHER_S)
    near = near[seconds[probed[-_LATEST:][near[:, 0]]] >= seconds[-1] - RISING_S]
    if len(near) == 0:
        return None
    row, column = near[np.argmax(near.sum(axis=1))]
    probe = float(probe_c[probed[-_LATEST:][row]])
    pressure = float(pressure_kpa[pressed[-_LATEST:][column]])
    if probe < STEAM_C or pressure < LEAST_KPA:
        return None
    if atmosphere_kpa is not None and pressure <= atmosphere_kpa + _NO_PRESSURE_KPA + error_kpa:
        boiling = float(saturation_temperature(atmosphere_kpa))
        if probe < boiling - OFF_K - error_k:
            return _below_boiling(probe, boiling)
    return check_steam(
        np.array([0.0, _FOR_S]),
        np.array([probe, probe]),
        np.array([pressure, pressure]),
        error_k=error_k,
        error_kpa=error_kpa,
        atmosphere_kpa=atmosphere_kpa,
    )


def _below_boiling(probe: float, boiling: float) -> SteamCheck:
    sentence = (
        f"The chamber, {probe:.1f} °C, is below boiling here ({boiling:.1f} °C) and without "
        "pressure: there is no steam by which to tell whether air was left in."
    )
    hint = "Once water boils again, let it vent until probe and gauge agree."
    found = Finding("watch.below-boiling", Severity.NOTE, "chamber", sentence, hint)
    off = probe - boiling
    return SteamCheck(_FOR_S / MINUTE, off, off, off, 0.0, (found,))


_NO_PRESSURE_KPA = 3.0  # what a gauge at rest may show beside its error, and weather; our choice
_LATEST = 20  # readings of either that are looked through for a pair
