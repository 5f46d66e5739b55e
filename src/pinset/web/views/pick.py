"""Pick: a weight, from a lot, of a flush; for a job of the day or without one."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers import off_plan, recording
from pinset.services.bounds import MOST_FLUSHES
from pinset.services.views import Done, JobState, JobView
from pinset.web import fields
from pinset.web.claimed import asked_first
from pinset.web.client_ids import new_client_id, read_client_id
from pinset.web.render import page
from pinset.web.shown import shown_before, shown_now
from pinset.web.views.jobs import find_job
from pinset.web.views.today import jobs_of_kind
from pinset.web.who import who
from pinset.web.wording import said

CAUTIONS = ("spores", "wrong-species", "food")


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed, to be shown again when something is wrong."""

    lot: str = ""
    other: str = ""
    weight: str = ""
    flush: str = ""
    reason: str = ""
    shown: str = ""  # what was shown to speak against it
    at: str = ""
    note: str = ""


def _job(code: str) -> JobView | None:
    if not code:
        return None
    job = find_job(code)
    return job if job.kind == "pick" and job.state in {JobState.OPEN, JobState.PART} else None


def _record(request: HttpRequest, job: JobView | None, client_id: str) -> Done:
    grams = fields.weight(request, "weight")
    if grams is None:
        raise InputError("weight", "", fields.from_the_scale())
    flush = fields.whole(request, "flush", least=1, most=MOST_FLUSHES)
    lot = fields.text(request, "other-lot", longest=20) or fields.text(request, "lot", longest=20)
    person, at, note = (
        who(request).code,
        fields.moment(request, "at"),
        fields.text(request, "note"),
    )
    reason = fields.text(request, "reason", longest=200)
    if job is None:
        if not lot:
            raise InputError("lot", "", _("the lot it was picked from"))
        return off_plan.pick(
            lot,
            grams,
            person=person,
            client_id=client_id,
            flush=flush,
            at=at,
            note=note,
            reason=reason,
            shown=shown_before(request),
        )
    record = recording.part_done if request.POST.get("how") == "part" else recording.done
    return record(
        job.job,
        person=person,
        client_id=client_id,
        grams=grams,
        lots=((lot.upper(), grams),) if lot else (),
        flush=flush,
        at=at,
        note=note,
        reason=reason,
        shown=shown_before(request),
    )


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Ask for weight, lot and flush, and write them down."""
    job = _job(request.POST.get("job", "") or request.GET.get("job", ""))
    typed, wrong, client_id = Typed(), "", new_client_id()
    if request.method == "POST":
        client_id = read_client_id(request.POST.get("client_id", ""))
        question = asked_first(request, job, client_id, here="pick") if job else None
        if question is not None:
            return question
        try:
            done = _record(request, job, client_id)
        except (InputError, RefusedError) as problem:
            wrong = said(problem)
            typed = Typed(
                request.POST.get("lot", ""),
                request.POST.get("other-lot", ""),
                request.POST.get("weight", ""),
                request.POST.get("flush", ""),
                request.POST.get("reason", ""),
                shown_now(request, problem),
                request.POST.get("at", ""),
                request.POST.get("note", ""),
            )
        else:
            messages.success(request, done.sentence)
            for finding in done.findings:
                messages.warning(request, finding)
            return redirect("today" if job else "pick")
    context = {
        "job": job,
        "jobs": () if job else jobs_of_kind(who(request).code, "pick"),
        "lots": job.from_lots if job else off_plan.fruiting_lots(),
        "cautions": (job.cautions if job else ()) or cautions.sentences(CAUTIONS),
        "typed": typed,
        "wrong": wrong,
        "client_id": client_id,
    }
    return page(request, "pick.html", context, here="pick", status=422 if wrong else 200)
