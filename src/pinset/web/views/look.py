"""Look: choose a lot, tap what is seen."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from pinset.errors import InputError, PinsetError
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.when_said import UnlikelyMomentError
from pinset.services.day.today import job_view
from pinset.services.looking.asked import job_due, look_page, named
from pinset.services.looking.choosing import look_list
from pinset.services.looking.looked import MOST_PHOTO_BYTES, Seen, look
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.claimed import asked_first
from pinset.web.client_ids import read_client_id
from pinset.web.render import page
from pinset.web.who import who
from pinset.web.wording import said

LONGEST = 80
WHY = "why"
"""The field for the reason; it is shown once something speaks against what is said."""

MOST_SIGNS = 30


@dataclass(frozen=True, slots=True)
class _Wrong:
    sentence: str = ""
    field: str = ""


NOTHING_WRONG = _Wrong()


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show what is to be looked at; with a code typed or scanned, go to that lot."""
    typed, wrong = request.GET.get("code", "").strip()[:LONGEST], ""
    if typed:
        try:
            return redirect("look-lot", named(typed))
        except PinsetError as problem:
            wrong = said(problem, str(_("Code on the label")))
    context = {"view": look_list(), "typed": typed, "wrong": wrong}
    return page(request, "look.html", context, here="look", status=422 if wrong else 200)


@require_http_methods(["GET", "POST"])
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show the signs of one lot, or write down what was seen."""
    code = code[:LONGEST]
    if request.method != "POST":
        return _page(request, code)
    asked = _asked_first(request, code)
    if asked is not None:
        return asked
    try:
        done = _looked(request, code)
    except InputError as problem:
        return _page(request, code, _Wrong(said(problem, _label(problem)), problem.field))
    except UnlikelyMomentError as problem:
        return _page(request, code, _Wrong(said(problem), WHY))
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("look")


def _asked_first(request: HttpRequest, code: str) -> HttpResponse | None:
    """Return the question whether to record it though somebody else has the job; else None.

    With a photo it is recorded and said: the question could not carry it.
    """
    try:
        job = "" if request.FILES else job_due(named(code))
    except PinsetError:
        return None  # said when it is written down
    if not job:
        return None
    client_id = read_client_id(request.POST.get("client_id", ""))
    return asked_first(request, job_view(job), client_id, here="look")


def _label(problem: InputError) -> str:
    words = {
        "sign": _("What is seen"),
        "of": _("How many are looked at"),
        "count": _("How many show it"),
        "where": _("Where in it"),
        "photo": _("Photo"),
        "place": _("Where it stands"),
    }
    return str(words.get(problem.field, ""))


def _looked(request: HttpRequest, code: str) -> Done:
    ticked = tuple(dict.fromkeys(request.POST.getlist("sign")[:MOST_SIGNS]))
    is_well = "well" in request.POST
    if is_well and ticked:
        raise InputError("sign", ", ".join(ticked), _("either nothing seen, or what is ticked"))
    if not is_well and not ticked:
        raise InputError("sign", "", _("one or more signs, or nothing seen"))
    saying = Saying(
        lot=code,
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
        why=fields.text(request, WHY, longest=200),
    )
    seen = Seen(
        signs=ticked,
        where=fields.text(request, "where", longest=40) if ticked else "",
        seen=(fields.whole(request, "count") or 0) if ticked else 0,
        of=fields.whole(request, "of"),
        place=fields.text(request, "place", longest=60),
        take_out=bool(ticked) and request.POST.get("out") == "yes",
        photo=_photo(request),
    )
    return look(saying, seen)


def _photo(request: HttpRequest) -> bytes:
    """Return the photo that was handed in; nothing if none was."""
    file = request.FILES.get("photo")
    if file is None:
        return b""
    if (file.size or 0) > MOST_PHOTO_BYTES:
        given = f"{(file.size or 0) / 1e6:.0f} MB"
        raise InputError("photo", given, _("a picture up to 20 MB"))
    content: bytes = file.read()
    return content


def _page(request: HttpRequest, code: str, wrong: _Wrong = NOTHING_WRONG) -> HttpResponse:
    context = {
        "view": look_page(code),
        "typed": request.POST,
        "ticked": request.POST.getlist("sign"),
        "wrong": wrong.sentence,
        "field": wrong.field,
    }
    return page(
        request, "look_lot.html", context, here="look", status=422 if wrong.sentence else 200
    )
