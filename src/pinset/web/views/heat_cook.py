"""Heat, one cook: its verdict with all it rests on, judging it by log or by hand, its log."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers import taking_back
from pinset.services.cooks import lime_bath
from pinset.services.cooks.heat_lines import lines_of_verdict
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.deciding import deciding_on
from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
from pinset.services.cooks.judge.paper import cook_record
from pinset.services.cooks.judge.short_cooks import short_cooks
from pinset.services.cooks.judge.standing import Aside
from pinset.services.cooks.judge.verdicts import CookView, VerdictLine
from pinset.services.cooks.lime_bath import LimeBath
from pinset.services.cooks.setting import setting_of
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.formats import system
from pinset.web.heat_svg import Drawing
from pinset.web.render import page
from pinset.web.views import heat_judge
from pinset.web.views.heat_words import (
    ROLES,
    VERDICTS,
    AsideTyped,
    against_of,
    aside_typed,
    changes_in,
    drawing_of,
)
from pinset.web.who import who

LIME = ("lime", "not-proof")
BEFORE_JUDGING = ("not-proof", "opening", "hot-glass")
LONGEST = 80


def _found(code: str) -> CookView:
    try:
        return cook_verdicts.cook_of(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_GET
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show one cook."""
    return _page(request, code)


def _page(request: HttpRequest, code: str, aside: AsideTyped | None = None) -> HttpResponse:
    """Return the page of a cook; ``aside`` is what was typed there and is not taken."""
    view = _found(code)
    standing = view.standing
    judged: Mapping[str, Any] = standing.judged if standing else {}
    place = setting_of(view.line.steriliser, view.line.cook_kind)
    query = urlencode({"cook": code, "rule": place.rule})
    context = {
        "view": view,
        "standing": standing,
        "drawing": _drawing(standing),
        "judged": judged if judged.get("probes") else None,
        "place": place,
        "bath": place.lime,
        "marked": {each.lot: each for each in short_cooks((code,))},
        "deciding": deciding_on(code),
        "against": against_of(code),
        "aside_typed": aside,
        "typed": request.POST,
        "hand_in": f"{reverse('heat-hand-in')}?{query}",
        "verdicts": VERDICTS,
        "roles": ROLES,
        "cautions": cautions.sentences(
            LIME if place.lime else judged.get("cautions") or BEFORE_JUDGING
        ),
    }
    return page(request, "heat_cook.html", context, here="heat", status=422 if aside else 200)


def _drawing(standing: VerdictLine | None) -> Drawing | None:
    if standing is None or not standing.log or not standing.judged.get("probes"):
        return None
    return drawing_of(lines_of_verdict(standing.judged, standing.log), standing.sentence)


def _aside(request: HttpRequest) -> Aside:
    """Return which earlier verdicts a form sets aside: those it showed, ticked, with a reason."""
    named = tuple(request.POST.getlist("aside"))
    return Aside(fields.text(request, "aside_reason", longest=200), named)


@require_POST
def judge(request: HttpRequest, code: str) -> HttpResponse:
    """Keep the verdict on a log that was handed in, as it was shown."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    digest = fields.text(request, "digest", longest=64)
    rule = fields.text(request, "rule", longest=LONGEST)
    _found(code)
    if typed := aside_typed(request):
        return heat_judge.log_page(request, digest, code, rule, typed)
    waiting = cook_incoming.incoming(digest)
    judged, _log = judge_for(code, waiting.data, waiting.name, rule, changes_in(request))
    reason = fields.text(request, "reason", longest=200)
    done = keep_verdict(
        client_id,
        who(request).code,
        code,
        judged,
        waiting.data,
        waiting.name,
        reason,
        aside=_aside(request),
    )
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


@require_POST
def by_hand(request: HttpRequest, code: str) -> HttpResponse:
    """Keep somebody's own judgement of a cook."""
    if typed := aside_typed(request):
        return _page(request, code, typed)
    client_id = read_client_id(request.POST.get("client_id", ""))
    verdict = fields.text(request, "verdict", longest=10)
    reason = fields.text(request, "reason", longest=200)
    if not reason:
        raise InputError("reason", "", _("what was watched, such as the gauge and the clock"))
    _found(code)
    done = cook_verdict_entries.judge_by_hand(
        client_id, who(request).code, code, verdict, reason, _aside(request)
    )
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


@require_POST
def lime(request: HttpRequest, code: str) -> HttpResponse:
    """Keep what was measured of a lime bath."""
    if typed := aside_typed(request):
        return _page(request, code, typed)
    client_id = read_client_id(request.POST.get("client_id", ""))
    hours = fields.number(request, "hours")
    if hours is None:
        raise InputError("hours", "", _("hours from under water until lifted out"))
    _found(code)
    bath = LimeBath(
        hours,
        fields.number(request, "ph"),
        fields.number(request, "lime"),
        fields.text(request, "note", longest=200),
    )
    done = lime_bath.record_bath(client_id, who(request).code, code, bath, _aside(request))
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


@require_POST
def undo(request: HttpRequest, code: str, entry: str) -> HttpResponse:
    """Take a verdict back by a correcting entry."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    reason = fields.text(request, "reason", longest=200)
    if entry not in {each.entry for each in _found(code).verdicts}:
        raise Http404(_("There is no such verdict."))
    done = taking_back.undo(entry, person=who(request).code, client_id=client_id, reason=reason)
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


@require_GET
def log(request: HttpRequest, digest: str) -> HttpResponse:
    """Give back a log that a cook was judged by, as it was handed in."""
    del request
    try:
        name, data = cook_verdicts.stored_log(digest)
    except (RefusedError, InputError) as problem:
        raise Http404(str(problem)) from problem
    answer = HttpResponse(data, content_type="application/octet-stream")
    safe = cook_incoming.plain_name(name)
    answer.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(safe)}"
    return answer


@require_GET
def record(request: HttpRequest, code: str) -> HttpResponse:
    """Give the record of a cook's newest verdict for paper; ``?paper=letter`` for that size."""
    paper = request.GET.get("paper", "") or ("letter" if system() == "us" else "a4")
    try:
        printed = cook_record(code, paper)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    answer = HttpResponse(printed.data, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f"inline; filename*=UTF-8''{quote(printed.name)}"
    return answer
