"""A logger's file judged: from bytes to a verdict with every figure behind it. Needs no farm."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pinset.errors import Finding, InputError, Severity
from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import UNKNOWN, read_log
from pinset.files.logger.records import ColumnRole, CookLog, Use
from pinset.science.judging.cook_rules import read_rule, rule_in_words
from pinset.science.judging.judging import judge
from pinset.science.judging.records import (
    WANTED_C,
    Judgement,
    Position,
    Rule,
    Verdict,
)
from pinset.science.steam.check import SteamCheck
from pinset.science.steam.gauge import atmosphere
from pinset.services.cooks.judge.columns import (
    as_probe,
    said_beside,
    too_quick,
    untold_pace,
    with_key,
)
from pinset.services.cooks.judge.judged import (
    Instrument,
    JudgedCook,
    JudgedFinding,
    JudgedProbe,
    JudgedSteam,
    ToldOfCore,
)
from pinset.services.cooks.judge.layout import layout_lines
from pinset.services.cooks.judge.units_asked import unit_asked

__all__ = ["judge_file", "judge_log", "plain_findings", "read_rule", "unread"]

METHOD = "pinset judging 11"
"""Of the computation; verdicts of different versions stand side by side and say which."""

FEWEST = 2


def judge_file(
    data: bytes,
    name: str,
    rule: Rule | None = None,
    *,
    altitude_m: float | None = 0.0,
    changes: Mapping[str, str] | None = None,
    instruments: Sequence[Instrument] = (),
    is_open: bool = False,
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
    altitude_m : float or None
        Of the farm, for gauge pressures. None: not known, 0 is taken and that is said. [m]
    changes : mapping, optional
        What is said of the file by hand; see :func:`~pinset.files.logger.corrections.corrected`.
    instruments : sequence of Instrument
        What is known of probes and gauges, by the name of their column.
    is_open : bool
        Whether the books say of the steriliser that it holds no pressure.

    Raises
    ------
    InputError
        If the file holds nothing to judge by, or a value is out of range.
    """
    taken_m = 0.0 if altitude_m is None else altitude_m
    layout = corrected(UNKNOWN, changes or {})
    log = read_log(data, name, atmosphere_kpa=float(atmosphere(taken_m)), layout=layout)
    judged = judge_log(
        log,
        rule,
        digest=hashlib.sha256(data).hexdigest(),
        altitude_m=taken_m,
        instruments=instruments,
        is_open=is_open,
    )
    if altitude_m is None and log.of_role(ColumnRole.PRESSURE):
        said = plain_findings([_altitude_taken(name)])
        judged = replace(judged, findings=(*said, *judged.findings))
    return judged, log


def _altitude_taken(name: str) -> Finding:
    return Finding(
        "cook.altitude-taken",
        Severity.WARNING,
        name,
        "No altitude was said, and the gauge was read as at 0 m. At 1500 m steam at 1 bar on the "
        "gauge is 2.7 °C colder.",
        "Say it: --altitude 1240m or --altitude 4900ft.",
    )


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
    is_open: bool = False,
) -> JudgedCook:
    """Return the verdict on a log that was read; see :func:`judge_file`.

    ``told`` is what is known of the loads in it, said of its cores.

    Where nothing in it can be judged (no probe gave readings) the verdict is ``unjudged`` and the
    findings say why.
    """
    known = {each.column: each for each in instruments}
    of_loads = {each.column: each for each in told}
    asked = unit_asked(log, rule, altitude_m=altitude_m, is_open=is_open)
    probes = [
        as_probe(column, log, known.get(column.name), of_loads.get(column.index), asked)
        for column in log.columns
        if column.use is Use.TEMPERATURE and int(log.known([column]).sum()) >= FEWEST
    ]
    findings = [*log.findings, *_complaints(instruments, log)]
    findings += [asked.finding(log.file)] if asked else []
    findings += [
        with_key(too_quick(probe, of_loads[column.index]), log)
        for probe in probes
        for column in log.columns
        if column.name == probe.name and column.index in of_loads and of_loads[column.index].doubt
    ]
    findings += [
        untold_pace(probe, told_of)
        for probe in probes
        for column in log.columns
        if column.name == probe.name and (told_of := of_loads.get(column.index)) and told_of.untold
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
        is_coarse = any(
            each.id == "log.coarse" and each.severity is Severity.WRONG for each in findings
        )  # then every step is a gap, and one sentence says so
        findings += [
            with_key(each, log)
            for each in judged.findings
            if not (is_coarse and each.id == "cook.gap")
        ]
    notes = {each.column: each.note for each in instruments}
    sentence = judged.sentence if judged else "Nothing in this file can be judged."
    if judged and not judged.slowest:
        sentence += said_beside(log)
    return JudgedCook(
        verdict=(judged.verdict if judged else Verdict.UNJUDGED).value,
        sentence=sentence,
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
        layout=layout_lines(log, _reason_asked(findings, log)),
        wanted_c=rule.wanted_c if rule else WANTED_C,
    )


def _reason_asked(findings: Sequence[Finding], log: CookLog) -> set[int]:
    """Return the columns of which somebody may say why they were fine all the same."""
    keys = {key for each in findings for key in each.say}
    return {each.index for each in log.columns if f"column.{each.index + 1}.fine=REASON" in keys}


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
        JudgedFinding(each.id, each.severity.value, each.record, each.sentence, each.hint, each.say)
        for each in sorted(kept.values(), key=lambda each: order.index(each.severity))
    )
