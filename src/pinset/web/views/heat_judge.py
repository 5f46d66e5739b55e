"""Heat, after a cook: a logger's file is handed in, shown as it was read, corrected and judged."""

from __future__ import annotations

from datetime import timedelta

from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.clock import now_utc
from pinset.services.cooks.heat_lines import HeatLines, lines_of_log
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.keeping import is_foreign, judge_for, place_of
from pinset.services.cooks.judge.verdicts import CookLine
from pinset.services.cooks.setting import CookSetting
from pinset.web.render import page
from pinset.web.views.heat_words import (
    ROLES,
    VERDICTS,
    AsideTyped,
    against_of,
    changes_in,
    drawing_of,
)
from pinset.web.wording import said

LONGEST = 80
RECENT_DAYS = 60


@require_http_methods(["GET", "POST"])
def hand_in(request: HttpRequest) -> HttpResponse:
    """Take a logger's file."""
    given = request.POST or request.GET
    cook = given.get("cook", "")[:LONGEST]
    own = _place(cook).rule
    rule = own or given.get("rule", "")[:LONGEST]
    wrong = ""
    if request.method == "POST":
        try:
            digest = _kept(request.FILES.get("file"))
        except InputError as problem:
            wrong = said(problem, str(_("File")))
        else:
            query = urlencode({"rule": rule, "cook": cook})
            return redirect(f"{reverse('heat-log', args=[digest])}?{query}")
    context = {"wrong": wrong, "cook": cook, "rule": rule, "rule_fixed": bool(own)}
    return page(request, "heat_hand_in.html", context, here="heat", status=422 if wrong else 200)


def _kept(file: UploadedFile[bytes] | None) -> str:
    """Return the digest under which a file that was handed in waits."""
    if file is None or file.name is None:
        raise InputError("file", "", _("a log of a cook as CSV or XLSX"))
    if (file.size or 0) > cook_incoming.MOST_BYTES:
        most = f"{cook_incoming.MOST_BYTES / 1e6:.0f} MB"
        raise InputError("file", file.name, _("a file up to %(most)s") % {"most": most})
    return cook_incoming.keep(file.read(), file.name)


@require_GET
def log(request: HttpRequest, digest: str) -> HttpResponse:
    """Show a log as it was read and what it is worth."""
    return log_page(request, digest, request.GET.get("cook", ""), request.GET.get("rule", ""))


def log_page(
    request: HttpRequest, digest: str, cook: str, rule: str, aside: AsideTyped | None = None
) -> HttpResponse:
    """Return the page of a log; ``aside`` is what was typed there and is not taken."""
    try:
        waiting = cook_incoming.incoming(digest)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    cook = cook[:LONGEST]
    own = _place(cook).rule
    rule = own or rule[:LONGEST].strip()
    changes = changes_in(request)
    judged: JudgedCook | None = None
    lines: HeatLines | None = None
    wrong = ""
    try:
        judged, read = judge_for(cook, waiting.data, waiting.name, rule, changes)
        lines = lines_of_log(read, judged)
    except InputError as problem:
        wrong = said(problem)
    context = {
        "name": waiting.name,
        "digest": digest,
        "judged": judged,
        "drawing": drawing_of(lines, judged.sentence) if judged else None,
        "rule": rule,
        "rule_fixed": bool(own),
        "cook": cook,
        "cooks": () if cook else _recent(),
        "needs_reason": judged is not None and is_foreign(judged),
        "against": against_of(cook, judged.replaces)
        if judged is not None and judged.verdict == "pass"
        else (),
        "changes": changes,
        "wrong": wrong,
        "aside_typed": aside,
        "reason": request.POST.get("reason", ""),
        "verdicts": VERDICTS,
        "roles": ROLES,
        "cautions": cautions.sentences(judged.cautions if judged else ("not-proof",)),
    }
    return page(
        request, "heat_log.html", context, here="heat", status=422 if wrong or aside else 200
    )


def _place(cook: str) -> CookSetting:
    try:
        return place_of(cook)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


def _recent() -> tuple[CookLine, ...]:
    return cook_verdicts.cooks(now_utc() - timedelta(days=RECENT_DAYS)).cooks
