"""Books, Cultures: the shelf, one lot of it, what would be lost with a fridge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.cultures import saying as writing
from pinset.services.cultures.clearing import Clearing, clear
from pinset.services.cultures.cloning import Taken, take_clone
from pinset.services.cultures.fridge import fridge_map
from pinset.services.cultures.renewing import renew
from pinset.services.cultures.shelf import shelf_view
from pinset.services.cultures.tube_page import plate_shelves, tube_page
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

LONGEST = 80


@dataclass(frozen=True, slots=True)
class _Wrong:
    """What was not accepted, of which form."""

    sentence: str = ""
    what: str = ""  # woken, measure, renew, or the code of a culture
    is_doubted: bool = False  # a reason would do


NOTHING_WRONG = _Wrong()


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the shelf by culture and what would be lost with each room."""
    return _shelf(request)


def _shelf(request: HttpRequest, wrong: _Wrong = NOTHING_WRONG) -> HttpResponse:
    context = {
        "view": shelf_view(),
        "rooms": fridge_map(),
        "shelves": plate_shelves(),
        "cautions": cautions.sentences(("wrong-species",)),
        "typed": request.POST,
        "wrong": wrong,
    }
    status = 422 if wrong.sentence else 200
    return page(request, "cultures.html", context, here="books", status=status)


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show one lot of the shelf."""
    return _tube(request, code[:LONGEST])


def _tube(request: HttpRequest, code: str, wrong: _Wrong = NOTHING_WRONG) -> HttpResponse:
    try:
        view = tube_page(code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    context = {
        "view": view,
        "cautions": cautions.sentences(("alcohol-flame",)),
        "typed": request.POST,
        "wrong": wrong,
    }
    status = 422 if wrong.sentence else 200
    return page(request, "culture.html", context, here="books", status=status)


def _count(request: HttpRequest, name: str) -> int:
    given = fields.whole(request, name)
    if given is None:
        raise InputError(name, "", _("a whole number"))
    return given


def _woken(request: HttpRequest, saying: Saying) -> Done:
    grew = _count(request, "grew")
    return writing.woken(
        saying,
        _count(request, "pieces"),
        grew,
        _count(request, "days") if grew else None,
        is_clean="dirty" not in request.POST,
    )


def _measured(request: HttpRequest, saying: Saying) -> Done:
    before, day = fields.number(request, "before"), fields.day(request, "before_on")
    hour = fields.hour(request, "before_at")
    earlier = None
    if before is not None and day is not None:
        earlier = writing.read_on(day, hour, before)
    elif before is not None or day is not None or hour is not None:
        raise InputError("before", "", _("the earlier radius and its day, or neither"))
    return writing.measure(
        saying,
        _count(request, "radius"),
        before=earlier,
        plate=fields.whole(request, "plate") or 1,
    )


def _renewed(request: HttpRequest, saying: Saying) -> Done:
    return renew(saying, _count(request, "count"), fields.text(request, "place", longest=60))


SAID: dict[str, Callable[[HttpRequest, Saying], Done]] = {
    "woken": _woken,
    "measure": _measured,
    "renew": _renewed,
}
"""What may be said of a lot on the shelf, by the word in the address."""


@require_POST
def say(request: HttpRequest, code: str, what: str) -> HttpResponse:
    """Write down what was seen or done; what cannot be is said at its form."""
    if what not in SAID:
        raise Http404(_("This cannot be said of a culture."))
    saying = Saying(
        lot=code[:LONGEST],
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
        why=fields.text(request, "why", longest=200),
    )
    try:
        done = SAID[what](request, saying)
    except InputError as problem:
        return _tube(request, saying.lot, _Wrong(said(problem, _label(problem.field)), what))
    except UnlikelyError as problem:
        return _tube(request, saying.lot, _Wrong(str(problem), what, is_doubted=True))
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("culture", done.new_lots[0] if done.new_lots else saying.lot)


@require_POST
def cloned(request: HttpRequest) -> HttpResponse:
    """Write down that a clone was taken of a fruit."""
    saying = Saying(
        lot=fields.text(request, "lot", longest=LONGEST),
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
    )
    try:
        code = fields.text(request, "culture", longest=LONGEST)
        place = fields.text(request, "place", longest=60)
        done = take_clone(saying, Taken(code, _count(request, "count"), place))
    except InputError as problem:
        return _shelf(request, _Wrong(said(problem, _label(problem.field)), "clone"))
    except RefusedError as problem:
        return _shelf(request, _Wrong(str(problem), "clone"))
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("culture", done.new_lots[0]) if done.new_lots else redirect("cultures")


@require_POST
@owner_only
def cleared(request: HttpRequest, culture: str) -> HttpResponse:
    """Clear a clone for use."""
    clearing = Clearing(
        culture[:LONGEST],
        fields.text(request, "origin", longest=20),
        fields.text(request, "named_by", longest=200),
        fields.text(request, "why", longest=200),
    )
    client_id = read_client_id(request.POST.get("client_id", ""))
    try:
        done = clear(clearing, who(request).code, client_id)
    except InputError as problem:
        return _shelf(request, _Wrong(said(problem, _label(problem.field)), culture))
    except UnlikelyError as problem:
        return _shelf(request, _Wrong(str(problem), culture, is_doubted=True))
    messages.success(request, done.sentence)
    return redirect("cultures")


def _label(field: str) -> str:
    words = {
        "radius": _("Radius"),
        "plate": _("Which plate"),
        "before": _("Measured before"),
        "time between the radii": _("Time between the two"),
        "pieces": _("Pieces set on plates"),
        "grew": _("How many grew"),
        "days": _("Days until growth showed"),
        "origin": _("Where the fruit grew"),
        "named_by": _("Who named it"),
        "culture": _("Culture"),
    }
    return str(words.get(field, ""))
