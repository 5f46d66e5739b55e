"""A logger's file judged: from bytes to a verdict with every figure behind it. Needs no farm."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pinset.errors import Finding, InputError, Severity
from pinset.files.logger_corrections import corrected
from pinset.files.logger_reader import UNKNOWN, read_log
from pinset.files.logger_records import ColumnLayout, ColumnRole, CookLog, LogColumn, Sure, Use
from pinset.science.cook_rules import read_rule, rule_in_words
from pinset.science.gauge import atmosphere
from pinset.science.judging import judge
from pinset.science.judging_findings import SAY_IT_IS_A_CORE
from pinset.science.judging_records import (
    UNKNOWN_ERROR_K,
    Judgement,
    Position,
    Probe,
    Role,
    Rule,
    Verdict,
)
from pinset.science.steam_check import SteamCheck
from pinset.services.cook_judged import (
    Instrument,
    JudgedCook,
    JudgedFinding,
    JudgedProbe,
    JudgedSteam,
    ToldOfCore,
)
from pinset.services.cook_layout import layout_lines

__all__ = ["judge_file", "judge_log", "plain_findings", "read_rule", "unread"]

METHOD = "pinset judging 1"
"""Of the computation; verdicts of different versions stand side by side and say which."""

FEWEST = 2
_LEFT_OUT = frozenset({"log.text-in-numbers", "log.unplugged"})  # the rest of the column is sound
_OF_LOG = frozenset(
    {
        "log.time-order",
        "log.joined",
        "log.names-shifted",
        "log.too-large",
        "log.several-cooks",
        "log.too-long",
        "log.coarse",
    }
)  # against every column, if they are wrong
_ALWAYS = "log.time-unit-guessed"  # against every column, until it is said by hand
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
_ROLES = {
    ColumnRole.CORE: Role.CORE,
    ColumnRole.CHAMBER: Role.CHAMBER,
    ColumnRole.OTHER: Role.OTHER,
}


def judge_file(
    data: bytes,
    name: str,
    rule: Rule | None = None,
    *,
    altitude_m: float = 0.0,
    changes: Mapping[str, str] | None = None,
    instruments: Sequence[Instrument] = (),
) -> tuple[JudgedCook, CookLog]:
    """Return the verdict on a logger's file, and the log as it was read.

    Parameters
    ----------
    data : bytes
        The file.
    name : str
        Its name.
    rule : Rule, optional
        What the farm asks. Without one nothing is passed or failed.
    altitude_m : float
        Of the farm, for gauge pressures. [m]
    changes : mapping, optional
        What is said of the file by hand; see :func:`~pinset.files.logger_corrections.corrected`.
    instruments : sequence of Instrument
        What is known of probes and gauges, by the name of their column.

    Raises
    ------
    InputError
        If the file holds nothing to judge by, or a value is out of range.
    """
    outside = float(atmosphere(altitude_m))
    layout = corrected(UNKNOWN, changes or {})
    log = read_log(data, name, atmosphere_kpa=outside, layout=layout)
    return judge_log(
        log,
        rule,
        digest=hashlib.sha256(data).hexdigest(),
        altitude_m=altitude_m,
        instruments=instruments,
    ), log


def unread(
    data: bytes, name: str, rule: Rule | None, problem: InputError, *, altitude_m: float = 0.0
) -> JudgedCook:
    """Return the record of a file that could not be read: unjudged, and why."""
    finding = Finding("log.unreadable", Severity.WRONG, name, str(problem), problem.hint)
    return JudgedCook(
        verdict=Verdict.UNJUDGED.value,
        sentence=f"Nothing in this file can be judged. {problem}",
        slowest="",
        rule=rule_in_words(rule) if rule else "",
        probes=(),
        steam=None,
        findings=plain_findings([finding]),
        file=name,
        digest=hashlib.sha256(data).hexdigest(),
        started="",
        minutes=0.0,
        readings=0,
        altitude_m=altitude_m,
        method=METHOD,
        layout=(),
    )


def judge_log(
    log: CookLog,
    rule: Rule | None,
    *,
    digest: str,
    altitude_m: float = 0.0,
    instruments: Sequence[Instrument] = (),
    told: Sequence[ToldOfCore] = (),
) -> JudgedCook:
    """Return the verdict on a log that was read; see :func:`judge_file`.

    ``told`` is what is known of the loads in it, said of its cores.

    Where nothing in it can be judged (no probe gave readings) the verdict is ``unjudged`` and the
    findings say why.
    """
    known = {each.column: each for each in instruments}
    of_loads = {each.column: each for each in told}
    probes = [
        _probe(column, log, known.get(column.name), of_loads.get(column.index))
        for column in log.columns
        if column.use is Use.TEMPERATURE and int(log.known([column]).sum()) >= FEWEST
    ]
    findings = [*log.findings, *_complaints(instruments, log)]
    findings += [
        _with_key(_too_quick(probe, of_loads[column.index]), log)
        for probe in probes
        for column in log.columns
        if column.name == probe.name and column.index in of_loads and of_loads[column.index].doubt
    ]
    outside = float(atmosphere(altitude_m))
    judged: Judgement | None = None
    if probes:
        gauge = next(iter(log.of_role(ColumnRole.PRESSURE)), None)
        judged = judge(
            log.seconds,
            probes,
            rule,
            pressure_kpa=gauge.absolute_kpa(outside) if gauge else None,
            pressure_error_kpa=known[gauge.name].error if gauge and gauge.name in known else 0.0,
            atmosphere_kpa=outside,
        )
        if any(each.id == "cook.gap" for each in judged.findings):
            findings = [each for each in findings if each.id != "log.gap"]  # said by it
        findings += [_with_key(each, log) for each in judged.findings]
    notes = {each.column: each.note for each in instruments}
    return JudgedCook(
        verdict=(judged.verdict if judged else Verdict.UNJUDGED).value,
        sentence=judged.sentence if judged else "Nothing in this file can be judged.",
        slowest=judged.slowest if judged else "",
        rule=rule_in_words(rule) if rule else "",
        probes=tuple(_said(each, notes) for each in judged.positions) if judged else (),
        steam=_steam(judged.steam) if judged and judged.steam else None,
        findings=plain_findings(findings),
        file=log.file,
        digest=digest,
        started=log.start.isoformat() if log.start else "",
        minutes=float(log.seconds[-1]) / 60.0 if len(log.seconds) else 0.0,
        readings=len(log.seconds),
        altitude_m=altitude_m,
        method=METHOD,
        layout=layout_lines(log),
    )


def _probe(
    column: LogColumn, log: CookLog, known: Instrument | None, told: ToldOfCore | None
) -> Probe:
    is_said = _layout_of(column, log).role.sure is Sure.GIVEN
    doubt, hangs_on = _doubt(column, log, told), ""
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
        error_k=known.error if known else UNKNOWN_ERROR_K,
        is_error_known=known is not None and known.is_error_known,
        is_role_said=is_said,
        doubt=doubt,
        hangs_on=hangs_on,
    )


def _too_quick(probe: Probe, told: ToldOfCore) -> Finding:
    """Return the finding for a core that none of the cook's loads can hold."""
    sentence = f"{told.doubt[0].upper()}{told.doubt[1:]}."
    if probe.is_role_said:
        hint = "Somebody said that it stood in a unit. Measure that unit, and learn it from a log."
        return Finding("cook.too-quick", Severity.WARNING, probe.name, sentence, hint)
    return Finding("cook.too-quick", Severity.WRONG, probe.name, sentence, SAY_IT_IS_A_CORE)


