"""Whether a chamber held pure steam: its temperature against the saturation line at its pressure.

Below the line there is air left in (Dalton: the steam has only its own part of the pressure) or a
sensor is wrong; above it the steam is superheated or a sensor is wrong. While a chamber comes up
air is expected; what counts is the hold.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import Finding, Severity
from pinset.science.steam.steam import saturation_slope, saturation_temperature
from pinset.science.steam.trapped_air import air_implied

Values = NDArray[float64]

OFF_K = 1.0  # off the line by more, beyond what the sensors may err: air, superheat, or a sensor
HOLD_SHARE = 0.9  # of the rise in pressure: from here on it is the hold
STEAM_C = 85.0  # colder is no steaming at any farm's altitude
DOUBTFUL_AIR = 0.1
"""Share of the moles from which on a cook that passes is in doubt: steam with so much air is 3.4 K
colder at 15 psi by the sea and kills at less than half the rate, and where air collects, colder."""

LASTS_S = 300.0
STEADY = 0.75  # of the hold: so long above the line is no passing thing
MINUTE = 60.0
KPA_PER_BAR = 100.0


@dataclass(frozen=True, slots=True)
class SteamCheck:
    """How the chamber lay to the saturation line while it held."""

    checked_min: float  # length of the hold that could be checked [min]
    off_k: float  # median of chamber less saturation over the hold [K]
    lowest_k: float  # the same at its lowest over five minutes [K]
    highest_k: float
    air: float  # share of the moles that explains the lowest; 0 if none is needed
    findings: tuple[Finding, ...]
    superheat_k: float = 0.0  # above the line through most of the hold; 0: not beyond the errors

    @property
    def air_in_words(self) -> str:
        """What air does to a cook that passes, as a sentence to add; empty: none shows."""
        if self.air <= 0.0:
            return ""
        return (
            f" But about {self.air:.0%} air was left in, or a sensor is wrong: air collects in "
            "places, and units there may have got less than the one that was measured."
        )

    @property
    def superheat_in_words(self) -> str:
        """What a chamber above the line does to a core's readings, as part of a sentence."""
        if self.superheat_k <= 0.0:
            return ""
        return (
            f"the chamber stood {self.superheat_k:.1f} K above the steam of its gauge through the "
            "hold; either the steam was superheated, in which surfaces heat slowly and dry, or "
            "the probes or the gauge read wrong (compare them)"
        )

    @property
    def is_steam(self) -> bool:
        """Whether nothing speaks against pure saturated steam."""
        return not self.findings


def check_steam(
    seconds: Values,
    chamber_c: Values,
    pressure_kpa: Values,
    *,
    error_k: float = 0.0,
    error_kpa: float = 0.0,
    atmosphere_kpa: float | None = None,
) -> SteamCheck | None:
    """Return how a chamber's temperature lies to the saturation line, or None if it never steamed.

    Parameters
    ----------
    seconds, chamber_c, pressure_kpa : ndarray, shape (n,)
        Rising times [s], chamber [degC], absolute pressure. [kPa]
    error_k, error_kpa : float
        Largest errors of probe and gauge.
    atmosphere_kpa : float, optional
        Outside; with it the sentence gives the gauge's reading as well. [kPa]
    """
    low, high = float(np.min(pressure_kpa)), float(np.max(pressure_kpa))
    holds = (pressure_kpa >= low + HOLD_SHARE * (high - low)) & (chamber_c >= STEAM_C)
    lasting = np.gradient(seconds)
    if float(np.sum(lasting[holds])) < LASTS_S:
        return None
    t, chamber, pressure = seconds[holds], chamber_c[holds], pressure_kpa[holds]
    saturated = saturation_temperature(pressure)
    off = chamber - saturated
    allowed = OFF_K + error_k + error_kpa / saturation_slope(saturated)
    smooth = _over_minutes(t, off)
    at_lowest, at_highest = int(np.argmin(smooth)), int(np.argmax(smooth))
    findings = []
    air = 0.0
    if smooth[at_lowest] < -float(allowed[at_lowest]):
        air = float(
            air_implied(float(pressure[at_lowest]), float(saturated[at_lowest] + smooth[at_lowest]))
        )
        findings.append(
            _finding(
                "cook.air",
                pressure[at_lowest],
                saturated[at_lowest],
                smooth[at_lowest],
                atmosphere_kpa,
                f"about {air:.0%} air, or a sensor is wrong",
                "Vent longer before closing, and have probe and gauge checked.",
            )
        )
    if smooth[at_highest] > float(allowed[at_highest]):
        findings.append(
            _finding("cook.superheated", pressure[at_highest], saturated[at_highest],
                     smooth[at_highest], atmosphere_kpa,
                     "the steam is superheated and heats poorly, or a sensor is wrong",
                     "See that there is water. Compare the probes in the same boiling water, and "
                     "the gauge with another one.")
        )  # fmt: skip
    above = smooth > allowed
    is_steady = float(np.sum(lasting[holds][above])) >= STEADY * float(np.sum(lasting[holds]))
    return SteamCheck(
        checked_min=float(np.sum(lasting[holds])) / MINUTE,
        off_k=float(np.median(off)),
        lowest_k=float(smooth[at_lowest]),
        highest_k=float(smooth[at_highest]),
        air=air,
        findings=tuple(findings),
        superheat_k=max(0.0, float(np.median(off))) if is_steady else 0.0,
    )


def _over_minutes(t: Values, off: Values) -> Values:
    """Return the mean over five minutes from each reading on, so that no single one decides."""
    if len(t) == 1:
        return off.copy()
    area = np.concatenate(([0.0], np.cumsum((off[1:] + off[:-1]) / 2 * np.diff(t))))
    ends = np.minimum(t + LASTS_S, t[-1])
    begins = np.maximum(ends - LASTS_S, t[0])
    mean: Values = (np.interp(ends, t, area) - np.interp(begins, t, area)) / (ends - begins)
    return mean


def _finding(
    code: str,
    pressure: float,
    saturated: float,
    off: float,
    atmosphere_kpa: float | None,
    meaning: str,
    hint: str,
) -> Finding:
    said = f"{pressure:.0f} kPa absolute"
    if atmosphere_kpa is not None:
        said = f"{(pressure - atmosphere_kpa) / KPA_PER_BAR:.2f} bar gauge here"
    sentence = (
        f"At {said} steam should be {saturated:.1f} °C; the probe reads {saturated + off:.1f} °C: "
        f"{meaning}."
    )
    return Finding(code, Severity.WARNING, "chamber", sentence, hint)
