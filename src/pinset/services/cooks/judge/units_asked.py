"""Whether a log in °C may be one in °F, by what its cook asks for: then the unit is asked for.

A pasteurisation in °F, read as °C, stands where steam under pressure does, and passes any rule of a
pasteurisation. Nothing in the readings tells the two apart, so a person has to. All limits are the
code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.errors import Finding, Severity
from pinset.files.logger.extent import begins_at, goes_up_to
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn, Sure, Use
from pinset.science.judging.cook_rules import rule_in_words
from pinset.science.judging.records import Rule
from pinset.science.steam.gauge import atmosphere, boiling_point
from pinset.science.steam.steam import saturation_pressure

LOW_C = 100.0  # a hold below it needs no pressure
ABOVE_K = 3.0  # above boiling: weather, the error of a probe, a little superheat
HEATS_AS_F_C = 124.0  # as °F 51 °C: hotter, an open steamer's log is a pasteurisation in °F
STARTS_C = (50.0, 95.0)  # as °F 10 to 35 °C: a room
SHOWS = (0.8, 1.25)  # of the pressure of steam so hot, within which a gauge shows it: 6 K or so
F_FACTOR, F_ZERO = 1.8, 32.0


@dataclass(frozen=True, slots=True)
class UnitAsked:
    """Why the unit of a log is asked for."""

    words: str  # a sentence without its stop
    columns: tuple[LogColumn, ...]  # nobody said of them that they are in °C

    def finding(self, file: str) -> Finding:
        """Return what is said of it, with what settles it if it is in °C."""
        return Finding(
            "cook.unit-asked",
            Severity.WARNING,
            file,
            f"Is this log in °C? {self.words}. It passes nothing until somebody says the unit.",
            "Look at the unit the logger is set to, and say it of each column: °F, or °C if it is "
            "so.",
            say=tuple(f"column.{each.index + 1}.unit=C" for each in self.columns),
        )


def unit_asked(
    log: CookLog, rule: Rule | None, *, altitude_m: float, is_open: bool = False
) -> UnitAsked | None:
    """Return why the unit of a log is asked for; None: it is not.

    Parameters
    ----------
    log : CookLog
        The log as it was read.
    rule : Rule or None
        What the cook is to reach.
    altitude_m : float
        Of the farm. [m]
    is_open : bool
        Whether the books say of the steriliser that it holds no pressure.
    """
    hot = [each for each in log.columns if each.use is Use.TEMPERATURE and log.known([each]).any()]
    celsius = [each for each in hot if each.unit == "°C"]
    unsaid = tuple(each for each in celsius if not _is_said(each, log))
    is_low = rule is not None and rule.f0 is None and (rule.hold_c or LOW_C) < LOW_C
    if rule is None or not unsaid or not (is_low or is_open):
        return None
    boils_c = float(boiling_point(altitude_m))
    most_c = max(goes_up_to(each.values) for each in unsaid)
    least_c = boils_c + ABOVE_K if is_low else max(HEATS_AS_F_C, boils_c + ABOVE_K)
    if most_c > least_c and not _is_shown_by_gauge(log, most_c, altitude_m):
        why = f"{rule_in_words(rule)} needs no pressure" if is_low else "its steriliser is open"
        return UnitAsked(
            f"It reads {most_c:.0f} °C where water boils at {boils_c:.1f} °C, and {why}; as °F "
            f"that is {_as_fahrenheit(most_c):.0f} °C",
            unsaid,
        )
    firsts = [begins_at(each.values) for each in hot]
    if is_low and all(STARTS_C[0] <= each <= STARTS_C[1] for each in firsts):
        return UnitAsked(
            f"All its probes begin at {_span(firsts)} °C, as hot as no room is; as °F that is "
            f"{_span([_as_fahrenheit(each) for each in firsts])} °C",
            unsaid,
        )
    return None


def _is_said(column: LogColumn, log: CookLog) -> bool:
    layout = next(each for each in log.layout.columns if each.index == column.index)
    return layout.unit.sure is Sure.GIVEN


def _is_shown_by_gauge(log: CookLog, most_c: float, altitude_m: float) -> bool:
    """Return whether a gauge in the log shows steam about as hot."""
    gauges = [each for each in log.of_role(ColumnRole.PRESSURE) if log.known([each]).any()]
    outside = float(atmosphere(altitude_m))
    highest = [goes_up_to(each.absolute_kpa(outside)) for each in gauges]
    steam_kpa = float(saturation_pressure(most_c))
    return any(SHOWS[0] <= each / steam_kpa <= SHOWS[1] for each in highest)


def _as_fahrenheit(number: float) -> float:
    return (number - F_ZERO) / F_FACTOR


def _span(values: Sequence[float]) -> str:
    low, high = f"{min(values):.0f}", f"{max(values):.0f}"
    return low if low == high else f"{low} to {high}"
