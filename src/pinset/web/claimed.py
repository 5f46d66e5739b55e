"""Asking before somebody records a job that somebody else has taken on."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from pinset.services.answers import claims
from pinset.services.views import JobView
from pinset.web.render import page
from pinset.web.who import who

ANYWAY = "anyway"
NOT_SENT_AGAIN = frozenset({"csrfmiddlewaretoken", ANYWAY})


def asked_first(
    request: HttpRequest, job: JobView, client_id: str, *, here: str = "today"
) -> HttpResponse | None:
    """Return the question whether to record it all the same, or None if nobody else has the job.

    The question carries all that was typed and sends it again, to the address it came from.
    """
    if request.POST.get(ANYWAY):
        return None
    holder = claims.held_by_other(job.job, who(request).code, client_id)
    if not holder:
        return None
    sent = [
        (name, value)
        for name, values in request.POST.lists()
        if name not in NOT_SENT_AGAIN
        for value in values
    ]
    is_part = bool(request.headers.get("HX-Request"))
    context = {
        "job": job,
        "holder": holder,
        "sent": sent,
        "address": request.path,
    }
    template = "parts/job_claimed.html" if is_part else "claimed.html"
    return page(request, template, context, here=here, status=409)
