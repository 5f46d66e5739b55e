"""Taps that waited on a device while the network was away, and those that did not.

A device sends what waited with three headers: who tapped, what its clock showed at the tap and what
it shows now. It is answered in words instead of a page. A form that was sent at once is told by a
cookie that it was answered, whatever the answer: the page shows that, and the device forgets it.

A tap that waited and is refused goes back with a note of its times. Opened and sent again, from
whatever form, it carries the note; refused once more, the cookie says so and the device keeps it.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from http import HTTPStatus

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.http.multipartparser import MultiPartParserError
from django.http.request import UnreadablePostError
from django.utils.timezone import get_current_timezone_name

from pinset.errors import InputError
from pinset.services.waiting import tap_time
from pinset.services.waiting.tap_time import Tap
from pinset.web import fields
from pinset.web.client_ids import FORM
from pinset.web.errors import plain_error
from pinset.web.render import said_to
from pinset.web.who import who
from pinset.web.wording import said

Handler = Callable[[HttpRequest], HttpResponseBase]

TAPPED, SENT, PERSON = "Pinset-Tapped", "Pinset-Sent", "Pinset-Person"
ANSWERED = "pinset-answered"
"""Cookie: the ids of forms that were answered, until the page has read it."""
NOTED = "Pinset-Waited"
"""Header of a refusal: the note of the tap's times."""
NOTE_FIELD, WHEN_FIELD = "waited", "waited_at"
"""Fields of a tap sent again: its form's id and note, and when it happened if somebody said so."""
STILL = "!"
"""Behind an id in the cookie: sent again and refused again."""
MOST_ANSWERED = 8
ANSWERED_S = 600


def kept_taps(get_response: Handler) -> Handler:
    """Answer what waited in words, and say of other forms that they were answered."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.method != "POST":
            return get_response(request)
        if TAPPED in request.headers:
            return _of_waiting(request, get_response)
        note = _note_sent(request)
        response = _of_again(request, get_response, note) if note else get_response(request)
        is_still = bool(note) and response.status_code >= HTTPStatus.BAD_REQUEST
        _say_answered(request, response, STILL if is_still else "")
        return response

    return answer


def _of_waiting(request: HttpRequest, get_response: Handler) -> HttpResponseBase:
    person = who(request)
    if person.code != request.headers.get(PERSON, "") or not person.code:
        return JsonResponse(
            {"answer": "another", "name": person.name}, status=HTTPStatus.PRECONDITION_FAILED
        )
    zone, note = get_current_timezone_name(), _note_sent(request)
    readings = (request.headers[TAPPED], request.headers.get(SENT, ""))
    try:
        tap = _read_again(request, note) if note else tap_time.read_tap(*readings)
    except InputError as problem:
        kept = note or tap_time.note_without_moment(*readings)
        refused = {"answer": "no", "words": [said(problem)], "waited": kept}
        return JsonResponse(refused, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    setattr(request, fields.TAPPED_AT, tap.at)
    with tap_time.tapped_before(tap):
        response = get_response(request)
    if response.status_code >= HTTPStatus.BAD_REQUEST:
        response.headers[NOTED] = note or tap_time.note_of(tap, zone)
        return response
    told = said_to(request)
    return JsonResponse(
        {
            "answer": "yes",
            "words": [line.text for line in told if line.kind == "good"],
            "remarks": [line.text for line in told if line.kind != "good"],
            "clock": tap_time.clock_said(tap, zone),
        }
    )


def _of_again(request: HttpRequest, get_response: Handler, note: str) -> HttpResponseBase:
    """Answer a form with which a refused tap is sent again, by its page."""
    zone = get_current_timezone_name()
    try:
        tap = _read_again(request, note)
    except InputError as problem:
        return plain_error(request, HTTPStatus.UNPROCESSABLE_ENTITY, said(problem))
    setattr(request, fields.TAPPED_AT, tap.at)
    with tap_time.tapped_before(tap):
        response = get_response(request)
    if response.status_code < HTTPStatus.BAD_REQUEST:
        messages.info(request, tap_time.tap_said(tap, zone))
        clock = tap_time.clock_said(tap, zone)
        if clock:
            messages.warning(request, clock)
    return response


def _read_again(request: HttpRequest, note: str) -> Tap:
    typed = fields.moment(request, WHEN_FIELD) or _own_moment(request)
    return tap_time.read_note(note, typed, get_current_timezone_name())


def _own_moment(request: HttpRequest) -> datetime | None:
    """Return what was typed in the form's own field, if that holds a day and time."""
    try:
        return fields.moment(request, "at")
    except InputError:
        return None  # an hour alone, or refused by the page in its own words


def _note_sent(request: HttpRequest) -> str:
    """Return the note of a tap that is sent again with this form; none belongs to another form."""
    form, _blank, note = _typed(request, NOTE_FIELD).partition(" ")
    return note if form and form == _typed(request, "client_id") else ""


def _typed(request: HttpRequest, name: str) -> str:
    try:
        return request.POST.get(name, "")
    except (RequestDataTooBig, MultiPartParserError, UnreadablePostError):
        return ""


def _say_answered(request: HttpRequest, response: HttpResponseBase, mark: str) -> None:
    client_id = _typed(request, "client_id")
    if not FORM.fullmatch(client_id):
        return
    before = [
        each
        for each in request.COOKIES.get(ANSWERED, "").split(".")
        if FORM.fullmatch(each.removesuffix(STILL)) and each.removesuffix(STILL) != client_id
    ]
    kept = [*before, f"{client_id}{mark}"][-MOST_ANSWERED:]
    response.set_cookie(
        ANSWERED,
        ".".join(kept),
        max_age=ANSWERED_S,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )
