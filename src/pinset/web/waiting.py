"""Taps that waited on a device while the network was away, and those that did not.

A device sends what waited with three headers: who tapped, what its clock showed at the tap and what
it shows now. It is answered in words instead of a page. A form that was sent at once is told by a
cookie that it was answered, whatever the answer: the page shows that, and the device forgets it.
"""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.http.multipartparser import MultiPartParserError
from django.http.request import UnreadablePostError
from django.utils.timezone import get_current_timezone_name

from pinset.errors import InputError
from pinset.services.waiting import tap_time
from pinset.web import fields
from pinset.web.client_ids import FORM
from pinset.web.render import said_to
from pinset.web.who import who
from pinset.web.wording import said

Handler = Callable[[HttpRequest], HttpResponseBase]

TAPPED, SENT, PERSON = "Pinset-Tapped", "Pinset-Sent", "Pinset-Person"
ANSWERED = "pinset-answered"
"""Cookie: the ids of forms that were answered, until the page has read it."""
MOST_ANSWERED = 8
ANSWERED_S = 600


def kept_taps(get_response: Handler) -> Handler:
    """Answer what waited in words, and say of other forms that they were answered."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.method != "POST":
            return get_response(request)
        if TAPPED in request.headers:
            return _of_waiting(request, get_response)
        response = get_response(request)
        _say_answered(request, response)
        return response

    return answer


def _of_waiting(request: HttpRequest, get_response: Handler) -> HttpResponseBase:
    person = who(request)
    if person.code != request.headers.get(PERSON, "") or not person.code:
        return JsonResponse(
            {"answer": "another", "name": person.name}, status=HTTPStatus.PRECONDITION_FAILED
        )
    try:
        tap = tap_time.read_tap(request.headers[TAPPED], request.headers.get(SENT, ""))
    except InputError as problem:
        refused = {"answer": "no", "words": [said(problem)]}
        return JsonResponse(refused, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    setattr(request, fields.TAPPED_AT, tap.at)
    with tap_time.tapped_before(tap):
        response = get_response(request)
    if response.status_code >= HTTPStatus.BAD_REQUEST:
        return response
    told = said_to(request)
    return JsonResponse(
        {
            "answer": "yes",
            "words": [line.text for line in told if line.kind == "good"],
            "remarks": [line.text for line in told if line.kind != "good"],
            "clock": tap_time.clock_said(tap, get_current_timezone_name()),
        }
    )


def _say_answered(request: HttpRequest, response: HttpResponseBase) -> None:
    try:
        client_id = request.POST.get("client_id", "")
    except (RequestDataTooBig, MultiPartParserError, UnreadablePostError):
        return
    if not FORM.fullmatch(client_id):
        return
    before = [each for each in request.COOKIES.get(ANSWERED, "").split(".") if FORM.fullmatch(each)]
    kept = [*(each for each in before if each != client_id), client_id][-MOST_ANSWERED:]
    response.set_cookie(ANSWERED, ".".join(kept), max_age=ANSWERED_S, samesite="Lax")
