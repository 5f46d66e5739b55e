"""When vessels that come out of a cook are cool enough to be inoculated, by their route."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.register import CookKind, Preparation
from pinset.planning.model.cook_times import COOL, cooling_hours
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time, hour_is_known
from pinset.services.cooks.heat_units import in_farm_units
from pinset.services.day.fitting import NEXT_DAY, clock_of
from pinset.services.jobs.preparing import INOCULATION_CLOCK
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.loads.lost_loads import lost_opening
from pinset.services.loads.opening_hour import closed_words
from pinset.services.words import minutes_in_words, near_day

HOUR = 60


@dataclass(frozen=True, slots=True)
class Cooling:
    """What cooling a load takes."""

    hours: float  # of the vessels that take longest; 0: the routes say nothing of it
    minutes: float  # of a person's, to set them out


def cooling_of(fed: Sequence[Start], kind: CookKind, reader: Reader) -> Cooling:
    """Return what cooling the vessels of these starts takes after a cook, as their routes say."""
    found: list[tuple[Start, Preparation]] = [
        (start, preparation)
        for start in fed
        for preparation in reader.step(start.variety, start.step).preparations
        if preparation.task == COOL
    ]
    return Cooling(
        hours=cooling_hours((reader.step(start.variety, start.step) for start in fed), kind.hours),
        minutes=max((p.minutes_fixed for _, p in found), default=0.0)
        + sum(p.minutes_per_unit * round(start.count) for start, p in found),
    )


def with_cooling(stored: StoredJob, reader: Reader) -> str:
    """Return the soft line of a job: of an opening, with the hour its load is cool enough."""
    job = stored.job
    if job.kind is JobKind.COOK:
        return in_farm_units(job.detail, reader.book.farm.units)
    if job.kind is not JobKind.OPEN:
        return job.detail
    waits = "" if stored.row.is_closed else closed_words(job, reader.today)
    usual = in_farm_units(job.detail, reader.book.farm.units)
    detail = "; ".join(each for each in (waits[:1].upper() + waits[1:], usual) if each)
    if not job.cool_hours:
        return detail
    words = _words(stored, _opened(stored, reader), reader)
    return f"{detail}; {words}" if detail else words[0].upper() + words[1:]


def _opened(stored: StoredJob, reader: Reader) -> datetime | None:
    """Return when the load was or will be opened, by the farm's clock; None: nobody can tell."""
    job, answers = stored.job, stored.entries
    if stored.row.is_closed and done_count(answers) and hour_is_known():
        return farm_time(answers[-1].happened_at, reader.book.farm.time_zone).replace(tzinfo=None)
    at = clock_of(job.fixed_at.removesuffix(NEXT_DAY))
    if at is None:
        return None
    return datetime.combine(job.day, at) + timedelta(days=job.fixed_at.endswith(NEXT_DAY))


def _words(stored: StoredJob, opened: datetime | None, reader: Reader) -> str:
    job = stored.job
    takes = minutes_in_words(job.cool_hours * HOUR)
    check = "measure a core first"
    cool = opened + timedelta(hours=job.cool_hours) if opened is not None else None
    if cool is None:
        said = f"cool enough to inoculate about {takes} after unloading; {check}"
    else:
        when = f"{cool:%H:%M} {near_day(cool.date(), reader.today)}"
        said = f"cool enough to inoculate about {when}, {takes} after unloading; {check}"
    lost = None
    if opened is not None or not stored.row.is_closed:
        at = opened if stored.row.is_closed else None
        lost = lost_opening(stored, reader.book, reader.today, at)
    if lost is not None:
        return f"{said}; {lost.words(reader.today)}: lost unless somebody comes in that time"
    meant = datetime.combine(job.for_day, INOCULATION_CLOCK) if job.for_day is not None else None
    if meant is not None and cool is not None and cool > meant:
        said += "; what it is for waits until then"
    return said
