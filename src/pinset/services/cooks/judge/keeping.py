"""A logger's file judged for one cook of the farm, and the verdict kept there with the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.plain import to_plain
from pinset.chain.verdicts_together import FAIL
from pinset.errors import Finding, InputError, Severity
from pinset.farm.queries.cooks import Judged, cooks_judged_by
from pinset.files.logger.records import CookLog
from pinset.science.judging.cook_rules import read_rule
from pinset.services.clock import farm_time
from pinset.services.cooks.ahead.newer_logs import FITS, fits_to_keep
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.beginnings import beginnings_of
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file, judge_log, plain_findings
from pinset.services.cooks.judge.log_instruments import matched
from pinset.services.cooks.judge.pace import told_by_loads
from pinset.services.cooks.judge.standing import (
    NOTHING,
    Aside,
    against_passing,
    counted_on,
    earlier_in_words,
)
from pinset.services.cooks.judge.verdict_entries import record_verdict
from pinset.services.cooks.judge.verdicts import CookLine
from pinset.services.cooks.learn.learning import unlike_learnt
from pinset.services.cooks.setting import CookSetting, setting_of
from pinset.services.frame import frame
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import joined

LATEST_START = timedelta(hours=12)
"""A log that begins later than this after loading is hardly of that cook."""

FOREIGN = frozenset({"cook.other-time", "cook.log-of-another"})
"""Findings of a file that may be another cook's; it is kept with a reason only."""

EARLIER = "cook.earlier-against"
"""Finding of a log that passes a cook which an earlier verdict keeps from passing."""

EARLIEST_START = timedelta(hours=24)
"""One that begins earlier than this before loading may hold another cook too."""


