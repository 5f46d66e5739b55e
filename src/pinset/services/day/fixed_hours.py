"""The hours of a day that do not move, in one line each: loads, openings, the van."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from pinset.chain.register import FarmBook
from pinset.services.book_reader import Reader
from pinset.services.day.fitting import by_clock
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob
from pinset.services.plans.stock_now import delivered_on
from pinset.services.views import FixedHour, JobState, JobView
from pinset.services.words import joined

WAITING = frozenset({JobState.OPEN, JobState.PART})


def fixed_hours(
    jobs: Sequence[JobView], stored: Sequence[StoredJob], book: FarmBook, today: date
) -> tuple[FixedHour, ...]:
    """Return what is to be done at hours that do not move, the earliest first.

    Of the van also what went out of it, where that is less than was promised.
    """
    content = {each.row.code: each for each in stored}
    hours: dict[tuple[str, str], list[JobView]] = defaultdict(list)
    for job in jobs:
        is_delivery = job.kind == JobKind.DELIVER.value
        if job.fixed and (job.state in WAITING or (is_delivery and job.state is JobState.DONE)):
            hours[job.at, job.kind if is_delivery else job.job].append(job)
    said = []
    for (at, _), together in sorted(
        hours.items(), key=lambda each: (by_clock(each[0][0]), each[0][1])
    ):
        first = together[0]
        if first.kind == JobKind.DELIVER.value:
            text = _van([(job, content[job.job]) for job in together], Reader(book, today))
        elif first.kind == JobKind.COOK.value:
            text = f"load: {first.count} {first.what}"
        else:
            text = f"earliest: {first.what}"
        if text:
            said.append(FixedHour(at, text, first.job))
    return tuple(said)


def _van(jobs: Sequence[tuple[JobView, StoredJob]], reader: Reader) -> str:
    """Return what the van still takes and what went out, summed up over buyers.

    ``van: 3.8 kg Grey oyster; gone: 1.2 kg of 5 kg Grey oyster``; nothing where all is gone.
    """
    handed = delivered_on(reader.today, reader.today, reader.book.farm.time_zone)
    promised = {promise.code: promise for promise in reader.book.promises}
    left: dict[tuple[str, str], int] = defaultdict(int)
    gone: dict[tuple[str, str], tuple[int, int]] = defaultdict(lambda: (0, 0))
    seen: set[str] = set()
    for view, each in sorted(jobs, key=lambda job: job[0].state not in WAITING):
        job = each.job
        if job.promise in seen:
            continue  # the rest of a promise is a job of its own
        seen.add(job.promise)
        promise = promised.get(job.promise)
        out = handed.get((job.promise, job.day), 0)
        key = (job.variety_name, promise.measure if promise else _measure(each))
        whole = promise.amount if promise else out + (job.grams or job.count)
        if view.state in WAITING:
            left[key] += max(0, whole - out)
        if 0 < out < whole:
            gone[key] = (gone[key][0] + out, gone[key][1] + whole)
    return _line(_weighed(left, reader), _of(gone, reader))


def _measure(stored: StoredJob) -> str:
    return "gram" if stored.job.grams else "unit"


def _weighed(left: Mapping[tuple[str, str], int], reader: Reader) -> str:
    return joined([f"{reader.said(n, of)} {name}" for (name, of), n in left.items() if n])


def _of(gone: Mapping[tuple[str, str], tuple[int, int]], reader: Reader) -> str:
    return joined(
        [
            f"{reader.said(out, of)} of {reader.said(whole, of)} {name}"
            for (name, of), (out, whole) in gone.items()
        ]
    )


def _line(left: str, gone: str) -> str:
    if left and gone:
        return f"van: {left}; gone: {gone}"
    if left:
        return f"van: {left}"
    return f"van left with {gone}" if gone else ""
