"""The jobs in a calendar: the feed a phone fetches, and each person's address for it."""

from __future__ import annotations

import hashlib

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from pinset.services.week import calendar_link
from pinset.services.week.calendar_feed import calendar_of_jobs
from pinset.services.week.calendar_link import TooOftenError, WrongAddressError
from pinset.web.render import page
from pinset.web.who import address_of, who

CALENDAR = "text/calendar; charset=utf-8"


@require_safe
def feed(request: HttpRequest, token: str) -> HttpResponseBase:
    """Give the jobs as a calendar; the token in the address stands in for the sign-in."""
    try:
        code = calendar_link.let_in(token, address_of(request))
    except WrongAddressError as problem:
        return _refused(str(problem), 404)
    except TooOftenError as problem:
        answer = _refused(str(problem), 429)
        answer.headers["Retry-After"] = str(problem.wait_s)
        return answer

    def page_of(job: str) -> str:
        return request.build_absolute_uri(reverse("job", args=[job]))

    data = calendar_of_jobs(code, page_of=page_of)
    etag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
    given = get_conditional_response(request, etag=etag) or HttpResponse(
        data, content_type=CALENDAR
    )
    given.headers["ETag"] = etag
    given.headers["Cache-Control"] = "private, no-cache"
    given.headers["Content-Disposition"] = 'inline; filename="jobs.ics"'
    return given


def _refused(sentence: str, status: int) -> HttpResponse:
    return HttpResponse(f"{sentence}\n", status=status, content_type="text/plain; charset=utf-8")


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Show the signed-in person's own address; make it anew or take it away."""
    person = who(request)
    if request.method == "POST":
        if request.POST.get("how") == "none":
            calendar_link.no_link(person.code)
            messages.success(request, _("No calendar can fetch the jobs by your address any more."))
        else:
            calendar_link.new_link(person.code)
            messages.success(request, _("This address counts from now on, and no other of yours."))
        return redirect("calendar")
    link = calendar_link.link_of(person.code)
    address = ""
    if link and link.token:
        address = request.build_absolute_uri(reverse("calendar-feed", args=[link.token]))
    context = {
        "link": link,
        "address": address,
        "subscribe": f"webcal://{address.partition('://')[2]}" if address else "",
        "is_plain": not request.is_secure(),
    }
    answer = page(request, "calendar.html", context, here="settings")
    answer.headers["Cache-Control"] = "no-store"
    return answer
