"""The round of the rooms: readings are typed room by room; a room's page shows its weeks."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers.when_said import UnlikelyMomentError
from pinset.services.looking.readings import Readings, co2_of, humidity_of, temperature_of
from pinset.services.looking.room_views import CAUTIONS, RoomToRead, room_history, rooms_to_read
from pinset.services.looking.walked import RoomRead, Walk, walked
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.formats import system
from pinset.web.render import page
from pinset.web.round_svg import lines_of
from pinset.web.who import who
from pinset.web.wording import said

LONGEST = 60
MOST = 1_000_000


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Show the rooms to read off, or write a round down."""
    wrong, is_doubted = "", False
    rooms = rooms_to_read()
    if request.method == "POST":
        try:
            done = _walked(request, rooms)
        except InputError as problem:
            wrong = said(problem, _label(problem.field))
        except UnlikelyMomentError as problem:
            wrong, is_doubted = said(problem), True
        else:
            messages.success(request, done.sentence)
            for finding in done.findings:
                messages.warning(request, finding)
            return redirect("look-rooms")
    context = {
        "rooms": rooms,
        "typed": request.POST,
        "wrong": wrong,
        "is_doubted": is_doubted,
        "degrees": "°F" if system() == "us" else "°C",
        "cautions": cautions.sentences(CAUTIONS),
    }
    return page(request, "look_rooms.html", context, here="look", status=422 if wrong else 200)


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show what a room showed over the last weeks."""
    try:
        view = room_history(code[:LONGEST])
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    context = {"view": view, "lines": lines_of(view.rows)}
    return page(request, "look_room.html", context, here="look")


def _label(field: str) -> str:
    words = {
        "temperature": _("Temperature"),
        "humidity": _("Humidity"),
        "co2": _("Carbon dioxide"),
        "flies": _("Flies on the traps"),
        "traps": _("Traps"),
        "trap_days": _("Days since the last count"),
        "readings": _("Readings"),
    }
    return str(words.get(field, ""))


def _walked(request: HttpRequest, rooms: tuple[RoomToRead, ...]) -> Done:
    walk = Walk(
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
        why=fields.text(request, "why", longest=200),
    )
    return walked(walk, [RoomRead(room.code, _readings(request, room)) for room in rooms])


def _readings(request: HttpRequest, room: RoomToRead) -> Readings:
    """Return what was typed for one room.

    Raises
    ------
    InputError
        If something cannot be read; the sentence names the room.
    """
    try:
        return Readings(
            temperature_c=temperature_of(_typed(request, room, "temperature"), system()),
            humidity_percent=humidity_of(_typed(request, room, "humidity")),
            co2_ppm=co2_of(_typed(request, room, "co2")),
            flies=fields.whole(request, f"{room.code}-flies"),
            traps=fields.whole(request, f"{room.code}-traps") or 1,
            trap_days=fields.number(request, f"{room.code}-days") or None,
        )
    except InputError as problem:
        field = problem.field.removeprefix(f"{room.code}-")
        accepted = _("%(accepted)s, in %(room)s") % {
            "accepted": problem.accepted,
            "room": room.name,
        }
        named = "trap_days" if field == "days" else field
        raise InputError(named, problem.given, accepted, problem.hint) from problem


def _typed(request: HttpRequest, room: RoomToRead, name: str) -> str:
    return fields.text(request, f"{room.code}-{name}", longest=40)
