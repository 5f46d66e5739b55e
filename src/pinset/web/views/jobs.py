"""One job: why, what spoils, and everything that can be said about it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST
from markupsafe import Markup

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.answers import claims, putting_off, recording, taking_back
from pinset.services.day import today
from pinset.services.upkeep.instructions import instruction_view
from pinset.services.views import Done, JobView
from pinset.web import fields
from pinset.web.cards import card
from pinset.web.claimed import asked_first
from pinset.web.client_ids import read_client_id
from pinset.web.despite import despite_of, keys_asked
from pinset.web.forms import Field, attributes
from pinset.web.lots_used import lots_used, shelves_used
from pinset.web.mixes_loaded import mixes_loaded
from pinset.web.render import Said, page
from pinset.web.shown import shown_before, shown_now
from pinset.web.views.today import job_today
from pinset.web.who import who
from pinset.web.wording import said

NOT_TYPED = frozenset({"csrfmiddlewaretoken", "anyway", "how"})
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


@dataclass(frozen=True, slots=True)
class Form:
    """What stands in the form of a job: as planned, or as it was typed and refused."""

    typed: Mapping[str, str] = field(default_factory=dict)
    wrong: str = ""
    wrong_field: str = ""
    cooks: tuple[str, ...] = ()  # that did not pass and whose vessels would be used
    shown: str = ""  # what was shown to speak against it

    def is_wrong(self, name: str) -> bool:
        """Say whether this field is the one that was refused."""
        return bool(self.wrong) and self.wrong_field == name

    def marks(self, name: str, help_id: str = "") -> Markup:
        """Return what a control carries: whether it was refused, and what tells why."""
        if not self.is_wrong(name):
            return attributes(Field(name, ""), help_id)
        return attributes(Field(name, "", wrong=self.wrong), f"{help_id} {name}-wrong".strip())


def _job_page(request: HttpRequest, job: JobView, form: Form, status: int = 200) -> HttpResponse:
    context = {
        "job": job,
        "form": form,
        "not_today": NOT_TODAY,
        "not_at_all": NOT_AT_ALL,
        "instruction": instruction_view(job.instructed, who(request).code),
    }
    return page(request, "job.html", context, here="today", status=status)


@require_GET
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show one job with all that can be said about it."""
    return _job_page(request, find_job(code), Form())


def _answer(request: HttpRequest, code: str, done: Done) -> HttpResponse:
    """Show the job's card again with what was written, or go back to Today."""
    sentence = _("Already written down.") if done.already else done.sentence
    if request.headers.get("HX-Request"):
        said_now = [Said(sentence, "good"), *(Said(text, "") for text in done.findings)]
        return _card(request, code, said_now)
    messages.success(request, sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("today")


def _card(
    request: HttpRequest, code: str, said_now: Sequence[Said], status: int = 200
) -> HttpResponse:
    """Return the job's card in its present state, with what there is to say."""
    try:
        job = job_today(who(request).code, code) or find_job(code)
    except Http404:
        return HttpResponse(status=204, headers={"HX-Refresh": "true"})
    context = {"job": job, "said": said_now, "card": card}
    return page(request, "parts/job_answer.html", context, here="today", status=status)


def _refused(request: HttpRequest, code: str, problem: PinsetError) -> HttpResponse:
    """Show the card as the job stands now, or the page with all that was typed still in it."""
    job = find_job(code)
    status = 422 if isinstance(problem, InputError) else 409
    cooks = keys_asked(request, problem)
    if request.headers.get("HX-Request"):
        where = f" {_('Open the job to say it.')}" if cooks else ""
        return _card(request, job.job, [Said(f"{said(problem)}{where}", "gone")], status)
    typed = {name: str(value) for name, value in request.POST.items() if name not in NOT_TYPED}
    wrong_field = problem.field if isinstance(problem, InputError) else ""
    form = Form(typed, said(problem), wrong_field, cooks, shown_now(request, problem))
    return _job_page(request, job, form, status)


def _client_id(request: HttpRequest) -> str:
    return read_client_id(request.POST.get("client_id", ""))


@require_POST
def done(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that a job was done, wholly or (``how=part``) in part."""
    client_id = _client_id(request)
    question = asked_first(request, find_job(code), client_id)
    if question is not None:
        return question
    record: Callable[..., Done] = (
        recording.part_done if request.POST.get("how") == "part" else recording.done
    )
    try:
        answer = record(
            code,
            person=who(request).code,
            client_id=client_id,
            count=fields.whole(request, "count"),
            grams=fields.weight(request, "weight"),
            lots=lots_used(request),
            shelves=shelves_used(request),
            mixes=mixes_loaded(request),
            at=fields.moment(request, "at"),
            note=fields.text(request, "note"),
            reason=fields.text(request, "reason", longest=200),
            despite=despite_of(request),
            shown=shown_before(request),
        )
    except (InputError, RefusedError) as problem:
        return _refused(request, code, problem)
    return _answer(request, code, answer)


def _reason(request: HttpRequest) -> str:
    reason = fields.text(request, "reason", longest=200) or fields.text(
        request, "other", longest=200
    )
    if not reason:
        raise InputError("reason", "", _("one of the reasons, or a few words of your own"))
    return reason


@require_POST
def not_today(request: HttpRequest, code: str) -> HttpResponse:
    """Put a job off, with a reason."""
    answer = putting_off.not_today(
        code, person=who(request).code, client_id=_client_id(request), reason=_reason(request)
    )
    return _answer(request, code, answer)


@require_POST
def not_at_all(request: HttpRequest, code: str) -> HttpResponse:
    """Drop a job, with a reason."""
    answer = putting_off.not_at_all(
        code, person=who(request).code, client_id=_client_id(request), reason=_reason(request)
    )
    return _answer(request, code, answer)


@require_POST
def claim(request: HttpRequest, code: str) -> HttpResponse:
    """Say that one is on it, so that nobody does it twice."""
    if claims.claim(code, who(request).code):
        messages.success(request, _("It is yours."))
    else:
        messages.warning(request, _("Somebody else has it, or it is done."))
    return redirect("job", code)


@require_POST
def release(request: HttpRequest, code: str) -> HttpResponse:
    """Leave a claimed job to others."""
    if claims.release(code, who(request).code):
        messages.success(request, _("It is free for others."))
    else:
        messages.warning(request, _("Only the one who has it can leave it."))
    return redirect("job", code)


@require_POST
def undo(request: HttpRequest, entry: str) -> HttpResponse:
    """Set an entry right by a correcting entry; the first one stays readable."""
    client_id, reason = _client_id(request), _reason(request)
    lot = fields.text(request, "lot", longest=20)
    job = fields.text(request, "job", longest=40)
    if not all(sign.isalnum() for sign in lot + job):
        raise InputError("lot", lot or job, _("a code without other signs"))
    try:
        answer = taking_back.undo(
            entry, person=who(request).code, client_id=client_id, reason=reason
        )
    except RefusedError as problem:
        if lot or not job:
            raise
        return _refused(request, job, problem)
    if lot:
        messages.success(request, answer.sentence)
        return redirect("lot", lot)
    return _answer(request, job, answer)
