"""Heat, during a cook: how long still to hold, by what is typed, logged or sent."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime, timedelta
from urllib.parse import quote

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.clock import now_utc
from pinset.services.cooks.heat_units import typed_in_farm_units
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.typed import TYPED, load_of, typed_name
from pinset.services.cooks.usual import UsualLoad, load_of_job, usual_loads
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.limits import amount_of
from pinset.services.cooks.watch.records import CookNow, Stage, What
from pinset.services.cooks.watch.view import WatchView, lines_of
from pinset.services.frame import frame
from pinset.web import fields
from pinset.web.client_ids import new_client_id, read_client_id
from pinset.web.formats import WEEKDAYS, spoken, system
from pinset.web.forms import Field, refused
from pinset.web.heat_fields import load_fields
from pinset.web.heat_watch_fields import LABELS, about, read_by, reading_fields
from pinset.web.render import page
from pinset.web.views.heat_words import drawing_of
from pinset.web.who import who
from pinset.web.wording import said

LONGEST = 80
AHEAD = timedelta(minutes=5)  # of a wall clock
SPOKEN_MIN = 15.0  # a reader hears of the time left when it passes a multiple of so many minutes
BEFOREHAND = ("pressure", "opening", "not-proof")
SOURCES = {
    "typed": gettext_lazy("typed"),
    "file": gettext_lazy("logger"),
    "sensor": gettext_lazy("sensor"),
}
MOMENTS = ("last_at", "end_at", "latest_at", "likely_at", "enough_since", "open_at", "inoculate_at")
ASKED = frozenset({*TYPED, "rule"})


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Show the cooks that are watched, and begin another."""
    given = request.GET if request.method == "GET" else request.POST
    loads = usual_loads()
    job = given.get("job", "")[:LONGEST]
    chosen = _chosen(loads, given.get("load", "")[:LONGEST]) or load_of_job(loads, job)
    typed = {name: given.get(name, "")[:LONGEST] for name in given if name in ASKED}
    if chosen is not None and "heat" not in typed:
        typed |= typed_in_farm_units(chosen.typed, system()) | {"rule": chosen.rule or "f0=15"}
    here = typed_in_farm_units({"altitude": f"{frame().altitude_m:g} m"}, system())
    typed = here | typed
    first = (*about(chosen, given), *read_by(given))
    asked = (*first, *load_fields(typed))
    wrong, client_id = "", new_client_id()
    if request.method == "POST":
        client_id = read_client_id(request.POST.get("client_id", ""))
        try:
            code = _begin(request, client_id, typed)
        except (InputError, RefusedError) as problem:
            asked, wrong = _refused(asked, typed, problem)
        else:
            return redirect("heat-watch", code)
    going, ended = cook_watch_view.watched()
    context = {
        "going": going,
        "ended": ended,
        "loads": loads,
        "chosen": chosen,
        "about": asked[: len(first)],
        "fields": asked[len(first) :],
        "job": job,
        "wrong": wrong,
        "client_id": client_id,
        "cautions": cautions.sentences(BEFOREHAND),
    }
    return page(request, "heat_during.html", context, here="heat", status=422 if wrong else 200)


def _chosen(loads: tuple[UsualLoad, ...], code: str) -> UsualLoad | None:
    return next((load for load in loads if load.code == code), None)


def _begin(request: HttpRequest, client_id: str, typed: Mapping[str, str]) -> str:
    return cook_watching.begin(
        client_id,
        who(request).code,
        fields.text(request, "machine", longest=LONGEST),
        load_of(typed, system()),
        typed.get("rule", "f0=15"),
        began_at=_clock(request, "began"),
        cook=fields.text(request, "cook", longest=LONGEST),
        job=fields.text(request, "job", longest=40),
        instruments={
            what.value: fields.text(request, f"{what.value}_by", longest=LONGEST) for what in What
        },
    )


def _clock(request: HttpRequest, name: str) -> datetime | None:
    """Return the latest moment at which the farm's clock showed a time, None: nothing typed."""
    given = fields.text(request, name, longest=20)
    if not given:
        return None
    now = timezone.localtime(now_utc())
    try:
        typed = datetime.strptime(given[:5], "%H:%M").time()  # noqa: DTZ007  (a clock has no zone)
    except ValueError:
        raise InputError(name, given, _("a time such as 10:30")) from None
    at = now.replace(hour=typed.hour, minute=typed.minute, second=0, microsecond=0)
    return at if at <= now + AHEAD else at - timedelta(days=1)


def _refused(
    asked: tuple[Field, ...], typed: Mapping[str, str], problem: InputError | RefusedError
) -> tuple[tuple[Field, ...], str]:
    if isinstance(problem, RefusedError):
        return asked, said(problem)
    return refused(asked, typed, problem, typed_name(problem.field))


