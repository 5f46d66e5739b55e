"""The farm if everybody worked on every day, as long as on their usual ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.chain.day_hours import DayHours, hours_count
from pinset.chain.outages import OutageOf
from pinset.chain.register import FarmBook, Weekday, Worker


def everybody_there(book: FarmBook) -> FarmBook:
    """Return the book without days off and with nobody away; who has no hours at all stays out."""
    farm = replace(book.farm, working_days=tuple(Weekday), days_off=())
    return replace(
        book,
        farm=farm,
        workers=tuple(_every_day(worker) for worker in book.workers),
        outages=tuple(each for each in book.outages if each.what is not OutageOf.PERSON),
    )


def _every_day(worker: Worker) -> Worker:
    worked = [each for each in worker.hours if hours_count(each) > 0]
    if not worked:
        return worker
    hours = tuple(each if hours_count(each) > 0 else usual_hours(worked) for each in worker.hours)
    return replace(worker, hours=hours)


def usual_hours(worked: Sequence[DayHours]) -> DayHours:
    """Return hours as on the days that are worked: their mean, or the times nearest to it."""
    mean = sum(map(hours_count, worked)) / max(1, len(worked))
    times = [each for each in worked if isinstance(each, str)]
    return min(times, key=lambda each: abs(hours_count(each) - mean)) if times else mean
