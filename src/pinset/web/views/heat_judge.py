"""Heat, after a cook: a logger's file is handed in, shown as it was read, corrected and judged."""

from __future__ import annotations

from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from pinset.errors import InputError, RefusedError
from pinset.services import cautions, cook_incoming
from pinset.services.cook_judging import JudgedCook, judge_file
from pinset.services.cook_rules import read_rule
from pinset.services.frame import frame
from pinset.web.render import page
from pinset.web.wording import said

LONGEST = 80
MOST_CHANGES = 100
VERDICTS = {
    "pass": {"word": gettext_lazy("long enough"), "tone": "okay"},
    "fail": {"word": gettext_lazy("too short"), "tone": "bad"},
    "unjudged": {"word": gettext_lazy("not judged"), "tone": "mid"},
}
ROLES = {
    "core": gettext_lazy("in a unit"),
    "chamber": gettext_lazy("chamber"),
    "other": gettext_lazy("elsewhere"),
}


@require_http_methods(["GET", "POST"])
def hand_in(request: HttpRequest) -> HttpResponse:
    """Take a logger's file."""
    cook = (request.POST or request.GET).get("cook", "")[:LONGEST]
    rule = (request.POST or request.GET).get("rule", "")[:LONGEST]
    wrong = ""
    if request.method == "POST":
        try:
            digest = _kept(request.FILES.get("file"))
        except InputError as problem:
            wrong = said(problem, str(_("File")))
        else:
            query = urlencode({"rule": rule, "cook": cook})
            return redirect(f"{reverse('heat-log', args=[digest])}?{query}")
    context = {"wrong": wrong, "cook": cook, "rule": rule}
    return page(request, "heat_hand_in.html", context, here="heat", status=422 if wrong else 200)


def _kept(file: UploadedFile[bytes] | None) -> str:
    """Return the digest under which a file that was handed in waits."""
    if file is None or file.name is None:
        raise InputError("file", "", _("a log of a cook as CSV or XLSX"))
    if (file.size or 0) > cook_incoming.MOST_BYTES:
        most = f"{cook_incoming.MOST_BYTES / 1e6:.0f} MB"
        raise InputError("file", file.name, _("a file up to %(most)s") % {"most": most})
    return cook_incoming.keep(file.read(), file.name)


def changes_in(request: HttpRequest) -> dict[str, str]:
    """Return what was said by hand of how a file is to be read; empty answers are left out."""
    given = request.GET if request.method == "GET" else request.POST
    keys = [key for key in given if key.startswith("read.")][:MOST_CHANGES]
    said_so = {key.removeprefix("read."): given.get(key, "")[:LONGEST] for key in keys}
    return {key: value for key, value in said_so.items() if value}


@require_GET
def log(request: HttpRequest, digest: str) -> HttpResponse:
    """Show a log as it was read and what it is worth."""
    try:
        waiting = cook_incoming.incoming(digest)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    rule = request.GET.get("rule", "")[:LONGEST].strip()
    changes = changes_in(request)
    judged: JudgedCook | None = None
    wrong = ""
    try:
        judged, _read = judge_file(
            waiting.data,
            waiting.name,
            read_rule(rule) if rule else None,
            altitude_m=frame().altitude_m,
            changes=changes,
        )
    except InputError as problem:
        wrong = said(problem)
    context = {
        "name": waiting.name,
        "digest": digest,
        "judged": judged,
        "rule": rule,
        "cook": request.GET.get("cook", "")[:LONGEST],
        "changes": changes,
        "wrong": wrong,
        "verdicts": VERDICTS,
        "roles": ROLES,
        "cautions": cautions.sentences(judged.cautions if judged else ("not-proof",)),
    }
    return page(request, "heat_log.html", context, here="heat", status=422 if wrong else 200)
