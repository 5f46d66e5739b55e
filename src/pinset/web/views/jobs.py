"""One job: why, what spoils, and everything that can be said about it."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services import recording, today
from pinset.services.views import Done, JobView
from pinset.web import fields
from pinset.web.cards import card
from pinset.web.client_ids import read_client_id
from pinset.web.lots_used import lots_used
from pinset.web.render import Said, page
from pinset.web.who import who

NOT_TODAY = (
    gettext_lazy("no time left"),
    gettext_lazy("somebody is missing"),
    gettext_lazy("not ready yet"),
    gettext_lazy("the steriliser is not free"),
    gettext_lazy("something to work with is missing"),
    gettext_lazy("the laboratory is not clean"),
)
NOT_AT_ALL = (
    gettext_lazy("no longer needed"),
    gettext_lazy("the units are lost"),
    gettext_lazy("the culture looks wrong"),
    gettext_lazy("it was done another way"),
)


def find_job(code: str) -> JobView:
    """Return a job by its code."""
    try:
        return today.job_view(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_GET
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show one job with all that can be said about it."""
    job = find_job(code)
    return page(
        request,
        "job.html",
        {"job": job, "not_today": NOT_TODAY, "not_at_all": NOT_AT_ALL},
        here="today",
    )


def _answer(request: HttpRequest, code: str, done: Done) -> HttpResponse:
    """Show the job's card again with what was written, or go back to Today."""
    sentence = _("Already written down.") if done.already else done.sentence
    if request.headers.get("HX-Request"):
        try:
            job = find_job(code)
        except Http404:
            response = HttpResponse(status=204)
            response.headers["HX-Refresh"] = "true"
            return response
        said = [Said(sentence, "good"), *(Said(text, "") for text in done.findings)]
        return page(
            request,
            "parts/job_answer.html",
            {"job": job, "said": said, "card": card},
            here="today",
        )
    messages.success(request, sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("today")


def _client_id(request: HttpRequest) -> str:
    return read_client_id(request.POST.get("client_id", ""))


@require_POST
def done(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that a job was done, wholly or (``how=part``) in part."""
    record: Callable[..., Done] = (
        recording.part_done if request.POST.get("how") == "part" else recording.done
    )
    answer = record(
        code,
        person=who(request).code,
        client_id=_client_id(request),
        count=fields.whole(request, "count"),
        grams=fields.weight(request, "weight"),
        lots=lots_used(request),
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
    )
    return _answer(request, code, answer)


def _reason(request: HttpRequest) -> str:
    reason = fields.text(request, "reason", longest=200) or fields.text(
        request, "other", longest=200
    )
    if not reason:
        raise InputError(_("reason"), "", _("one of the reasons, or a few words of your own"))
    return reason


@require_POST
def not_today(request: HttpRequest, code: str) -> HttpResponse:
    """Put a job off, with a reason."""
    answer = recording.not_today(
        code, person=who(request).code, client_id=_client_id(request), reason=_reason(request)
    )
    return _answer(request, code, answer)


@require_POST
def not_at_all(request: HttpRequest, code: str) -> HttpResponse:
    """Drop a job, with a reason."""
    answer = recording.not_at_all(
        code, person=who(request).code, client_id=_client_id(request), reason=_reason(request)
    )
    return _answer(request, code, answer)


@require_POST
def claim(request: HttpRequest, code: str) -> HttpResponse:
    """Say that one is on it, so that nobody does it twice."""
    if recording.claim(code, who(request).code):
        messages.success(request, _("It is yours."))
    else:
        messages.warning(request, _("Somebody else has it, or it is done."))
    return redirect("job", code)


@require_POST
def release(request: HttpRequest, code: str) -> HttpResponse:
    """Leave a claimed job to others."""
    if recording.release(code, who(request).code):
        messages.success(request, _("It is free for others."))
    else:
        messages.warning(request, _("Only the one who has it can leave it."))
    return redirect("job", code)


@require_POST
def undo(request: HttpRequest, entry: str) -> HttpResponse:
    """Set an entry right by a correcting entry; the first one stays readable."""
    answer = recording.undo(
        entry, person=who(request).code, client_id=_client_id(request), reason=_reason(request)
    )
    lot = fields.text(request, "lot", longest=20)
    if lot:
        messages.success(request, answer.sentence)
        return redirect("lot", lot)
    return _answer(request, fields.text(request, "job", longest=40), answer)
