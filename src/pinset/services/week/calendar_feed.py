"""The jobs of the coming days as a calendar (RFC 5545), for a program or a phone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from pinset.farm import calendar_store, job_store
from pinset.farm.calendar_store import EventRow
from pinset.files.calendar_lines import Event, calendar_bytes
from pinset.services.clock import at_clock, now_utc
from pinset.services.day.fitting import NEXT_DAY, clock_of, is_next_day
from pinset.services.views import JobState, JobView
from pinset.services.week.week import WeekView, week_view
from pinset.services.week.words import caution_line, due_words, lots_line
from pinset.services.words import minutes_in_words, plural, sentences

REFRESH = timedelta(hours=1)
NO_JOBS = "none"
"""Stands for a job where there is none: a calendar holds at least one event."""

ABOUT = "Jobs of today and the six days after it, as pinset has laid them out."


@dataclass(frozen=True, slots=True)
class _Said:
    """A job as every calendar is told of it, whoever's it is."""

    begins: datetime | date
    lasts: timedelta
    summary: str
    description: str
    location: str
    category: str
    claimed_by: str = ""  # code; never written into a calendar
    has_page: bool = True

    @property
    def digest(self) -> str:
        told = (self.begins.isoformat(), self.lasts.total_seconds(), self.summary)
        more = (self.description, self.location, self.category, self.claimed_by)
        return hashlib.sha256(json.dumps([*told, *more]).encode()).hexdigest()


def calendar_of_jobs(
    person: str = "",
    now: datetime | None = None,
    *,
    page_of: Callable[[str], str] = lambda _: "",
) -> bytes:
    """Return the jobs of the coming seven days as a calendar.

    A job with an hour that does not move begins at it, given in UTC; any other is of its whole day.
    A job that is done, dropped or withdrawn is no longer in it.

    Parameters
    ----------
    person : str
        Code of whoever it is for: jobs they claimed say so. Nobody's name is in it.
    page_of : callable
        The address of a job's page by its code; empty: no address.
    """
    moment = now or now_utc()
    view = week_view(moment)
    claims = {row.code: row.claimed_by for row in job_store.open_jobs()}
    said = {
        job.job: replace(
            _said(job, day.day, place.title, view.time_zone), claimed_by=claims.get(job.job, "")
        )
        for day in view.days
        for place in day.places
        for job in place.jobs
    }
    if not said:
        said = {NO_JOBS: _nothing(view)}
    rows = calendar_store.given_out(
        {code: each.digest for code, each in said.items()}, moment.astimezone(UTC)
    )
    events = [
        _event(each, rows[code], person, page_of(code) if each.has_page else "")
        for code, each in said.items()
    ]
    return calendar_bytes(f"{view.farm}: jobs", events, description=ABOUT, refresh=REFRESH)


def _event(said: _Said, row: EventRow, person: str, url: str) -> Event:
    is_mine = bool(said.claimed_by) and said.claimed_by == person
    whose = "You do it" if is_mine else "Somebody does it already" if said.claimed_by else ""
    return Event(
        uid=row.uid,
        sequence=row.sequence,
        made_at=row.made_at,
        changed_at=row.changed_at,
        begins=said.begins,
        lasts=said.lasts,
        summary=said.summary,
        description="\n".join(filter(None, (whose, said.description))),
        location=said.location,
        category=said.category,
        url=url,
        is_busy=is_mine and isinstance(said.begins, datetime),
    )


def _said(job: JobView, day: date, room: str, time_zone: str) -> _Said:
    is_part = job.state is JobState.PART
    count = job.left if is_part else job.count
    begins = _begins(job, day, time_zone)
    lines = (
        f"{job.done_said} of {job.count} done" if is_part else "",
        f"Late by {plural(job.late_days, 'day')}" if job.late_days else "",
        job.stop,
        job.detail,
        lots_line(job),
        due_words(job),
        f"About {minutes_in_words(job.minutes_left)}" if job.minutes else "",
        caution_line(job),
        f"Job {job.job}",
    )
    return _Said(
        begins=begins,
        lasts=timedelta(minutes=max(1, job.minutes_left)) if isinstance(begins, datetime)
        else timedelta(),
        summary=f"{count} {job.what}",
        description="\n".join(sentences([line]) for line in lines if line),
        location=job.place,
        category=room,
    )  # fmt: skip


def _begins(job: JobView, day: date, time_zone: str) -> datetime | date:
    """Return the moment a job's own hour falls on; the day where it has none."""
    hour = job.at.removesuffix(NEXT_DAY)
    if clock_of(hour) is None:
        return day
    return at_clock(day + timedelta(days=is_next_day(job.at)), hour, time_zone)


def _nothing(view: WeekView) -> _Said:
    return _Said(
        begins=view.first,
        lasts=timedelta(),
        summary="No jobs are laid out for these days",
        description="",
        location="",
        category="",
        has_page=False,
    )
