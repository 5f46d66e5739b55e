"""The week filled for paper: each job in the words it needs at arm's length."""

from __future__ import annotations

from datetime import datetime

from pinset.paper.week_sheet import SheetDay, SheetJob, SheetPlace, WeekSheet, week_pdf
from pinset.services.cooks.judge.paper import Printed
from pinset.services.views import JobState, JobView
from pinset.services.week.week import WeekDay, WeekPlace, WeekView, hour_of_job, week_view
from pinset.services.week.words import caution_line, due_words, lots_line
from pinset.services.words import (
    first_upper,
    minutes_in_words,
    plural,
    sentences,
    short_day,
)

NOTHING = "Nothing is laid out for this day."
EXPECTED = "Expected, no jobs yet"
CAUTIONS = (
    "Cautions stand here in short and in full on each job's page. The plate on the vessel, its "
    "maker and the local rules come before this sheet."
)


def week_on_paper(paper: str = "a4", now: datetime | None = None) -> Printed:
    """Return the jobs of the coming seven days as PDF.

    Raises
    ------
    InputError
        If the paper is neither a4 nor letter.

    Examples
    --------
    In a view::

        printed = week_on_paper("letter")
        answer = HttpResponse(printed.data, content_type="application/pdf")
    """
    view = week_view(now)
    return Printed(f"week-{view.first}.pdf", week_pdf(sheet_of(view), paper))


def sheet_of(view: WeekView) -> WeekSheet:
    """Return the words that stand on the paper."""
    jobs = view.jobs
    minutes = sum(job.minutes_left for job in jobs)
    summary = f"{plural(len(jobs), 'job')}, about {minutes_in_words(minutes)}." if jobs else ""
    return WeekSheet(
        farm=view.farm,
        title=f"{short_day(view.first)} to {short_day(view.last)}",
        notes=tuple(filter(None, (summary, *view.notes, CAUTIONS))),
        days=tuple(_day(day) for day in view.days),
        expected_head=EXPECTED,
        nothing=NOTHING,
        made=f"Made {view.made_at:%Y-%m-%d %H:%M}",
    )


def _day(day: WeekDay) -> SheetDay:
    return SheetDay(
        title=f"{day.title}, day off" if day.is_day_off else day.title,
        note=day.note,
        places=tuple(_place(place) for place in day.places),
        expected=tuple((each.at, first_upper(each.text)) for each in day.expected),
    )


def _place(place: WeekPlace) -> SheetPlace:
    return SheetPlace(place.title, place.note, tuple(_job(job) for job in place.jobs))


def _job(job: JobView) -> SheetJob:
    is_part = job.state is JobState.PART
    word, hour = hour_of_job(job)
    says = (
        lots_line(job),
        sentences([job.detail, "" if hour else due_words(job), _how_long(job), f"Job {job.job}"]),
        f"{job.claimed_by} does it" if job.claimed_by else "",
    )
    warns = (
        f"Left of {job.count}: {job.done_said} done" if is_part else "",
        f"Late by {plural(job.late_days, 'day')}" if job.late_days else "",
        job.stop,
        caution_line(job),
    )
    return SheetJob(
        before_hour=word,
        hour=hour,
        count=str(job.left if is_part else job.count),
        what=job.what,
        says=tuple(filter(None, says)),
        warns=tuple(filter(None, warns)),
    )


def _how_long(job: JobView) -> str:
    return f"About {minutes_in_words(job.minutes_left)}" if job.minutes_left else ""
