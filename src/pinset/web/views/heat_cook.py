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
from django.utils.translation import gettext_lazy
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
from pinset.web.wording import said

LIME = ("lime", "not-proof")
BEFORE_JUDGING = ("not-proof", "opening", "hot-glass")
LONGEST = 80
ASKED = {
    "hours": gettext_lazy("Hours under water"),
    "ph": gettext_lazy("pH at the end"),
    "lime": gettext_lazy("Lime, g in a litre"),
    "note": gettext_lazy("Which lime, how measured"),
    "reason": gettext_lazy("What was watched?"),
    "decide": gettext_lazy("What is decided"),
}
"""What the forms of the page ask for, by the names of the fields."""


def _found(code: str) -> CookView:
    try:
        return cook_verdicts.cook_of(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_GET
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show one cook."""
    return _page(request, code)


def _page(
    request: HttpRequest,
    code: str,
    aside: AsideTyped | None = None,
    wrong: Mapping[str, str] | None = None,
) -> HttpResponse:
    """Return the page of a cook.

    ``aside`` is what was typed there and is not taken, ``wrong`` why others are not, by field.
    """
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
        "wrong": wrong or {},
        "typed": request.POST,
        "hand_in": f"{reverse('heat-hand-in')}?{query}",
        "verdicts": VERDICTS,
        "roles": ROLES,
        "cautions": cautions.sentences(
            LIME if place.lime else judged.get("cautions") or BEFORE_JUDGING
        ),
    }
    status = 422 if aside or wrong else 200
    return page(request, "heat_cook.html", context, here="heat", status=status)


def refused(request: HttpRequest, code: str, problem: InputError, field: str = "") -> HttpResponse:
    """Return the page with what was typed, and the sentence at the field that was refused.

    ``field`` is where the sentence stands, if not at the field of that name.
    """
    at = field or problem.field
    aside = AsideTyped(
        request.POST.get("aside_reason", ""), tuple(request.POST.getlist("aside")), ""
    )
    return _page(request, code, aside, {at: said(problem, str(ASKED.get(at, "")))})


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
    _found(code)
    try:
        reason = fields.text(request, "reason", longest=200)
        if not reason:
            accepted = _("what was watched, such as the gauge and the clock")
            raise InputError("reason", "", accepted)  # noqa: TRY301  (answered as the others are)
        done = cook_verdict_entries.judge_by_hand(
            client_id, who(request).code, code, verdict, reason, _aside(request)
        )
    except InputError as problem:
        return refused(request, code, problem)
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


@require_POST
def lime(request: HttpRequest, code: str) -> HttpResponse:
    """Keep what was measured of a lime bath."""
    if typed := aside_typed(request):
        return _page(request, code, typed)
    client_id = read_client_id(request.POST.get("client_id", ""))
    _found(code)
    try:
        bath = _bath(request)
        done = lime_bath.record_bath(client_id, who(request).code, code, bath, _aside(request))
    except InputError as problem:
        return refused(request, code, problem)
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)


def _bath(request: HttpRequest) -> LimeBath:
    hours = _measured(request, "hours", lime_bath.HOURS)
    if hours is None:
        raise InputError("hours", "", _("hours from under water until lifted out"))
    return LimeBath(
        hours,
        _measured(request, "ph", lime_bath.PH),
        _measured(request, "lime", lime_bath.DOSE),
        fields.text(request, "note", longest=200),
    )


def _measured(request: HttpRequest, name: str, accepted: str) -> float | None:
    """Return a number that was measured; what is none is refused as one out of bounds is."""
    try:
        return fields.number(request, name)
    except InputError as problem:
        raise InputError(name, problem.given, accepted) from None


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
