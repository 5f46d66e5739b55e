"""Temperatures of a cook as lines to be drawn: of a log that was judged, of a cook worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

from pinset.errors import InputError, RefusedError
from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import UNKNOWN, read_log
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn, Use
from pinset.science.judging.cook_moments import earned_along, longest_hold_s, rate_along, reached_s
from pinset.science.judging.cook_rules import rule_from_words
from pinset.science.judging.records import Rule
from pinset.science.steam.gauge import atmosphere
from pinset.science.steam.steam import saturation_temperature
from pinset.science.thinning import Piece, thinned
from pinset.services.cooks.ahead.planning import CookPlan
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import FEWEST

MINUTE = 60.0
KPA_LEAST = 1.0
PASSED = "pass"


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A temperature over time. Points are minutes and degC."""

    name: str
    role: str  # core, chamber, other, steam
    pieces: tuple[Piece, ...]
    is_ruling: bool = False  # the core the verdict or the advice rests on
    is_probe: bool = False  # named as in the logger's file, whatever that name is


@dataclass(frozen=True, slots=True)
class HeatLines:
    """What is drawn of a cook."""

    lines: tuple[HeatLine, ...]
    killing: tuple[Piece, ...] = ()  # minutes, lethal rate of the ruling core
    enough_min: float | None = None  # from here on every core had what the rule asks for
    started: str = ""  # ISO 8601 of minute 0
    earned: tuple[Piece, ...] = ()  # minutes, F0 of the ruling core so far
    held_min: tuple[float, float] | None = None  # its longest hold at the rule's temperature


@dataclass(frozen=True, slots=True)
class Verdict:
    """What of a verdict a drawing needs."""

    verdict: str  # pass, fail, unjudged
    slowest: str
    rule: Rule | None
    altitude_m: float
    started: str


def letter(number: int) -> str:
    """Return what a line is told apart by: A to Z, then A2 to Z2 and so on."""
    turn, place = divmod(number, len(ascii_uppercase))
    return ascii_uppercase[place] + (str(turn + 1) if turn else "")


def lines_of_log(log: CookLog, judged: JudgedCook) -> HeatLines:
    """Return the lines of a log that was judged.

    Examples
    --------
    On a page, in the farm's units::

        judged, log = judge_file(data, name, read_rule("f0=15"), altitude_m=farm.altitude_m)
        drawing = drawn(lines_of_log(log, judged), names, judged.sentence)
    """
    rule = rule_from_words(judged.rule)
    of = Verdict(judged.verdict, judged.slowest, rule, judged.altitude_m, judged.started)
    return _lines(log, of)


def _lines(log: CookLog, of: Verdict) -> HeatLines:
    minutes = log.seconds / MINUTE
    probes = [
        column
        for column in log.columns
        if column.use is Use.TEMPERATURE and log.known([column]).any()
    ]
    lines = [
        HeatLine(
            column.name,
            column.role.value,
            thinned(minutes, column.values),
            is_ruling=column.name == of.slowest,
            is_probe=True,
        )
        for column in probes
    ]
    killing: tuple[Piece, ...] = ()
    earned: tuple[Piece, ...] = ()
    held: tuple[float, float] | None = None
    for column in probes:
        if column.name == of.slowest and int(log.known([column]).sum()) >= FEWEST:
            killing = thinned(minutes, rate_along(column.values))
            earned = thinned(minutes, earned_along(log.seconds, column.values))
            held = _held(log, column, of.rule)
    return HeatLines(
        lines=(*lines, *_steam(log, of.altitude_m)),
        killing=killing,
        enough_min=_enough(log, of),
        started=of.started,
        earned=earned,
        held_min=held,
    )


def _held(log: CookLog, column: LogColumn, rule: Rule | None) -> tuple[float, float] | None:
    if rule is None or rule.hold_c is None:
        return None
    found = longest_hold_s(log.seconds, column.values, rule.hold_c)
    return None if found is None else (found[0] / MINUTE, found[1] / MINUTE)


def _enough(log: CookLog, of: Verdict) -> float | None:
    """Return the minute at which the last core had what was asked; None unless the cook passed."""
    if of.verdict != PASSED or of.rule is None:
        return None
    reached = [
        reached_s(log.seconds, column.values, of.rule)
        for column in log.of_role(ColumnRole.CORE)
        if int(log.known([column]).sum()) >= FEWEST
    ]
    moments = [each for each in reached if each is not None]
    return max(moments) / MINUTE if moments and len(moments) == len(reached) else None


def _steam(log: CookLog, altitude_m: float) -> list[HeatLine]:
    """Return the temperature that pure steam would have at the logged pressure."""
    for column in log.of_role(ColumnRole.PRESSURE)[:1]:
        kpa = column.absolute_kpa(float(atmosphere(altitude_m)))
        kpa[~(kpa >= KPA_LEAST)] = float("nan")
        known = kpa >= KPA_LEAST
        if known.any():
            kpa[known] = saturation_temperature(kpa[known])
            return [HeatLine("", "steam", thinned(log.seconds / MINUTE, kpa))]
    return []


def lines_of_verdict(judged: Mapping[str, Any], digest: str) -> HeatLines | None:
    """Return the lines of a log that is kept beside the ledger, or None if it can't be read."""
    try:
        name, data = cook_verdicts.stored_log(digest)
        of = Verdict(
            verdict=judged["verdict"],
            slowest=judged["slowest"],
            rule=rule_from_words(judged["rule"]),
            altitude_m=judged["altitude_m"],
            started=judged["started"],
        )
        given = {line["key"]: line["value"] for line in judged["layout"] if line["sure"] == "given"}
        layout = corrected(UNKNOWN, given)
        outside = float(atmosphere(of.altitude_m))
        log = read_log(data, name, atmosphere_kpa=outside, layout=layout)
    except (InputError, RefusedError):
        return None
    return _lines(log, of)


def lines_of_plan(plan: CookPlan) -> HeatLines:
    """Return the chamber of the ruling case and the core of every case."""
    chamber = HeatLine("", "chamber", (plan.chamber,))
    cores = [
        HeatLine(case.name, "core", (case.core,), case.rules) for case in plan.cases if case.core
    ]
    return HeatLines((chamber, *cores))
