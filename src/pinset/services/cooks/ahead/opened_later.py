"""Openings of loads whose hold a newer log speaks against: later by what they are held longer.

Otherwise the job of the load would ask for a hold that the hour of its opening leaves no room for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.services.cooks.ahead.hold_doubted import DoubtedHold, doubted_hold
from pinset.services.cooks.learn.learnt_said import learnt_said
from pinset.services.day.fitting import NEXT_DAY, clock_of, is_next_day
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.loads.opening_hour import opening_of_cook
from pinset.services.words import minutes_in_words, near_day

AFTER = "after "


def opened_after_hold(stored: Iterable[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return jobs; those that open a cook not before the longer hold of its load is over."""
    found = tuple(stored)
    if not any(_is_to_open(each) for each in found) or not learnt_said():
        return found
    return tuple(
        replace(each, job=_later(each.job, book)) if _is_to_open(each) else each for each in found
    )


def _is_to_open(stored: StoredJob) -> bool:
    is_open = stored.job.kind is JobKind.OPEN and not stored.row.is_closed
    return is_open and not done_count(stored.entries)


def _later(job: PlannedJob, book: FarmBook) -> PlannedJob:
    found = doubted_hold(job, book)
    if found is None or (found.longest is not None and found.longer_min == 0.0):
        return job
    said = job.fixed_at or job.due.removeprefix(AFTER)
    planned = clock_of(said.removesuffix(NEXT_DAY))
    if found.longest is None or planned is None:
        return replace(job, detail=_joined(_words(found), job.detail))
    begins = datetime.combine(job.day, planned) + timedelta(days=is_next_day(said))
    ended = (job.may_open or begins) + timedelta(minutes=found.longer_min)
    opening = opening_of_cook(book, job.steriliser, job.day, ended)
    days = (opening.at.date() - job.day).days
    if days > 1:  # no hour of this list any more
        when = f"Not before {opening.at:%H:%M} {near_day(opening.at.date(), job.day)}."
        return replace(
            job, fixed_at="", due="", detail=_joined(f"{when} {_words(found)}", job.detail)
        )
    told = opening.given_to(replace(job, detail=_joined(_words(found), job.detail)))
    return told if job.fixed_at else replace(told, fixed_at="")


def _words(found: DoubtedHold) -> str:
    if found.longest is None:
        return (
            "The farm's own hold may be too short for this load, as its own job says: not before "
            "it was held for long enough"
        )
    return (
        f"{minutes_in_words(found.longer_min)} later than by the farm's own figure: the load is to "
        f"be held {minutes_in_words(found.longest)}, as its own job says"
    )


def _joined(words: str, detail: str) -> str:
    return f"{words}. {detail}" if detail else words
