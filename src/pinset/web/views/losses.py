"""Losses: what stands out, alarms and sister lots; and one suspect with its lots."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.losses.checking import CheckPlan, check_plan
from pinset.services.losses.mending import LONGEST_WORDS, write_mended
from pinset.services.losses.suspect import suspect_view
from pinset.services.losses.view import CAUTION, losses_view
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.count_chart_svg import drawing_of
from pinset.web.render import page
from pinset.web.who import who
from pinset.web.wording import said

LONGEST = 120
UNPROCESSABLE = 422


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show what is said of losses; people are named to owners only."""
    view = losses_view(with_people=who(request).is_owner)
    typed = {
        name: request.GET.get(name, usual)[:LONGEST]
        for name, usual in (("check", ""), ("bad", "5"), ("sure", "95"))
    }
    plan, wrong = _plan(typed) if typed["check"] else (None, "")
    drawings = {
        (room.room, chart.sign): drawing_of(
            chart.points,
            chart.usual,
            is_share=chart.is_share,
            limit_words=_("; the last count would have raised an alarm from %(limit)s on"),
        )
        for room in (view.rooms if view else ())
        for chart in room.charts
    }
    weeks = {
        stage.stage: drawing_of(
            stage.weeks.points,
            stage.weeks.usual,
            is_share=True,
            limit_words=_("; the last week would stand out above %(limit)s"),
        )
        for stage in (view.stages if view else ())
        if stage.weeks
    }
    context: dict[str, object] = {
        "view": view,
        "caution": CAUTION,
        "drawings": drawings,
        "weeks": weeks,
    }
    context |= {"typed": typed, "plan": plan, "wrong": wrong}
    return page(request, "losses.html", context, here="losses")


@require_GET
def suspect(request: HttpRequest) -> HttpResponse:
    """Show one suspect."""
    kind, level = (request.GET.get(name, "")[:LONGEST] for name in ("kind", "level"))
    return _suspect_page(request, kind, level)


@require_POST
def mended(request: HttpRequest) -> HttpResponse:
    """Write down what was found and mended of a suspect."""
    kind, level = (request.POST.get(name, "")[:LONGEST] for name in ("kind", "level"))
    client_id = read_client_id(request.POST.get("client_id", ""))
    try:
        words = fields.text(request, "words", longest=LONGEST_WORDS)
        done = write_mended(kind, level, words, person=who(request).code, client_id=client_id)
    except (InputError, RefusedError) as problem:
        typed = request.POST.get("words", "")[:LONGEST_WORDS]
        return _suspect_page(request, kind, level, wrong=said(problem), typed=typed)
    messages.success(request, done.sentence)
    return redirect("losses")


def _suspect_page(
    request: HttpRequest, kind: str, level: str, *, wrong: str = "", typed: str = ""
) -> HttpResponse:
    try:
        view = suspect_view(kind, level, with_people=who(request).is_owner)
    except InputError as problem:
        raise Http404(str(problem)) from problem
    context = {"view": view, "caution": CAUTION, "kind": kind, "level": level}
    context |= {"wrong": wrong, "typed": typed}
    status = UNPROCESSABLE if wrong else 200
    return page(request, "losses_suspect.html", context, here="losses", status=status)


def _plan(typed: dict[str, str]) -> tuple[CheckPlan | None, str]:
    """Return how many units of a lot to check, or what is wrong with the question."""
    try:
        bad = _percent(typed["bad"], _("Bad units that must not be missed, in 100"))
        sure = _percent(typed["sure"], _("How certain, in 100"))
        return check_plan(typed["check"], bad, sure / 100.0), ""
    except InputError as problem:
        return None, said(problem)


def _percent(typed: str, name: str) -> float:
    """Return a percentage as people type it, with a point or a comma."""
    try:
        return float(typed.strip().rstrip("%").replace(",", "."))
    except ValueError:
        raise InputError(name, typed, _("a number, such as 5")) from None