def place_of(cook: str) -> CookSetting:
    """Return where a cook of the books was done; of no cook, the farm as such.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    if not cook:
        return setting_of("", "")
    line = cook_verdicts.cook_of(cook).line
    return setting_of(line.steriliser, line.cook_kind)


def rule_that_counts(place: CookSetting, typed: str) -> str:
    """Return the rule a cook is judged by: the farm's own for its kind, else the one typed.

    Raises
    ------
    InputError
        If another rule is typed than the farm's own, or one that is none.
    """
    if place.lime is not None:
        raise InputError(
            "log",
            place.rule,
            "a cook by heat: this kind is a lime bath, of which hours and pH are written down",
            "Write them down on the page of the cook.",
        )
    if typed and place.rule and read_rule(typed) != read_rule(place.rule):
        accepted = f"{place.rule}, the farm's own for this kind of cook"
        raise InputError("rule", typed, accepted, "It is changed in Settings, at the steriliser.")
    return place.rule or typed


def judge_for(
    cook: str, data: bytes, name: str, rule: str = "", changes: Mapping[str, str] | None = None
) -> tuple[JudgedCook, CookLog]:
    """Return the verdict on a logger's file for a cook of the farm, and the log as it was read.

    Parameters
    ----------
    cook : str
        Code; empty: of no cook yet.
    data, name : bytes, str
        The file.
    rule : str
        Typed; counts only where the farm has none of its own for that kind of cook.
    changes : mapping, optional
        What is said by hand of how the file is to be read.

    Raises
    ------
    InputError
        If there is nothing to judge by, or the rule is not the one that counts.
    RefusedError
        If there is no such cook.
    """
    place = place_of(cook)
    counts = rule_that_counts(place, rule)
    judged, log = judge_file(
        data,
        name,
        read_rule(counts) if counts else None,
        altitude_m=place.altitude_m,
        changes=changes,
        instruments=place.instruments,
        is_open=place.is_open,
    )
    if cook:
        line = cook_verdicts.cook_of(cook).line
        told = told_by_loads(line, log)
        others = matched(log, place.instruments)
        if others or any(each.doubt or each.explains or each.untold for each in told):
            judged = judge_log(
                log,
                read_rule(counts) if counts else None,
                digest=judged.digest,
                altitude_m=place.altitude_m,
                instruments=(*place.instruments, *others),
                told=told,
                is_open=place.is_open,
            )
        begun = beginnings_of(log, judged.digest, counted_on(cook), changes or {})
        gone = tuple(str(each.details["log"]) for each in begun if each.verdict != FAIL)
        judged = replace(judged, replaces=gone)
        against = plain_findings([
            *_beginnings(cook, begun),
            *_beside(cook, judged),
            *_against(line, judged),
            *unlike_learnt(line, log, name),
        ])  # fmt: skip
        judged = replace(judged, findings=(*against, *judged.findings))
    return judged, log


def _beginnings(cook: str, begun: Sequence[Judged]) -> list[Finding]:
    """Return that this log is the whole of one that was kept before."""
    found = []
    for each in begun:
        name = each.details.get("log_name") or "a log of before"
        if each.verdict == FAIL:
            sentence = f"{name} is the beginning of this log; its verdict was too short."
            hint = "It counts on beside this one until it is set aside with a reason, or undone."
        else:
            sentence = f"{name} is the beginning of this log, with the same readings."
            hint = "Kept, this verdict takes its place."
        found.append(Finding("cook.whole-log", Severity.NOTE, cook, sentence, hint))
    return found


def _beside(cook: str, judged: JudgedCook) -> list[Finding]:
    """Return what the other logs of a cook say, which are taken together with this one."""
    gone = {judged.digest, *judged.replaces}
    others = [each for each in counted_on(cook) if each.details.get("log") not in gone]
    against = [each for each in against_passing(cook) if each.details.get("log") not in gone]
    if judged.verdict == "pass" and against:
        return [
            Finding(
                EARLIER,
                Severity.WARNING,
                cook,
                f"Of this cook {earlier_in_words(against)}: the slowest core of all its logs "
                "rules.",
                "Kept beside it, this verdict does not let the cook pass. If that one does not "
                "count, because its log is of another cook or its probe slipped, undo it on the "
                "page of the cook, or set it aside with a reason.",
            )
        ]
    if not others:
        return []
    return [
        Finding(
            "cook.other-logs",
            Severity.NOTE,
            cook,
            f"Of this cook {earlier_in_words(others)}.",
            "All are taken together: the slowest core of all its logs rules.",
        )
    ]


def _against(line: CookLine, judged: JudgedCook) -> list[Finding]:
    """Return what speaks against a file being that cook's."""
    found = []
    zone = frame().time_zone
    if judged.started:
        begins = datetime.fromisoformat(judged.started)
        begins = begins if begins.tzinfo else begins.replace(tzinfo=ZoneInfo(zone))
        ends = begins + timedelta(minutes=judged.minutes)
        is_off = begins > line.at + LATEST_START or begins < line.at - EARLIEST_START
        if is_off or ends < line.at:
            found.append(
                Finding(
                    "cook.other-time",
                    Severity.WARNING,
                    judged.file,
                    f"The log begins {farm_time(begins, zone):%Y-%m-%d %H:%M}; this cook was "
                    f"loaded {farm_time(line.at, zone):%Y-%m-%d %H:%M}.",
                    "Is the file of another cook, or of several, or is the logger's clock wrong? "
                    "It is kept only with a reason.",
                )
            )
    others = sorted(cooks_judged_by(judged.digest) - {line.cook})
    if others:
        found.append(
            Finding(
                "cook.log-of-another",
                Severity.WARNING,
                judged.file,
                f"This very file is kept with {joined(others)} already.",
                "Is it the right one? It is kept only with a reason.",
            )
        )
    return found


def is_foreign(judged: JudgedCook) -> bool:
    """Return whether a log may be another cook's, so that it is kept only with a reason."""
    return any(each.id in FOREIGN for each in judged.findings)


def keep_verdict(
    client_id: str,
    worker: str,
    cook: str,
    judged: JudgedCook,
    data: bytes,
    name: str,
    reason: str = "",
    aside: Aside = NOTHING,
) -> Done:
    """Write a verdict down as it was shown, and keep its log.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same verdict.
    worker, cook : str
        Codes of who judged, and of the cook.
    judged : JudgedCook
        What was shown.
    data, name : bytes, str
        The file it rests on.
    reason : str
        Why it is this cook's, where the file is of another time or kept with another cook.
    aside : Aside
        Earlier verdicts that do not count because of it, and why.

    Raises
    ------
    InputError
        If the file is not the one that was judged, such a reason is missing, or nothing such can
        be set aside.
    RefusedError
        If there is no such cook.
    """
    said = written("reason", reason, LONGEST_REASON)
    if is_foreign(judged) and not said:
        against = " ".join(each.sentence for each in judged.findings if each.id in FOREIGN)
        raise InputError(
            "reason",
            reason,
            f"why this file is of cook {cook} all the same: its verdict releases vessels",
            against,
        )
    plain = to_plain(judged, every_field=True)
    if fits := fits_to_keep(plain, data, name):
        plain[FITS] = fits
    return record_verdict(
        client_id,
        worker,
        cook,
        plain,
        judged.verdict,
        judged.sentence,
        data,
        name,
        reason=said,
        aside=aside,
    )
