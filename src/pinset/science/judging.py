"""Whether a cook was long enough: what every probe earned, and what the chamber's steam says.

A cook is judged by its slowest core, never by a mean. A probe that may read too high by its error
may have earned less, so every figure comes with its band. The judgement is of temperatures only:
it is not a proof that a load is sterile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import Finding, InputError, Severity
from pinset.science.lethality import DOUBTFUL_BELOW_C, f_band, f_of_log
from pinset.science.steam_check import SteamCheck, check_steam

Values = NDArray[float64]

MINUTE = 60.0  # s
SECONDS_BETWEEN = 300.0  # readings further apart than this leave too much to guess
HOT_C = 90.0  # a load that never came there was not cooked
MOST_MINUTES = 10_000.0
LEAST_HOLD_C, MOST_HOLD_C = 40.0, 140.0
MOSTLY = 0.5  # of F0 earned above 110 degC: less is doubtful
UNKNOWN_ERROR_K = 0.5  # of a probe whose error nobody has written down


class Role(StrEnum):
    """Where a probe stood."""

    CORE = "core"  # in the middle of a unit
    CHAMBER = "chamber"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Probe:
    """One probe's readings."""

    name: str
    role: Role
    temperature_c: Values
    error_k: float = UNKNOWN_ERROR_K  # largest error either way
    is_error_known: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """What a farm asks of its cooks; what is None is not asked."""

    f0: float | None = None  # least F0 (121.1 degC, 10 K) of the slowest core [min]
    hold_c: float | None = None  # every core at this or above ... [degC]
    hold_minutes: float | None = None  # ... for so long without falling below

    def __post_init__(self) -> None:
        """Refuse a rule that asks for nothing, or for nonsense."""
        if self.f0 is None and self.hold_minutes is None:
            raise InputError("rule", "nothing", "f0=MINUTES or hold=DEGREES/MINUTES")
        if (self.hold_c is None) is not (self.hold_minutes is None):
            raise InputError("hold", "one of two", "a temperature and how long")
        for name in ("f0", "hold_minutes"):
            value = getattr(self, name)
            if value is not None and not 0.0 < value <= MOST_MINUTES:
                raise InputError(name, value, f"above 0 to {MOST_MINUTES:g} min")
        if self.hold_c is not None and not LEAST_HOLD_C <= self.hold_c <= MOST_HOLD_C:
            raise InputError("hold_c", self.hold_c, f"{LEAST_HOLD_C:g} to {MOST_HOLD_C:g} degC")


class Verdict(StrEnum):
    """What a cook is held for."""

    PASS = "pass"  # noqa: S105  (no password)
    FAIL = "fail"
    UNJUDGED = "unjudged"


