"""Columns of a log as probes: what speaks against each, and what their being cores hangs on."""

from __future__ import annotations

from dataclasses import replace

from pinset.errors import Finding, Severity
from pinset.files.description.place import listed
from pinset.files.logger.places import Place, place_in
from pinset.files.logger.records import (
    ColumnLayout,
    ColumnRole,
    CookLog,
    LogColumn,
    Sure,
    Use,
)
from pinset.science.judging.findings import SAY_IT_IS_A_CORE, SAY_IT_WAS_FINE
from pinset.science.judging.off_centre import read_off
from pinset.science.judging.records import UNKNOWN_ERROR_K, Probe, Role
from pinset.services.cooks.judge.judged import Instrument, ToldOfCore
from pinset.services.cooks.judge.units_asked import UnitAsked

_LEFT_OUT = frozenset({"log.text-in-numbers", "log.unplugged"})  # the rest of the column is sound
_OF_LOG = frozenset(
    {
        "log.time-order",
        "log.joined",
        "log.names-mixed",
        "log.names-shifted",
        "log.too-large",
        "log.several-cooks",
        "log.too-long",
        "log.coarse",
    }
)  # against every column, if they are wrong
_ALWAYS = "log.time-unit-guessed"  # against every column, until it is said by hand
_STUCK = "log.stuck"  # until somebody says why it was fine
MOST_LEFT_OUT = 0.5  # of a column's readings, that no probe can have read
_OF_UNIT = frozenset(
    {
        "log.unit-guessed",
        "log.maybe-fahrenheit",
        "log.celsius-as-fahrenheit",
        "log.fahrenheit-as-celsius",
        "log.fahrenheit-as-kelvin",
        "log.kelvin-as-celsius",
        "log.kelvin-as-fahrenheit",
        "log.celsius-as-kelvin",
    }
)
_NO_CORES = {
    Place.BESIDE: "stood beside the units, not in one",
    Place.DEVICE: "may be of the logger itself",
}
_ROLES = {
    ColumnRole.CORE: Role.CORE,
    ColumnRole.CHAMBER: Role.CHAMBER,
    ColumnRole.OTHER: Role.OTHER,
}


def as_probe(
    column: LogColumn,
    log: CookLog,
    known: Instrument | None,
    told: ToldOfCore | None,
    asked: UnitAsked | None = None,
) -> Probe:
    """Return a column of temperatures as a probe.

    Parameters
    ----------
    column, log : LogColumn, CookLog
        The column, and the log it stands in.
    known : Instrument or None
        What is known of the probe that wrote it.
    told : ToldOfCore or None
        What the loads of the cook say of it.
    asked : UnitAsked or None
        Why the unit of the log is asked for.
    """
    layout = _layout_of(column, log)
    is_said = layout.role.sure is Sure.GIVEN
    doubt, hangs_on = _doubt(column, log, told), ""
    if asked is not None and column in asked.columns and not doubt:
        doubt = f"its unit is not sure. {asked.words}"
    if is_said:
        hangs_on = "what somebody said"
        if told is not None and told.doubt:
            hangs_on += f", although {told.doubt}"
    elif told is not None and "log.role-guessed" in column.doubts and not doubt:
        hangs_on = f"a guess, since it comes as late as {told.explains} does"
    return Probe(
        name=column.name,
        role=_ROLES.get(column.role, Role.OTHER),
        temperature_c=column.values,
        error_k=(known.error if known else UNKNOWN_ERROR_K) + column.step_k / 2.0,
        step_k=column.step_k,
        is_error_known=known is not None and known.is_error_known,
        is_role_said=is_said,
        is_filled_warm=log.layout.filled.value == "warmer",
        doubt=doubt,
        off=read_off(off.value) if (off := layout.off).sure is Sure.GIVEN else None,
        fine=layout.fine.value if layout.fine.sure is Sure.GIVEN else "",
        although=_stuck(column, log),
        hangs_on=hangs_on,
    )