@require_http_methods(["GET", "POST"])
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show how a cook stands, or the part of it that changes; take a reading that is typed."""
    wrong, client_id = "", new_client_id()
    if request.method == "POST":
        client_id = read_client_id(request.POST.get("client_id", ""))
        try:
            values = _values(request)
            at = _clock(request, "at")
            new = _kept(code, client_id, who(request).code, values, at)
        except InputError as problem:
            wrong = said(problem, _label(problem.field))
        else:
            messages.success(request, _("Written down.") if new else _("Recorded already."))
            return redirect("heat-watch", code)
    view = _found(code)
    context = {**_context(view), "client_id": client_id, "wrong": wrong}
    if request.headers.get("HX-Request"):
        context["speak"] = request.GET.get("said", "") != context["spoken"]
        context["is_part"] = True
        return page(request, "parts/heat_watch.html", context, here="heat")
    context |= {
        "speak": False,
        "is_part": False,
        "readings": reading_fields(request),
        "at": request.POST.get("at", ""),
        "since": _since_typed(view),
        "sources": SOURCES,
        "cautions": cautions.sentences(view.state.cautions),
    }
    return page(request, "heat_watch.html", context, here="heat", status=422 if wrong else 200)


def _found(code: str) -> WatchView:
    try:
        return cook_watch_view.view(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


def _kept(
    code: str, client_id: str, worker: str, values: Mapping[What, float], at: datetime | None
) -> int:
    _found(code)
    return cook_watching.read(code, client_id, worker, values, at=at)


def _values(request: HttpRequest) -> dict[What, float]:
    found = {}
    for each in reading_fields(request):
        if text := fields.text(request, each.name, longest=20):
            found[What(each.name)] = amount_of(What(each.name), text, each.unit, each.name)
    return found


def _since_said(request: HttpRequest, view: WatchView) -> datetime:
    by_file = view.feed.heated_since if view.feed and "by_file" in request.POST else None
    at = by_file or _clock(request, "since")
    if at is None:
        raise InputError("since", "", _("a time such as 10:30"))
    return at


def _since_typed(view: WatchView) -> str:
    known = view.heated_since
    return "" if known is None else f"{timezone.localtime(known):%H:%M}"


def _label(field: str) -> str:
    names = {what.value: str(label) for what, label in LABELS.items()}
    return names.get(field) or {
        "at": _("Read at"),
        "readings": _("Reading"),
        "since": _("Heated since"),
    }.get(field, "")


def _context(view: WatchView) -> dict[str, object]:
    state = view.state
    return {
        "view": view,
        "state": state,
        "is_over": view.line.ended_at is not None,
        "times": {name: _clock_words(getattr(state, name), state.now) for name in MOMENTS},
        "offered": _clock_words(view.feed.heated_since, state.now) if view.feed else "",
        "as_of": f"{timezone.localtime(state.now):%H:%M:%S}",
        "drawing": drawing_of(lines_of(state.curves), spoken(state.sentence)),
        "spoken": _spoken(state),
        "settled": state.stage is Stage.ENOUGH or view.line.ended_at is not None,
    }


def _clock_words(moment: datetime | None, now: datetime) -> str:
    """Return the time of a moment, with the day if it is another one; empty: not known."""
    if moment is None:
        return ""
    local, today = timezone.localtime(moment), timezone.localtime(now).date()
    day = "" if local.date() == today else f"{WEEKDAYS[local.weekday()]} "
    return f"{day}{local:%H:%M}"


def _spoken(state: CookNow) -> str:
    """Return a mark of what a reader should hear: it changes only when that does."""
    left = state.left_min if state.left_min is not None else state.again_min
    part = -1 if left is None else int(left // SPOKEN_MIN)
    grave = sorted(each.id for each in state.findings if each.severity != "note")
    return hashlib.sha256(repr((state.stage.value, part, grave)).encode()).hexdigest()[:12]


@require_POST
def remove(request: HttpRequest, code: str, reading: str) -> HttpResponse:
    """Let a reading that was typed wrongly count no more."""
    _found(code)
    cook_watching.take_back(code, reading)
    messages.success(request, _("That reading counts no more."))
    return redirect("heat-watch", code)


@require_POST
def since(request: HttpRequest, code: str) -> HttpResponse:
    """Note since when it is heated, as typed, or as the logger's file shows it."""
    view = _found(code)
    try:
        cook_watching.heated_since(code, _since_said(request, view))
    except InputError as problem:
        messages.error(request, said(problem, _label(problem.field)))
    else:
        messages.success(request, _("Written down."))
    return redirect("heat-watch", code)


@require_POST
def end(request: HttpRequest, code: str) -> HttpResponse:
    """End the watch."""
    _found(code)
    cook_watching.end(code, who(request).code)
    messages.success(request, _("The cook has ended. Judge it by what was read."))
    return redirect("heat-watch", code)


@require_GET
def log(request: HttpRequest, code: str) -> HttpResponse:
    """Give what was read as a logger's file."""
    del request
    try:
        data, name = cook_watching.log_of(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    answer = HttpResponse(data, content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(name)}"
    return answer


@require_POST
def judge(request: HttpRequest, code: str) -> HttpResponse:
    """Hand what was read on, to be judged as every other log."""
    del request
    view = _found(code)
    data, name = cook_watching.log_of(code)
    digest = cook_incoming.keep(data, name)
    query = urlencode({"rule": view.rule, "cook": view.cook})
    return redirect(f"{reverse('heat-log', args=[digest])}?{query}")
