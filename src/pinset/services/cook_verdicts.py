"""Cooks and what came of them: listed, judged, and read back with what they rest on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from pinset.chain.plain import to_plain
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, log_store, trade, whereabouts
from pinset.farm.entries import Account, Kind, NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.cooks import (
    Judged,
    cook_entries,
    entries_of_cooks,
    newest_verdicts,
    verdict_entries,
)
from pinset.farm.queries.lineage import children
from pinset.farm.queries.story import Happened
from pinset.farm.trade import CookVerdict, Tap
from pinset.services.building.heat import by_hand, lots_of
from pinset.services.clock import now_utc
from pinset.services.cook_words import is_by_hand, verdict_in_words
from pinset.services.views import Done

PAGE = 30
JUST_AFTER = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True)
class CookLine:
    """A cook as a list shows it."""

    cook: str  # code
    at: datetime  # when it was loaded
    steriliser: str  # code
    cook_kind: str
    units: int
    lots: tuple[str, ...]  # prepared lots it made
    verdict: str  # pass, fail, unjudged; the newest that stands
    words: str  # passed, too short, not judged yet
    sentence: str
    judged_at: datetime | None  # None: never judged
    judged_by: str  # name
    by_hand: bool  # somebody's own judgement, without a log


@dataclass(frozen=True, slots=True)
class CookPage:
    """Some of the cooks, the newest first."""

    total: int
    page: int
    pages: int
    cooks: tuple[CookLine, ...]


@dataclass(frozen=True, slots=True)
class VerdictLine:
    """One verdict in the history of a cook."""

    entry: str  # client id, for taking it back
    verdict: str
    words: str
    sentence: str
    at: datetime
    by: str  # name
    by_hand: bool
    taken_back: bool
    log: str  # SHA-256 of the logger's file; empty: there is none
    log_name: str
    judged: Mapping[str, Any]  # what it rests on, as it was handed in
    reason: str = ""  # why its log is of this cook, where that was in doubt


@dataclass(frozen=True, slots=True)
class LotOfCook:
    """A lot that went through a cook, or was made in vessels that did."""

    lot: str
    stage: str
    variety: str  # code; empty for prepared vessels
    step: str
    units: int  # vessels that went in


@dataclass(frozen=True, slots=True)
class CookView:
    """A cook with its verdicts, the newest first, and the lots made from it."""

    line: CookLine
    hold_minutes: int  # as somebody read it off
    done_by: str  # name of who loaded it
    verdicts: tuple[VerdictLine, ...]
    inoculated: tuple[LotOfCook, ...]


def cooks(since: datetime, page: int = 1) -> CookPage:
    """Return a page of the cooks since a moment, the newest first.

    Raises
    ------
    InputError
        If the page is below 1.
    """
    if page < 1:
        raise InputError("page", page, "1 or more")
    total, entries = cook_entries(since, offset=(page - 1) * PAGE, limit=PAGE)
    codes = {_code(entry) for entry in entries}
    judged = newest_verdicts(codes)
    return CookPage(
        total=total,
        page=page,
        pages=max(1, -(-total // PAGE)),
        cooks=tuple(_line([entry], judged.get(_code(entry))) for entry in entries),
    )


def cook_of(code: str) -> CookView:
    """Return one cook with everything that hangs on it.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    lots = lots_of(code)
    entries = entries_of_cooks([code])
    line = _line(entries, newest_verdicts([code]).get(code))
    return CookView(
        line=line,
        hold_minutes=int(entries[-1].details.get("hold_minutes", 0)),
        done_by=entries[-1].person_name,
        verdicts=tuple(_verdict(entry) for entry in reversed(verdict_entries(code))),
        inoculated=tuple(
            LotOfCook(child.lot, child.stage, child.variety, child.step, child.units)
            for lot in lots
            for child in children(lot)
            if child.stage != Stage.PREPARED.value
        ),
    )


def _code(entry: Happened) -> str:
    return str(entry.details.get("cook", ""))


def _line(entries: list[Happened] | tuple[Happened, ...], judged: Judged | None) -> CookLine:
    first = entries[0]
    details = judged.details if judged else {}
    verdict = judged.verdict if judged else CookVerdict.UNJUDGED.value
    return CookLine(
        cook=_code(first),
        at=first.happened_at,
        steriliser=str(first.details.get("steriliser", "")),
        cook_kind=str(first.details.get("cook_kind", "")),
        units=-sum(entry.total(Account.MADE.value) for entry in entries),
        lots=tuple(lot for entry in entries for lot in entry.lots_made),
        verdict=verdict,
        words=verdict_in_words(verdict, details),
        sentence=str(details.get("sentence", "")),
        judged_at=judged.at if judged else None,
        judged_by=judged.by if judged else "",
        by_hand=is_by_hand(details),
    )


