"""What is said of cooks that were not loaded at their hour."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date, time

from pinset.chain.day_hours import HOUR
from pinset.planning.plan import Plan
from pinset.services.book_reader import Reader
from pinset.services.day.hours_left import HoursLeft
from pinset.services.day.hours_past import missed_cooks
from pinset.services.day.lateness import late_cost
from pinset.services.jobs.matching import KnownJob, Matching
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.words import joined, near_day, sentences

WORTH_SAYING_G = 100.0


def more_short(before: Plan | None, plan: Plan) -> dict[str, float]:
    """Return the grams by variety that are short now and were not in the plan before."""
    more: dict[str, float] = {}
    if before is None:
        return more
    for sign, each in ((1, plan), (-1, before)):
        for short in each.short:
            if short.measure == "gram" and short.day >= plan.start:
                more[short.variety] = more.get(short.variety, 0.0) + sign * short.amount
    return {variety: grams for variety, grams in more.items() if grams >= WORTH_SAYING_G}


def cooks_not_loaded(
    matching: Matching,
    known: Sequence[KnownJob],
    left: HoursLeft,
    shut: Collection[str],
    reader: Reader,
    shorter: Mapping[str, float],
) -> tuple[str, ...]:
    """Return a sentence for each cook that was not loaded at its hour today.

    Parameters
    ----------
    matching, known : Matching, sequence of KnownJob
        What became of the stored jobs.
    left : HoursLeft
        What is left of today.
    shut : collection of str
        Sterilisers with hours left, whose vessels cannot be filled in time.
    reader : Reader
        The farm's book.
    shorter : mapping of str to float
        Grams by variety that are short now and were not before. [g]
    """
    today = reader.today
    missed = {each.code: each.job for each in missed_cooks(known, today, left.since)}
    said = []
    for code, job in matching.kept:
        if job.kind is not JobKind.COOK:
            continue
        old = missed.get(code)
        if job.day > today and job.missed_at:
            days = (job.day - (job.first_day or today)).days
            late = late_cost(job, days, job.day, doing="that")
            fewer = f"{job.count} of them " if old and job.count < old.count else ""
            when = f"Now {fewer}{near_day(job.day, today)} at {job.fixed_at}"
            parts = [
                _not_loaded(old or job, job.missed_at),
                _why_not(job, left, shut, reader),
                f"{when}; {late}",
                _shorter(job, reader, shorter),
            ]
            said.append(sentences(parts))
        elif old is not None and job.day == today and job.fixed_at:
            said.append(f"{_not_loaded(old, old.fixed_at)}; they still fit at {job.fixed_at}.")
    gone = {each.code for each in matching.withdrawn}
    for code, old in missed.items():
        if code in gone:
            parts = [
                _not_loaded(old, old.fixed_at),
                _why_not(old, left, shut, reader),
                _taken_over_by(old, matching, today),
                _shorter(old, reader, shorter),
            ]
            said.append(sentences(parts))
    return tuple(said)


def _not_loaded(job: PlannedJob, hour: str) -> str:
    return f"{job.count} {job.what} were not loaded at {hour}"


def _why_not(job: PlannedJob, left: HoursLeft, shut: Collection[str], reader: Reader) -> str:
    """Return why a cook cannot be loaded today any more; nothing if it could."""
    own = left.sterilisers.get(job.steriliser)
    machine = next((s for s in reader.book.sterilisers if s.code == job.steriliser), None)
    kind = next((k for k in machine.cooks if k.code == job.cook_kind), None) if machine else None
    if own is None or kind is None:
        return ""
    if not own.is_in_use:
        return "The steriliser is out of use today"
    end = own.free_from + round(kind.hours * HOUR)
    if end > own.ends_by:
        when = f"at {_clock(own.free_from)}" if own.free_from > _minute(left.since) else "now"
        return (
            f"Loaded {when} they would be done at {_clock(end)}, later than {_clock(own.ends_by)}"
        )
    if not own.fits(kind, own.free_from, follows=own.loads > 0):
        return f"Work ends at {_clock(own.here.ends)}"
    return "They cannot be filled in time" if job.steriliser in shut else ""


def _minute(since: time | None) -> int:
    return since.hour * HOUR + since.minute if since else 0


def _clock(minute: int) -> str:
    hours, minutes = divmod(minute, HOUR)
    return f"{hours % 24:02}:{minutes:02}"


def _taken_over_by(old: PlannedJob, matching: Matching, today: date) -> str:
    later = [
        job
        for job in (*(job for _, job in matching.kept), *matching.added)
        if job.kind is JobKind.COOK and job.cook_kind == old.cook_kind and job.day > today
    ]
    if not later:
        return "The plan has no such cook in the next days"
    soonest = min(later, key=lambda job: job.day)
    return f"The next such cook is {near_day(soonest.day, today)} at {soonest.fixed_at}"


def _shorter(job: PlannedJob, reader: Reader, shorter: Mapping[str, float]) -> str:
    routes = {feed.route for feed in job.feeds}
    said = [
        f"{reader.about(shorter[variety.code])} {variety.name}"
        for variety in reader.book.varieties
        if variety.route in routes and variety.code in shorter
    ]
    return f"{joined(said)} more will be short than before" if said else ""