def too_quick(probe: Probe, told: ToldOfCore) -> Finding:
    """Return the finding for a core that none of the cook's loads can hold."""
    sentence = f"{told.doubt[0].upper()}{told.doubt[1:]}."
    if probe.is_role_said:
        hint = "Somebody said that it stood in a unit. Measure that unit, and learn it from a log."
        return Finding("cook.too-quick", Severity.WARNING, probe.name, sentence, hint)
    return Finding("cook.too-quick", Severity.WRONG, probe.name, sentence, SAY_IT_IS_A_CORE)


def untold_pace(probe: Probe, told: ToldOfCore) -> Finding:
    """Return the finding for a core whose pace could not be held against the cook's loads."""
    return Finding(
        "cook.pace-untold",
        Severity.NOTE,
        probe.name,
        f"Whether {probe.name} heats as its load can could not be looked at: {told.untold}. So it "
        "may stand too shallow, or in a smaller unit.",
        "Begin the log before the load goes in.",
    )


def said_beside(log: CookLog) -> str:
    """Return what to say where heads alone speak against probes being cores, as a sentence to add.

    Empty: no head does.
    """
    places = {
        column.name: place_in(column.name)
        for column in log.columns
        if column.use is Use.TEMPERATURE
        and column.role is not ColumnRole.CORE
        and _layout_of(column, log).role.sure is not Sure.GIVEN
    }
    said = [
        f"{listed(names)} {words}"
        for place, words in _NO_CORES.items()
        if (names := [name for name, each in places.items() if each is place])
    ]
    if not said:
        return ""
    return (
        f" By the headings, {', and '.join(said)}; if a probe stood "
        "inside a unit, say that its column is a core."
    )


def _layout_of(column: LogColumn, log: CookLog) -> ColumnLayout:
    return next(each for each in log.layout.columns if each.index == column.index)


def _stuck(column: LogColumn, log: CookLog) -> str:
    """Return what the file says of a column that stands still; empty: nothing."""
    said = [each for each in log.findings if each.id == _STUCK and _STUCK in column.doubts]
    own = [each for each in said if each.record.endswith(f"column {column.name}")]
    return next((each.sentence.rstrip(".") for each in own), "")


def _doubt(column: LogColumn, log: CookLog, told: ToldOfCore | None) -> str:
    """Return what speaks against a column and was not settled by hand; empty: nothing."""
    layout = _layout_of(column, log)
    settled = set(_LEFT_OUT)
    if layout.unit.sure is Sure.GIVEN:
        settled |= _OF_UNIT
    if layout.fine.sure is Sure.GIVEN:
        settled |= {_STUCK}
    if layout.role.sure is Sure.GIVEN:
        settled |= {"log.swapped", "log.role-guessed"}
    elif told is not None and told.explains:
        settled |= {"log.role-guessed"}
    for finding in log.findings:
        is_wrong = finding.id in _OF_LOG and finding.severity is Severity.WRONG
        if is_wrong or finding.id == _ALWAYS:
            return finding.sentence.rstrip(".")
    missing = len(column.values) - int(log.known([column]).sum())
    if _LEFT_OUT & set(column.doubts) and missing > MOST_LEFT_OUT * len(column.values):
        return f"{missing} of its {len(column.values)} readings are none and were left out"
    for doubt in column.doubts:
        if doubt not in settled:
            said = [each for each in log.findings if each.id == doubt]
            own = [each for each in said if each.record.endswith(f"column {column.name}")]
            return (own or said)[0].sentence.rstrip(".") if said else doubt
    is_settled = layout.role.sure is Sure.GIVEN
    return told.doubt if told is not None and not is_settled else ""


def with_key(finding: Finding, log: CookLog) -> Finding:
    """Return a finding that a word settles with how it is said of this column."""
    if finding.id == "cook.depth-not-said":
        cores = [each for each in log.columns if each.role is ColumnRole.CORE]
        return replace(finding, say=tuple(f"column.{each.index + 1}.off=0" for each in cores))
    if finding.hint not in {SAY_IT_IS_A_CORE, SAY_IT_WAS_FINE}:
        return finding
    column = next(each for each in log.columns if each.name == finding.record)
    word = "role=core" if finding.hint == SAY_IT_IS_A_CORE else "fine=REASON"
    return replace(finding, say=(f"column.{column.index + 1}.{word}",))