def _verdict(entry: Happened) -> VerdictLine:
    said = entry.details
    verdict = str(said.get("verdict", ""))
    return VerdictLine(
        entry=entry.client_id,
        verdict=verdict,
        words=verdict_in_words(verdict, said),
        sentence=str(said.get("sentence", "")),
        at=entry.happened_at,
        by=entry.person_name,
        by_hand=is_by_hand(said),
        taken_back=entry.is_corrected,
        log=str(said.get("log", "")),
        log_name=str(said.get("log_name", "")),
        judged=said.get("judged", {}),
        reason="" if is_by_hand(said) else str(said.get("reason", "")),
    )


def record_verdict(
    client_id: str,
    worker: str,
    cook: str,
    judged: Mapping[str, Any],
    verdict: str,
    sentence: str,
    log: bytes | None,
    log_name: str = "",
    *,
    reason: str = "",
) -> Done:
    """Write down what came of a cook, and keep the log it was judged by.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same verdict.
    worker : str
        Code of who judged; empty: nobody is known.
    cook : str
        Code of the cook.
    judged : mapping
        What the verdict rests on: rule, probes, positions, method; plain values.
    verdict, sentence : str
        ``pass``, ``fail`` or ``unjudged``, and that in words.
    log, log_name : bytes or None, str
        The logger's file and its name.
    reason : str
        Why the log is of this cook, where that was in doubt.

    Raises
    ------
    InputError
        If a value cannot be kept, or the log is not the one that was judged.
    RefusedError
        If there is no such cook.
    """
    details: dict[str, Any] = {"judged": to_plain(dict(judged)), "sentence": sentence}
    if log is not None:
        digest = hashlib.sha256(log).hexdigest()
        if judged.get("digest", digest) != digest:
            raise InputError("log", log_name, "the file that was judged, unchanged")
        details |= {"log": digest, "log_name": log_name}
    if reason:
        details["reason"] = reason

    def build(tap: Tap) -> NewEntry:
        lots = lots_of(cook)
        if log is not None:
            log_store.keep(log, log_name)
        return trade.verdict(tap, cook=cook, lots=lots, verdict=verdict, details=details)

    return write_verdict(client_id, worker, cook, build)


def judge_by_hand(client_id: str, worker: str, cook: str, verdict: str, reason: str) -> Done:
    """Write down somebody's own judgement of a cook: what was watched stands for a log.

    Raises
    ------
    InputError
        If it is neither ``pass`` nor ``fail``, or no reason is given.
    RefusedError
        If there is no such cook.
    """
    return write_verdict(client_id, worker, cook, lambda tap: by_hand(tap, cook, verdict, reason))


def write_verdict(client_id: str, worker: str, cook: str, build: Callable[[Tap], NewEntry]) -> Done:
    """Write a verdict down that is built for a tap, and close the job that asked for it.

    Raises
    ------
    InputError
        If the id belongs to another entry.
    """
    now = now_utc()
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _is_known(client_id, cook):
            return Done(client_id, already=True, sentence="Recorded already.", findings=())
        job = job_store.judging_of(cook)
        before = newest_verdicts([cook]).get(cook)
        at = max(now, before.at + JUST_AFTER) if before else now
        entry = build(Tap(client_id, at, worker, job.code if job else ""))
        is_told = entry.details["verdict"] != CookVerdict.UNJUDGED
        if job is not None and is_told:
            entry.details.update(count=1, finishes=True)
        [recorded] = door.record([entry], now=now)
        if job is not None and is_told:
            job_store.close(job.code, now)
    words = verdict_in_words(str(entry.details["verdict"]), entry.details)
    return Done(
        entry=client_id,
        already=recorded.already,
        sentence=f"Cook {cook}: {words}.",
        findings=tuple(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
    )


def _is_known(client_id: str, cook: str) -> bool:
    """Say whether this tap was written down.

    Raises
    ------
    InputError
        If the id belongs to another entry: a tap must never vanish behind somebody else's.
    """
    known = story.entry(client_id)
    if known is None:
        return False
    if known.kind != Kind.VERDICT or known.details.get("cook") != cook:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    return True


def stored_log(digest: str) -> tuple[str, bytes]:
    """Return name and content of a log that a cook was judged by.

    Raises
    ------
    RefusedError
        If there is none of that digest.
    InputError
        If what is kept is not what the digest says.
    """
    found = log_store.stored(digest)
    if found is None:
        raise RefusedError(f"No log {digest[:12]} is kept here.", "Load it on the Heat page.")
    return found
