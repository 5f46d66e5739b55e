"""Whether a cook was long enough: what every probe earned, and what the chamber's steam says.

A cook is judged by its slowest core, never by a mean. A probe that may read too high by its error
may have earned less, so every figure comes with its band. The judgement is of temperatures only:
it is not a proof that a load is sterile.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pinset.errors import InputError
from pinset.science.judging.cook_moments import held
from pinset.science.judging.core_doubts import HOTTEST_C
from pinset.science.judging.doubts_settled import (
    findings_of_doubts,
    in_doubt,
    what_it_hangs_on,
)
from pinset.science.judging.findings import (
    HOT_C,
    MINUTE,
    SECONDS_BETWEEN,
    Given,
    ends_in_hold,
    findings_of_log,
    seen_f0,
)
from pinset.science.judging.hold_band import Hold, findings_of_hold, hold_of, said_band
from pinset.science.judging.hold_runs import held_in
from pinset.science.judging.not_shown import findings_of_the_unseen
from pinset.science.judging.off_centre import Middle, middle_of
from pinset.science.judging.records import (
    WANTED_C,
    Judgement,
    Position,
    Probe,
    Role,
    Rule,
    Values,
    Verdict,
)
from pinset.science.judging.rest import (
    findings_of_rest,
    is_lower_short,
    said_of_high,
    said_of_rest,
    with_rest,
)
from pinset.science.lethality.lethality import DOUBTFUL_BELOW_C, f_band, f_of_log
from pinset.science.steam.check import check_steam

FEWEST = 2  # readings of a probe
ANY_F0 = Rule(f0=1.0)  # where none is asked for, and only what was earned is told


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
        Readings at those times; a probe is judged by those it gave. [degC]
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
        If there is no probe, one gave fewer than two readings, or readings do not fit their times.
    """
    if not probes:
        raise InputError("probes", "none", "one or more with readings")
    doubted = [in_doubt(seconds, probe, probes) for probe in probes]
    steam = None
    chamber = [each for each in probes if each.role is Role.CHAMBER]
    if pressure_kpa is not None and chamber:
        coldest = np.min([each.temperature_c for each in chamber], axis=0)
        known = ~(np.isnan(coldest) | np.isnan(pressure_kpa))
        if np.sum(known) >= FEWEST:
            steam = check_steam(
                seconds[known],
                coldest[known],
                pressure_kpa[known],
                error_k=max(each.error_k for each in chamber),
                error_kpa=pressure_error_kpa,
                atmosphere_kpa=atmosphere_kpa,
            )
    given = with_rest(seconds, [_given(seconds, probe) for probe in doubted], steam)
    holds = [hold_of(each, rule) for each in given]
    end_s = float(seconds[-1])
    positions = tuple(
        _position(each, rule, end_s, given, hold) for each, hold in zip(given, holds, strict=True)
    )
    cores = [each for each in positions if each.role is Role.CORE]
    slowest = min(cores, key=lambda each: _earned(each, rule), default=None)
    found = findings_of_doubts(seconds, probes, doubted)
    found += [*findings_of_log(given, positions, rule), *findings_of_rest(given)]
    found += findings_of_hold(holds, positions, rule)
    if steam is not None:
        found += steam.findings
    verdict = _verdict(cores, rule)
    sentence = _sentence(verdict, slowest, rule, positions)
    if verdict is Verdict.PASS:
        if steam is not None and (steam.air_in_words or steam.superheat_k):
            sentence = sentence.replace("Long enough:", "Long enough where it was measured:")
            sentence += steam.air_in_words
        sentence += what_it_hangs_on(seconds, probes)
        found += findings_of_the_unseen(positions)
        if rule is not None:
            sentence += said_of_high(given, rule)
    return Judgement(
        verdict=verdict,
        sentence=sentence,
        slowest=slowest.name if slowest else "",
        positions=positions,
        steam=steam,
        findings=tuple(found),
    )


def _given(seconds: Values, probe: Probe) -> Given:
    if np.shape(probe.temperature_c) != np.shape(seconds):
        accepted = f"{np.size(seconds)} readings, one for each time"
        raise InputError(probe.name, f"{np.size(probe.temperature_c)} readings", accepted)
    known = ~np.isnan(probe.temperature_c)
    if np.sum(known) < FEWEST:
        raise InputError(probe.name, f"{np.sum(known)} readings", f"{FEWEST} or more")
    return Given(probe, seconds[known], probe.temperature_c[known])


def _position(
    given: Given, rule: Rule | None, end_s: float, every: Sequence[Given], hold: Hold | None
) -> Position:
    probe, seconds, temperature_c = given.probe, given.seconds, given.temperature_c
    pieces = given.pieces()
    seen = sum(seen_f0(*each) for each in pieces)
    above = sum(f_of_log(*each, above_c=DOUBTFUL_BELOW_C) for each in pieces)
    max_c = float(np.max(temperature_c))
    if probe.doubt and max_c > HOTTEST_C + probe.error_k:  # no cook's readings: no figure of them
        seen = above = 0.0
    low, high = f_band(seen, probe.error_k)
    chambers = [each for each in every if each.probe.role is Role.CHAMBER]
    is_off = False
    middle = middle_of(given, chambers, rule or ANY_F0) if probe.role is Role.CORE else None
    if middle is not None and middle.f0_min is not None:
        low = min(low, f_band(middle.f0_min, probe.error_k)[0])
        is_off = True
    wanted_c = WANTED_C if rule is None else rule.wanted_c
    come_up, _ = held(seconds, temperature_c, wanted_c)
    short: bool | None = None
    unclear = ""
    if rule is not None and probe.role is Role.CORE:
        short, unclear = _against(given, rule, end_s, seen, hold)
        if short is False and middle is not None and _is_short_in(middle, rule):
            short, unclear = None, middle.words
        cores = [each for each in every if each.probe.role is Role.CORE and each is not given]
        if short and ends_in_hold(given, chambers, rule, [c for c in cores if not c.probe.doubt]):
            last = given.temperature_c[-1]
            short, unclear = None, f"the log ends in the hold, at {last:.0f} °C; hand in the rest"
    return Position(
        name=probe.name,
        role=probe.role,
        f0_min=seen,
        f0_low=low,
        f0_high=high,
        f0_above_110_min=above,
        max_c=max_c,
        come_up_min=come_up,
        hold_min=hold.held.likely if hold else held_in(pieces, wanted_c).likely,
        hold_low=hold.low if hold else None,
        hold_high=hold.high if hold else None,
        error_k=probe.error_k,
        falls_short=short,
        is_off=is_off,
        unclear=unclear,
    )


