"""Bench sessions: begun, joined, settle plates, ended; and the book of all of them."""

from __future__ import annotations

from http import HTTPStatus

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.bench import beginning, lists
from pinset.services.bench.plate_counts import MOST_COLONIES, MOST_MINUTES, write_counts
from pinset.services.bench.sessions import session, sessions
from pinset.services.cautions import sentences
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.bench_forms import MOST_TICKS, said_of_session, session_in_form
from pinset.web.errors import plain_error
from pinset.web.render import page
from pinset.web.views.bench import BENCH, Told, in_hand, keep, shown
from pinset.web.wording import said

SHOWN_DAYS = 120


@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    """Begin a session, or come to the one that is going on."""
    bench = fields.text(request, "bench", longest=60)
    request.session[BENCH] = bench
    try:
        done = beginning.begin(bench, said_of_session(request))
    except PinsetError as problem:
        return _refused(request, problem)
    return _done(request, done)


@require_POST
def plates(request: HttpRequest) -> HttpResponse:
    """Say which settle plates stand open now."""
    code = fields.text(request, "session", longest=60)
    return _done(request, beginning.set_plates(code, said_of_session(request)))


@require_POST
def end(request: HttpRequest) -> HttpResponse:
    """End a session, with what was cleaned."""
    try:
        done = beginning.end(session_in_form(request), said_of_session(request))
    except PinsetError as problem:
        return _refused(request, problem)
    keep(request, ())
    return _done(request, done)


def _done(request: HttpRequest, done: Done) -> HttpResponse:
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("bench")


def _refused(request: HttpRequest, problem: PinsetError) -> HttpResponse:
    is_input = isinstance(problem, InputError)
    told = Told(
        wrong=said(problem),
        ticked=tuple(request.POST.getlist("tick")[:MOST_TICKS]),
        is_list_asked=not is_input,
        status=HTTPStatus.UNPROCESSABLE_ENTITY if is_input else HTTPStatus.CONFLICT,
    )
    return shown(request, in_hand(request), told)


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show all sessions, the latest first."""
    return page(request, "bench_sessions.html", {"rows": sessions(SHOWN_DAYS)}, here="books")


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show one session with all that was made in it."""
    return _session_page(request, code)


@require_POST
def counts(request: HttpRequest, code: str) -> HttpResponse:
    """Write down the colonies on the settle plates of a session."""
    try:
        colonies = {
            line.key: fields.whole(request, f"colonies-{line.key}", most=MOST_COLONIES)
            for line in lists.lines(lists.PLATE)
            if f"colonies-{line.key}" in request.POST
        }
        given = {where: count for where, count in colonies.items() if count is not None}
        minutes = fields.whole(request, "minutes", most=MOST_MINUTES)
        done = write_counts(code, said_of_session(request), given, minutes)
    except PinsetError as problem:
        return _session_page(request, code, wrong=said(problem))
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("session", code)


def _session_page(request: HttpRequest, code: str, wrong: str = "") -> HttpResponse:
    try:
        found = session(code)
    except RefusedError as problem:
        return plain_error(request, HTTPStatus.NOT_FOUND, problem.sentence, problem.hint)
    context = {"row": found, "wrong": wrong, "caution": sentences(["mouldy-units"])[0]}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if wrong else HTTPStatus.OK
    return page(request, "bench_session.html", context, here="books", status=status)
