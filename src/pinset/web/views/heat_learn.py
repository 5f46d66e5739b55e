"""Heat, learning a load: the log of a cook is fitted, shown beside what was measured, and kept."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers import taking_back
from pinset.services.cooks.ahead import newer_logs
from pinset.services.cooks.heat_units import typed_in_farm_units
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.verdicts import CookView
from pinset.services.cooks.learn import learning as cook_learning
from pinset.services.cooks.learn.learning import Lesson
from pinset.services.cooks.learn.learnt import learnt_loads
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.typed import load_of, typed_name
from pinset.services.cooks.usual import UsualLoad
from pinset.services.frame import frame
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.formats import system
from pinset.web.forms import refused
from pinset.web.heat_fields import load_fields
from pinset.web.render import page
from pinset.web.views.heat_words import drawing_of
from pinset.web.who import who

ASKED = ("filling", "mass", "moisture", "size")
LONGEST = 60


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show what a cook's log says of a load, and keep it if that is asked."""
    view = _found(code)
    if not cook_learning.has_log(code):
        raise Http404(_("This cook was not judged by a log."))
    loads = cook_learning.loads_of_cook(view.line)
    given = request.POST if request.method == "POST" else request.GET
    typed = _typed(given, loads)
    asked = tuple(each for each in load_fields(typed) if each.name in ASKED)
    lesson: Lesson | None = None
    wrong = ""
    if "size" in given:
        try:
            lesson = cook_learning.lesson_of(code, _load(typed))
            if request.method == "POST":
                client_id = read_client_id(request.POST.get("client_id", ""))
                done = cook_learning.keep(client_id, who(request).code, lesson)
                messages.success(request, done.sentence)
                return redirect("heat-cook", code)
        except InputError as problem:
            asked, wrong = refused(asked, typed, problem, typed_name(problem.field))
    context = {
        "view": view,
        "loads": loads,
        "chosen": given.get("load", ""),
        "fields": asked,
        "typed": {name: typed.get(name, "") for name in ASKED},
        "lesson": lesson,
        "wrong": wrong,
        "drawing": drawing_of(lesson.lines, lesson.fit.sentence) if lesson else None,
        "cautions": cautions.sentences(("not-proof",)),
    }
    return page(request, "heat_learn.html", context, here="heat", status=422 if wrong else 200)


def _found(code: str) -> CookView:
    try:
        return cook_verdicts.cook_of(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


def _typed(given: QueryDict, loads: tuple[UsualLoad, ...]) -> dict[str, str]:
    """Return what was typed, else what the farm's own load of that kind is."""
    chosen = next((each for each in loads if each.code == given.get("load", "")), None)
    if "size" in given:
        return {name: given.get(name, "")[:LONGEST] for name in ASKED}
    usual = chosen or (loads[0] if loads else None)
    if usual is None:
        return {}
    return typed_in_farm_units({name: usual.typed[name] for name in ASKED}, system())


def _load(typed: Mapping[str, str]) -> LoadPlan:
    for name in ASKED:
        if not typed.get(name, "").strip():
            raise InputError(name, "", _("that of the unit the probe stood in, measured"))
    return load_of({**typed, "heat": "open", "altitude": f"{frame().altitude_m:g} m"}, system())


@require_POST
def forget(request: HttpRequest, entry: str) -> HttpResponse:
    """Take back what a log taught by a correcting entry; such loads are then planned without it."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    reason = fields.text(request, "reason", longest=200)
    known = {each.entry for each in learnt_loads()} | {said for *_, said in newer_logs.set_aside()}
    if entry not in known:
        raise Http404(_("There is no such entry."))
    done = taking_back.undo(entry, person=who(request).code, client_id=client_id, reason=reason)
    messages.success(request, done.sentence)
    return redirect("heat")


@require_POST
def set_aside(request: HttpRequest, entry: str, digest: str) -> HttpResponse:
    """Let a newer log not count against what was learnt, with the reason."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    reason = fields.text(request, "reason", longest=200)
    try:
        done = cook_learning.set_log_aside(client_id, who(request).code, entry, digest, reason)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    messages.success(request, done.sentence)
    return redirect("heat")
