"""Air: what each grow room needs; forms that can be bookmarked and sent."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.errors import InputError
from pinset.services import cautions
from pinset.services.air.answer import Answer
from pinset.services.air.room import CAUTIONS, room_answer
from pinset.services.air.room_asked import room_here
from pinset.services.air.rooms import air_rooms
from pinset.services.air.typed import Typed
from pinset.web.air_fields import refused_parts, room_parts
from pinset.web.formats import system
from pinset.web.render import page

LONGEST = 60


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the rooms, and the ways to the other sums about air."""
    return page(request, "air.html", {"view": air_rooms()}, here="air")


@require_GET
def room(request: HttpRequest, code: str) -> HttpResponse:
    """Show what a room needs: its form, and the answer once it was sent."""
    here = room_here(code)
    typed = {name: request.GET.get(name, "")[:LONGEST] for name in request.GET}
    is_sent = "volume" in typed
    typed = dict(typed if is_sent else {**here.usual, **typed})
    parts = room_parts(here, typed)
    answer: Answer | None = None
    wrong = ""
    if is_sent:
        try:
            answer = room_answer(here, Typed(typed, system()))
        except InputError as problem:
            parts, wrong = refused_parts(parts, typed, problem)
    context = {
        "room": here.room,
        "parts": parts,
        "answer": answer,
        "wrong": wrong,
        "cautions": cautions.sentences(CAUTIONS),
    }
    return page(request, "air_room.html", context, here="air", status=422 if wrong else 200)
