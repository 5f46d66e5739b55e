"""Learning a load from the log of a cook: looked at first, then kept and planned by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.db import transaction

from pinset.chain.plain import to_plain
from pinset.errors import Finding, InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.entries import Kind
from pinset.farm.queries import story
from pinset.farm.trade import Tap
from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import UNKNOWN, read_log
from pinset.files.logger.records import CookLog
from pinset.science.steam.gauge import atmosphere
from pinset.science.thinning import thinned
from pinset.services.clock import now_utc
from pinset.services.cooks.ahead.newer_logs import known_by
from pinset.services.cooks.heat_lines import HeatLine, HeatLines
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.verdicts import CookLine, VerdictLine
from pinset.services.cooks.learn.fitting import LearntLoad as Fitted
from pinset.services.cooks.learn.fitting import LoadFit, fit_file, heating_of
from pinset.services.cooks.learn.learnt import (
    SET_ASIDE,
    held_against,
    learnt_loads,
    learnt_of,
    typed_of,
)
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.typed import load_of
from pinset.services.cooks.usual import UsualLoad, usual_loads
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done

MINUTE = 60.0
LEARNT_LINE = "by-fit"


@dataclass(frozen=True, slots=True)
class Lesson:
    """What the log of a cook says of a load that stood in it."""

    cook: str
    log: str  # SHA-256
    log_name: str
    load: LoadPlan
    fitted: Fitted
    lines: HeatLines  # chamber, the slowest core as measured and as reckoned

    @property
    def fit(self) -> LoadFit:
        """That of the slowest core."""
        return self.fitted.slowest


def loads_of_cook(line: CookLine) -> tuple[UsualLoad, ...]:
    """Return the farm's loads that such a cook may have held.

    Those of its kind in whatever steriliser, if its own is described no more.
    """
    of_kind = tuple(each for each in usual_loads() if each.cook_kind == line.cook_kind)
    return tuple(each for each in of_kind if each.steriliser == line.steriliser) or of_kind


def lesson_of(cook: str, load: LoadPlan) -> Lesson:
    """Return what the log that a cook was judged by says of a load that stood in it.

    Parameters
    ----------
    cook : str
        Code.
    load : LoadPlan
        The unit the probe stood in: filling, weight, moisture, size; and the altitude.

    Raises
    ------
    InputError
        If the log has no core and chamber to learn from, or a value is out of range.
    RefusedError
        If there is no such cook, or none of its standing verdicts rests on a log.
    """
    verdict = _by_log(cook)
    name, data = cook_verdicts.stored_log(verdict.log)
    changes = {
        line["key"]: line["value"]
        for line in verdict.judged.get("layout", ())
        if line["sure"] == "given"
    }
    fitted = fit_file(data, name, load, changes=changes)
    layout = corrected(UNKNOWN, changes)
    outside = float(atmosphere(load.altitude_m))
    read = read_log(data, name, atmosphere_kpa=outside, layout=layout)
    return Lesson(cook, verdict.log, name, load, fitted, _lines(read, fitted.slowest, load))


def unlike_learnt(line: CookLine, read: CookLog, name: str) -> list[Finding]:
    """Return a warning if a log is unlike all that was learnt of the loads such a cook may hold.

    A cook may hold a load of which nothing was learnt; the warning says so, and is given all the
    same: what is planned by a log is shorter, and this guards it.
    """
    known = learnt_loads()
    loads = loads_of_cook(line) if known else ()
    learnt = [learnt_of(load_of({**usual.typed, "heat": "open"}), known) for usual in loads]
    told = list({each.entry: each for each in learnt if each is not None}.values())
    found = [held_against(each, read, name) for each in told]
    against = [each for each in found if each is not None]
    if not against or len(against) < len(found):
        return []
    if None not in learnt:
        return against[:1]
    hint = f"If its probe stood in another kind of unit, that is why. {against[0].hint}"
    return [replace(against[0], hint=hint)]


def has_log(cook: str) -> bool:
    """Return whether a cook was judged by a log that can be learnt from."""
    return any(each.log and each.counts for each in cook_verdicts.cook_of(cook).verdicts)


def _by_log(cook: str) -> VerdictLine:
    view = cook_verdicts.cook_of(cook)
    found = next((each for each in view.verdicts if each.log and each.counts), None)
    if found is None:
        raise RefusedError(
            f"Cook {cook} was not judged by a log.", "Judge it by its logger's file first."
        )
    return found


def _lines(read: CookLog, fit: LoadFit, load: LoadPlan) -> HeatLines:
    core = next(each for each in read.columns if each.name == fit.probe)
    chamber = next(each for each in read.columns if each.name == fit.chamber)
    seconds, hot, inside = heating_of(read, core, chamber)
    unit = fit.learnt.unit(load.shape, fit.heat_capacity, fit.pressure_kpa)
    reckoned = unit.core(seconds, hot, fit.start_c)
    minutes = seconds / MINUTE
    return HeatLines(
        (
            HeatLine("", "chamber", thinned(minutes, hot)),
            HeatLine(fit.probe, "core", thinned(minutes, inside), is_ruling=True, is_probe=True),
            HeatLine(LEARNT_LINE, "core", thinned(minutes, reckoned)),
        )
    )


def keep(client_id: str, worker: str, lesson: Lesson) -> Done:
    """Write down what a log taught, so that such loads are planned by it.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same entry.
    worker : str
        Code of who learnt it.
    lesson : Lesson
        As it was shown.

    Raises
    ------
    InputError
        If the core was not followed well enough to plan by, or the id is another entry's.
    """
    if not lesson.fit.follows:
        raise InputError(
            "log",
            lesson.log_name,
            "a log whose core is followed well enough to plan by",
            lesson.fit.sentence,
        )
    details: Mapping[str, Any] = {
        "log": lesson.log,
        "log_name": lesson.log_name,
        "fit": to_plain(lesson.fit, every_field=True),
        "sentence": lesson.fit.sentence,
    }
    return _written(
        client_id,
        worker,
        lesson.cook,
        typed_of(lesson.load),
        details,
        f"Learnt from the log of cook {lesson.cook}: such loads are planned by it.",
    )


def set_log_aside(client_id: str, worker: str, entry: str, log: str, reason: str) -> Done:
    """Write down why a newer log does not count against what was learnt of a load.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same entry.
    worker : str
        Code of who says so.
    entry, log : str
        The entry that was learnt, and the SHA-256 of the log that disagrees with it.
    reason : str
        Why it does not count.

    Raises
    ------
    InputError
        If no reason is given, or the id is another entry's.
    RefusedError
        If that log does not disagree with what was learnt.
    """
    said = written("reason", reason, LONGEST_REASON)
    if not said:
        raise InputError("reason", reason, "why that log does not count for such loads")
    before = story.entry(client_id)
    if before is not None and before.details.get(SET_ASIDE) == entry:
        return Done(client_id, already=True, sentence="Recorded already.", findings=())
    known, unlike = known_by(entry, log)
    details = {
        SET_ASIDE: known.entry,
        "log": unlike.log,
        "log_name": unlike.log_name,
        "reason": said,
        "sentence": f"Set aside: {unlike.sentence}",
    }
    sentence = f"Set aside: such loads are planned by what {known.source} taught."
    return _written(client_id, worker, unlike.cook, known.typed, details, sentence)


def _written(
    client_id: str,
    worker: str,
    cook: str,
    load: Mapping[str, str],
    details: Mapping[str, Any],
    sentence: str,
) -> Done:
    with transaction.atomic():
        known = story.entry(client_id)
        if known is not None and (known.kind != Kind.LEARNT or known.details.get("cook") != cook):
            raise InputError("client id", client_id, "a fresh random id for every tap")
        if known is not None:
            return Done(client_id, already=True, sentence="Recorded already.", findings=())
        now = now_utc()
        entry = trade.learnt(Tap(client_id, now, worker), cook=cook, load=load, details=details)
        [recorded] = door.record([entry], now=now)
    return Done(client_id, recorded.already, sentence, ())