@dataclass(frozen=True, slots=True)
class Position:
    """What one probe says."""

    name: str
    role: Role
    f0_min: float
    f0_low: float  # if the probe reads too high by its error
    f0_high: float
    f0_above_110_min: float
    max_c: float
    come_up_min: float | None  # from the first reading to the hold, None: never there
    hold_min: float | None  # longest time at the hold's temperature; None: no hold asked for
    error_k: float
    falls_short: bool | None  # None: no rule, or not a core


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a log says of a cook."""

    verdict: Verdict
    sentence: str
    slowest: str  # name of the core that decides; empty: none
    positions: tuple[Position, ...]
    steam: SteamCheck | None
    findings: tuple[Finding, ...]


def judge(
    seconds: Values,
    probes: Sequence[Probe],
    rule: Rule | None = None,
    *,
    pressure_kpa: Values | None = None,
    pressure_error_kpa: float = 0.0,
    atmosphere_kpa: float | None = None,
) -> Judgement:
    """Return what a log says of a cook.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times of the readings. [s]
    probes : sequence of Probe
        Readings at those times. [degC]
    rule : Rule, optional
        What the farm asks. Without one nothing is passed or failed.
    pressure_kpa : ndarray, shape (n,), optional
        Absolute pressure of the chamber. [kPa]
    pressure_error_kpa : float
        Largest error of it. [kPa]
    atmosphere_kpa : float, optional
        Outside, to say what the gauge reads. [kPa]

    Raises
    ------
    InputError
        If there is no probe, readings do not fit their times, or a value is missing.
    """
    if not probes:
        raise InputError("probes", "none", "one or more with readings")
    positions = tuple(_position(seconds, probe, rule) for probe in probes)
    cores = [each for each in positions if each.role is Role.CORE]
    slowest = min(cores, key=lambda each: each.f0_min, default=None)
    steam = None
    chamber = [each for each in probes if each.role is Role.CHAMBER]
    if pressure_kpa is not None and chamber:
        steam = check_steam(
            seconds,
            np.min([each.temperature_c for each in chamber], axis=0),
            pressure_kpa,
            error_k=max(each.error_k for each in chamber),
            error_kpa=pressure_error_kpa,
            atmosphere_kpa=atmosphere_kpa,
        )
    found = [*_findings_of_log(seconds, probes, positions, rule)]
    if steam is not None:
        found += steam.findings
    verdict = _verdict(cores, rule)
    return Judgement(
        verdict=verdict,
        sentence=_sentence(verdict, slowest, rule, positions),
        slowest=slowest.name if slowest else "",
        positions=positions,
        steam=steam,
        findings=tuple(found),
    )


def _position(seconds: Values, probe: Probe, rule: Rule | None) -> Position:
    f0 = f_of_log(seconds, probe.temperature_c)
    low, high = f_band(f0, probe.error_k)
    above = f_of_log(seconds, probe.temperature_c, above_c=DOUBTFUL_BELOW_C)
    come_up = hold = None
    short: bool | None = None
    if rule is not None and rule.hold_c is not None:
        come_up, hold = held(seconds, probe.temperature_c, rule.hold_c)
    if rule is not None and probe.role is Role.CORE:
        short = rule.f0 is not None and f0 < rule.f0
        if rule.hold_minutes is not None and hold is not None:
            short = short or hold < rule.hold_minutes
    return Position(
        name=probe.name,
        role=probe.role,
        f0_min=f0,
        f0_low=low,
        f0_high=high,
        f0_above_110_min=above,
        max_c=float(np.max(probe.temperature_c)),
        come_up_min=come_up,
        hold_min=hold,
        error_k=probe.error_k,
        falls_short=short,
    )


def held(seconds: Values, temperature_c: Values, at_c: float) -> tuple[float | None, float]:
    """Return when a temperature was first reached, and the longest time at it or above, in min.

    Crossings are taken on the straight line between two readings.
    """
    hot = temperature_c >= at_c
    if not np.any(hot):
        return None, 0.0
    turns = np.flatnonzero(hot[1:] != hot[:-1])
    before, after = temperature_c[turns], temperature_c[turns + 1]
    crossed = seconds[turns] + (at_c - before) / (after - before) * np.diff(seconds)[turns]
    begins, ends = crossed[hot[turns + 1]], crossed[~hot[turns + 1]]
    if hot[0]:
        begins = np.concatenate((seconds[:1], begins))
    if hot[-1]:
        ends = np.concatenate((ends, seconds[-1:]))
    longest = float(np.max(ends - begins))
    return (float(begins[0]) - float(seconds[0])) / MINUTE, longest / MINUTE


def _verdict(cores: Sequence[Position], rule: Rule | None) -> Verdict:
    if rule is None or not cores:
        return Verdict.UNJUDGED
    return Verdict.FAIL if any(each.falls_short for each in cores) else Verdict.PASS


def _sentence(
    verdict: Verdict, slowest: Position | None, rule: Rule | None, positions: Sequence[Position]
) -> str:
    if slowest is None:
        hottest = max(positions, key=lambda each: each.f0_min)
        return (
            f"No probe stood in a unit. The chamber earned F0 {hottest.f0_min:.1f} min; a core "
            "earns less and later, so this cook is not judged."
        )
    earned = f"F0 {slowest.f0_min:.1f} min in the slowest core, {slowest.name}"
    band = f"between {slowest.f0_low:.1f} and {slowest.f0_high:.1f} by the probe's error"
    if rule is None:
        return f"{earned}, {band}. No rule was given, so nothing is passed or failed."
    asked = []
    if rule.f0 is not None:
        asked.append(f"F0 {rule.f0:g} min")
    if rule.hold_minutes is not None and slowest.hold_min is not None:
        asked.append(f"{rule.hold_minutes:g} min at {rule.hold_c:g} °C")
    wanted = " and ".join(asked)
    if verdict is Verdict.PASS:
        return f"Long enough: {earned}, {band}; {wanted} asked for."
    shortest = min((each for each in positions if each.falls_short), key=lambda each: each.f0_min)
    held_for = (
        f", held {shortest.hold_min:.0f} min at {rule.hold_c:g} °C"
        if rule.hold_minutes is not None
        else ""
    )
    return (
        f"Too short: F0 {shortest.f0_min:.1f} min in {shortest.name}{held_for}; {wanted} asked for."
    )


def _findings_of_log(
    seconds: Values, probes: Sequence[Probe], positions: Sequence[Position], rule: Rule | None
) -> list[Finding]:
    found = []
    steps = np.diff(seconds)
    widest = int(np.argmax(steps))
    if steps[widest] > SECONDS_BETWEEN:
        hot = max(float(np.max(each.temperature_c[widest : widest + 2])) for each in probes)
        if hot >= HOT_C:
            found.append(
                Finding(
                    "cook.gap",
                    Severity.WARNING,
                    "log",
                    f"{steps[widest] / MINUTE:.0f} min without a reading while it was hot; what "
                    "happened in between is a straight line here.",
                    "A shorter gap, or a second probe, would tell.",
                )
            )
    cores = [each for each in positions if each.role is Role.CORE]
    if not cores:
        found.append(
            Finding(
                "cook.no-core",
                Severity.WARNING,
                "log",
                "No probe stood in the middle of a unit, and the core trails the chamber by hours.",
                "Put a probe into the middle of the unit that heats slowest.",
            )
        )
    found += [
        Finding(
            "cook.uncalibrated",
            Severity.NOTE,
            probe.name,
            f"Its error is not known; {probe.error_k:g} K either way is taken.",
            "Compare it with a reference thermometer and write that down.",
        )
        for probe in probes
        if not probe.is_error_known
    ]
    for each in cores:
        if rule is not None and rule.f0 is not None and each.f0_low < rule.f0 <= each.f0_min:
            found.append(
                Finding(
                    "cook.within-error",
                    Severity.WARNING,
                    each.name,
                    f"If this probe reads {each.error_k:g} K too high, F0 is {each.f0_low:.1f} min "
                    f"and not the {rule.f0:g} asked for.",
                    "Hold a little longer, or have the probe calibrated.",
                )
            )
        if each.f0_min > 0 and each.f0_above_110_min < MOSTLY * each.f0_min:
            found.append(
                Finding(
                    "cook.mostly-below-110",
                    Severity.WARNING,
                    each.name,
                    f"Only {each.f0_above_110_min:.1f} of F0 {each.f0_min:.1f} min were earned "
                    "above 110 °C; below, the usual z promises more than it keeps.",
                )
            )
    return found