def _layout_of(column: LogColumn, log: CookLog) -> ColumnLayout:
    return next(each for each in log.layout.columns if each.index == column.index)


def _doubt(column: LogColumn, log: CookLog, told: ToldOfCore | None) -> str:
    """Return what speaks against a column and was not settled by hand; empty: nothing."""
    layout = _layout_of(column, log)
    settled = set(_LEFT_OUT)
    if layout.unit.sure is Sure.GIVEN:
        settled |= _OF_UNIT
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


def _with_key(finding: Finding, log: CookLog) -> Finding:
    """Return a finding that a word settles with how it is said of this column."""
    if finding.hint != SAY_IT_IS_A_CORE:
        return finding
    column = next(each for each in log.columns if each.name == finding.record)
    key = f"column.{column.index + 1}.role=core"
    return replace(finding, hint=f"{finding.hint} At the terminal: --read {key}.")


def _complaints(instruments: Sequence[Instrument], log: CookLog) -> list[Finding]:
    names = {column.name for column in log.columns}
    return [
        Finding(
            "cook.calibration-overdue",
            Severity.WARNING,
            each.column,
            each.complaint,
            "Compare it with a reference and write that down.",
        )
        for each in instruments
        if each.complaint and each.column in names
    ]


def _steam(check: SteamCheck) -> JudgedSteam:
    return JudgedSteam(
        checked_min=check.checked_min,
        off_k=check.off_k,
        lowest_k=check.lowest_k,
        highest_k=check.highest_k,
        air=check.air,
        is_steam=check.is_steam,
    )


def _said(position: Position, notes: Mapping[str, str]) -> JudgedProbe:
    return JudgedProbe(
        name=position.name,
        role=position.role.value,
        f0_min=position.f0_min,
        f0_low=position.f0_low,
        f0_high=position.f0_high,
        f0_above_110_min=position.f0_above_110_min,
        max_c=position.max_c,
        come_up_min=position.come_up_min,
        hold_min=position.hold_min,
        error_k=position.error_k,
        error_note=notes.get(position.name, ""),
        falls_short=position.falls_short,
        unclear=position.unclear,
    )


def plain_findings(findings: Sequence[Finding]) -> tuple[JudgedFinding, ...]:
    """Return findings as plain records, the gravest first, each once."""
    order = list(Severity)
    kept = {(each.id, each.record, each.sentence): each for each in findings}
    return tuple(
        JudgedFinding(each.id, each.severity.value, each.record, each.sentence, each.hint)
        for each in sorted(kept.values(), key=lambda each: order.index(each.severity))
    )
