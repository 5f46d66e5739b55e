"""Temperatures of a cook as lines to be drawn: of a log that was judged, of a cook worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pinset.errors import InputError, RefusedError
from pinset.files.logger_corrections import corrected
from pinset.files.logger_reader import UNKNOWN, read_log
from pinset.files.logger_records import ColumnRole, CookLog, Use
from pinset.science.gauge import atmosphere
from pinset.science.lethality import f_along, lethal_rate
from pinset.science.steam import saturation_temperature
from pinset.science.thinning import Piece, thinned
from pinset.services import cook_verdicts
from pinset.services.cook_judging import JudgedCook
from pinset.services.cook_planning import CookPlan

MINUTE = 60.0
KPA_LEAST = 1.0


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A temperature over time. Points are minutes and degC."""

    name: str
    role: str  # core, chamber, other, steam
    pieces: tuple[Piece, ...]
    is_ruling: bool = False  # the core the verdict or the advice rests on


@dataclass(frozen=True, slots=True)
class HeatLines:
    """What is drawn of a cook."""

    lines: tuple[HeatLine, ...]
    killing: tuple[Piece, ...] = ()  # minutes, lethal rate of the ruling core
    enough_min: float | None = None  # from here on the rule's F0 is reached
    started: str = ""  # ISO 8601 of minute 0


def lines_of_log(log: CookLog, judged: JudgedCook, f0: float | None) -> HeatLines:
    """Return the lines of a log; ``f0`` are the minutes the rule asks of the slowest core."""
    minutes = log.seconds / MINUTE
    lines: list[HeatLine] = []
    killing: tuple[Piece, ...] = ()
    enough: float | None = None
    for column in log.columns:
        if column.use is not Use.TEMPERATURE or not log.known([column]).any():
            continue
        is_ruling = column.name == judged.slowest
        pieces = thinned(minutes, column.values)
        lines.append(HeatLine(column.name, column.role.value, pieces, is_ruling))
        if is_ruling:
            known = log.known([column])
            seconds, core = log.seconds[known], column.values[known]
            killing = thinned(seconds / MINUTE, lethal_rate(core))
            if f0 is not None:
                earned = f_along(seconds, core)
                reached = (earned >= f0).nonzero()[0]
                enough = float(seconds[reached[0]]) / MINUTE if len(reached) else None
    lines += _steam(log, judged)
    return HeatLines(tuple(lines), killing, enough, judged.started)


def _steam(log: CookLog, judged: JudgedCook) -> list[HeatLine]:
    """Return the temperature that pure steam would have at the logged pressure."""
    for column in log.of_role(ColumnRole.PRESSURE)[:1]:
        kpa = column.absolute_kpa(float(atmosphere(judged.altitude_m)))
        known = log.known([column])
        known &= kpa >= KPA_LEAST
        if known.any():
            steam = saturation_temperature(kpa[known])
            pieces = thinned(log.seconds[known] / MINUTE, steam)
            return [HeatLine("", "steam", pieces)]
    return []


def lines_of_verdict(judged: Mapping[str, Any], digest: str) -> HeatLines | None:
    """Return the lines of a log that is kept beside the ledger, or None if it can't be read."""
    try:
        name, data = cook_verdicts.stored_log(digest)
        record = JudgedCook(**{**judged, "steam": None})
        given = {line["key"]: line["value"] for line in judged["layout"] if line["sure"] == "given"}
        layout = corrected(UNKNOWN, given)
        outside = float(atmosphere(record.altitude_m))
        log = read_log(data, name, atmosphere_kpa=outside, layout=layout)
    except (InputError, RefusedError):
        return None
    return lines_of_log(log, record, f0_asked(record.rule))


def f0_asked(rule: str) -> float | None:
    """Return the F0 a rule in words asks for, None: none."""
    words = rule.split()
    return float(words[1]) if words[:1] == ["F0"] else None


def lines_of_plan(plan: CookPlan) -> HeatLines:
    """Return the chamber of the ruling case and the core of every case."""
    chamber = HeatLine("", "chamber", (plan.chamber,))
    cores = [
        HeatLine(case.name, "core", (case.core,), case.rules) for case in plan.cases if case.core
    ]
    return HeatLines((chamber, *cores))