def _against(
    given: Given, rule: Rule, end_s: float, seen: float, hold: Hold | None
) -> tuple[bool | None, str]:
    """Return whether a core falls short of a rule, or None and why that can't be told."""
    if given.probe.doubt:
        return None, given.probe.doubt
    if not rule.is_short(seen, hold.held.sure if hold else None):
        return (None, said_of_rest(given, rule)) if is_lower_short(given, rule) else (False, "")
    if hold is not None and not rule.is_short(seen, hold.held.most):
        return None, hold.in_words(rule)
    f0 = f_of_log(given.seconds, given.temperature_c)
    whole = [(given.seconds, given.temperature_c)]
    most = None if rule.hold_c is None else held_in(whole, rule.hold_c).most
    if not rule.is_short(f0, most):
        missing = "were missing" if np.any(given.gaps()) else "were far apart"
        return None, f"it is long enough only if nothing went wrong while readings {missing}"
    if end_s - given.last_s > SECONDS_BETWEEN and given.temperature_c[-1] >= HOT_C:
        minutes = (end_s - given.last_s) / MINUTE
        return None, f"it gave no reading in the last {minutes:.0f} min of the log"
    return True, ""


def _is_short_in(middle: Middle, rule: Rule) -> bool:
    """Return whether the middle of a unit may have had too little, or nobody can tell."""
    return middle.f0_min is None or rule.is_short(middle.f0_min, middle.hold_min)


def _verdict(cores: Sequence[Position], rule: Rule | None) -> Verdict:
    if rule is None or not cores:
        return Verdict.UNJUDGED
    if any(each.falls_short for each in cores):
        return Verdict.FAIL
    return Verdict.UNJUDGED if any(each.unclear for each in cores) else Verdict.PASS


def _earned(position: Position, rule: Rule | None) -> float:
    """Return by what cores are told apart: F0, or the hold where only a hold is asked for."""
    if rule is not None and rule.f0 is None:
        return position.hold_min
    return position.f0_min


def _sentence(
    verdict: Verdict, slowest: Position | None, rule: Rule | None, positions: Sequence[Position]
) -> str:
    if slowest is None:
        hottest = max(positions, key=lambda each: each.f0_min)
        who = "The chamber" if hottest.role is Role.CHAMBER else hottest.name
        return (
            f"No probe stood in a unit. {who} earned F0 {hottest.f0_min:.1f} min; a core "
            "earns less and later, so this cook is not judged."
        )
    if rule is None:
        return (
            f"{_said_of(slowest, None)} in the slowest core, {slowest.name}, {_band(slowest)}. "
            "No rule was given, so nothing is passed or failed."
        )
    unclear = next((each for each in positions if each.unclear), None)
    if verdict is Verdict.UNJUDGED and unclear is not None:
        said = f"Not to be told from this log: {unclear.name}: {unclear.unclear}."
        if slowest.unclear and slowest.max_c > HOTTEST_C + slowest.error_k:
            return said  # what it would have earned is nothing that a cook earns
        return f"{said} {_said_of(slowest, rule)} in {slowest.name}."
    asked = []
    if rule.f0 is not None:
        asked.append(f"F0 {rule.f0:g} min")
    if rule.hold_minutes is not None:
        asked.append(f"{rule.hold_minutes:g} min at {rule.hold_in_words}")
    wanted = " and ".join(asked)
    if verdict is Verdict.PASS:
        band = f", {_band(slowest)}" if rule.f0 is not None else said_band(slowest)
        return (
            f"Long enough: {_said_of(slowest, rule)} in the slowest core, {slowest.name}{band}; "
            f"{wanted} asked for."
        )
    short = [each for each in positions if each.falls_short]
    shortest = min(short, key=lambda each: _earned(each, rule))
    said = f"Too short: {_said_of(shortest, rule)} in {shortest.name}; {wanted} asked for."
    if slowest.unclear and _earned(slowest, rule) < _earned(shortest, rule):
        said += (
            f" Slower still, and not to be told from this log: {slowest.name}, "
            f"{_said_of(slowest, rule)}: {slowest.unclear}."
        )
    return said


def _said_of(position: Position, rule: Rule | None) -> str:
    said = []
    if rule is None or rule.f0 is not None:
        said.append(f"F0 {position.f0_min:.1f} min")
    if rule is not None and rule.hold_minutes is not None:
        said.append(f"{position.hold_min:.0f} min at {rule.hold_in_words} or hotter")
    return " and ".join(said)


def _band(position: Position) -> str:
    by = "the probe's error and its place" if position.is_off else "the probe's error"
    return f"between {position.f0_low:.1f} and {position.f0_high:.1f} by {by}"
