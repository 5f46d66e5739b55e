"""Today: what to do now, in which order, with what."""

from __future__ import annotations

from collections import Counter

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from pinset.services.day import today
from pinset.services.https.own_certificate import due_words
from pinset.services.plans.who_plans import may_plan
from pinset.services.views import DayView, JobState, JobView
from pinset.web.cards import card
from pinset.web.render import page
from pinset.web.who import who


def all_jobs(view: DayView) -> tuple[JobView, ...]:
    """Return the jobs of the day in the order they stand on the page."""
    return (*(job for section in view.sections for job in section.jobs), *view.later)


def progress_words(jobs: tuple[JobView, ...]) -> str:
    """Return how far the day is, in words."""
    done = sum(job.state is JobState.DONE for job in jobs)
    off = sum(job.state in {JobState.NOT_TODAY, JobState.NOT_AT_ALL} for job in jobs)
    passed = sum(job.state is JobState.PASSED for job in jobs)
    words = _("%(done)s of %(all)s done") % {"done": done, "all": len(jobs) - passed}
    return f"{words}, {_('%(off)s put off') % {'off': off}}" if off else words


def shared_cautions(jobs: tuple[JobView, ...]) -> tuple[str, ...]:
    """Return the cautions that several open jobs of a room need: they stand once, above them."""
    counted = Counter(
        sentence
        for job in jobs
        if job.state in {JobState.OPEN, JobState.PART}
        for sentence in job.cautions
    )
    return tuple(sentence for sentence, count in counted.items() if count > 1)


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the day."""
    person = who(request)
    view = today.day_view(person.code)
    jobs = all_jobs(view)
    context = {
        "may_plan": may_plan(person.code, is_owner=person.is_owner),
        "view": view,
        "card": card,
        "jobs": jobs,
        "progress_words": progress_words(jobs),
        "shared": [shared_cautions(section.jobs) for section in view.sections],
        "shared_later": shared_cautions(view.later),
        "certificate": due_words(settings.FARM_FOLDER) if person.is_owner else "",
    }
    kept = (view, context["may_plan"], context["certificate"])
    return page(request, "today.html", context, here="today", kept=kept)


def job_today(person: str, code: str) -> JobView | None:
    """Return a job of the day with the hour it fits in at; None if it is not of today."""
    jobs = all_jobs(today.day_view(person))
    return next((job for job in jobs if job.job == code.upper()), None)


def jobs_of_kind(person: str, kind: str) -> tuple[JobView, ...]:
    """Return today's open jobs of a kind."""
    return tuple(
        job
        for job in all_jobs(today.day_view(person))
        if job.kind == kind and job.state in {JobState.OPEN, JobState.PART}
    )
