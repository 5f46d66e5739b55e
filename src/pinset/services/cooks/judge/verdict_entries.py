"""Verdicts on cooks written down: by a log, which is kept with it, or by hand."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from datetime import timedelta
from typing import Any

from django.db import transaction

from pinset.chain.plain import to_plain
from pinset.errors import InputError
from pinset.farm import door, job_store, log_store, trade, whereabouts
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.cooks import standing_verdicts, verdict_entries
from pinset.farm.trade import CookVerdict, Tap
from pinset.services.building.heat import by_hand, lots_of
from pinset.services.clock import now_utc
from pinset.services.cooks.judge.standing import (
    NOTHING,
    Aside,
    counted_on,
    earlier_in_words,
    replaced_by,
    set_aside,
    set_aside_by,
    together_with,
)
from pinset.services.cooks.words import verdict_in_words
from pinset.services.jobs.to_decide import settle_deciding
from pinset.services.plans import planning_day
from pinset.services.views import Done

JUST_AFTER = timedelta(microseconds=1)


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
    aside: Aside = NOTHING,
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
    aside : Aside
        Earlier verdicts that do not count because of it, and why.

    Raises
    ------
    InputError
        If a value cannot be kept, the log is not the one that was judged, or nothing such can be
        set aside.
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
        put_aside = set_aside(cook, verdict, aside)
        if log is not None:
            log_store.keep(log, log_name)
        given = {**details, **put_aside}
        return trade.verdict(tap, cook=cook, lots=lots, verdict=verdict, details=given)

    return write_verdict(client_id, worker, cook, build)


def judge_by_hand(
    client_id: str, worker: str, cook: str, verdict: str, reason: str, aside: Aside = NOTHING
) -> Done:
    """Write down somebody's own judgement of a cook: what was watched stands for a log.

    ``aside`` are earlier verdicts that do not count because of it.

    Raises
    ------
    InputError
        If it is neither ``pass`` nor ``fail``, no reason is given, or nothing such can be set
        aside.
    RefusedError
        If there is no such cook.
    """

    def build(tap: Tap) -> NewEntry:
        return by_hand(tap, cook, verdict, reason, aside=aside)

    return write_verdict(client_id, worker, cook, build)


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
        at = max([now, *(each.happened_at + JUST_AFTER for each in verdict_entries(cook))])
        counted = counted_on(cook)
        entry = build(Tap(client_id, at, worker, job.code if job else ""))
        is_told = together_with(cook, entry) != CookVerdict.UNJUDGED
        if job is not None and is_told:
            entry.details.update(count=1, finishes=True)
        [recorded] = door.record([entry], now=now)
        if job is not None and is_told:
            job_store.close(job.code, now)
        stands = standing_verdicts([cook])[cook]
        settle_deciding([cook], planning_day.farm_book(now)[0], now)
    said = f"Cook {cook}: {verdict_in_words(stands.verdict, stands.details)}."
    if stands.verdict != entry.details["verdict"]:
        own = verdict_in_words(str(entry.details["verdict"]), entry.details)
        said += f" This one alone: {own}. Before it, {earlier_in_words([stands])}."
    if replaced := replaced_by(entry, counted):
        said += f" It takes the place of its own beginning: {replaced}."
    if aside := set_aside_by(entry, counted):
        said += f" Set aside by it: {aside}."
    return Done(
        entry=client_id,
        already=recorded.already,
        sentence=said,
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
