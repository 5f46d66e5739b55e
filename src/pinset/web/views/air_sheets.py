"""The smaller pages of Air: clean room, bench, closed-vent test; each a form and its answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from pinset.errors import InputError
from pinset.services import cautions
from pinset.services.air import bench, clean, vents
from pinset.services.air.answer import Answer
from pinset.services.air.rooms import farm_here
from pinset.services.air.typed import Typed
from pinset.web.air_fields import Part, refused_parts
from pinset.web.air_sheets import bench_parts, clean_parts, vent_parts
from pinset.web.formats import system
from pinset.web.render import page

LONGEST = 60
LONGEST_ROWS = 5000
ROWS = frozenset({"readings", "speeds"})


@require_GET
def clean_room(request: HttpRequest) -> HttpResponse:
    """Show a clean room's form, and its particles once it was sent."""
    currency = farm_here().currency
    return _sheet(
        request,
        (_("Air: clean room"), _("Is the room clean, how soon after entry, and what helps most?")),
        clean.USUAL,
        lambda typed: clean_parts(typed, currency),
        lambda form: clean.clean_answer(form, currency),
        (),
    )


@require_GET
def closed_vents(request: HttpRequest) -> HttpResponse:
    """Show the closed-vent test, and what the room gives off once readings were sent."""
    altitude = f"{farm_here().altitude_m:g} m"
    return _sheet(
        request,
        (
            _("Air: closed-vent test"),
            _("A quarter of an hour with the vents shut says what this room gives off."),
        ),
        {"outdoor-co2": "420", "altitude": altitude},
        vent_parts,
        vents.vents_answer,
        vents.CAUTIONS,
    )


@require_GET
def clean_bench(request: HttpRequest) -> HttpResponse:
    """Show a bench's form, and its speeds and fan once it was sent."""
    return _sheet(
        request,
        (_("Air: bench"), _("Is the bench in its window, and is its fan big enough?")),
        bench.USUAL,
        bench_parts,
        bench.bench_answer,
        (),
    )


def _sheet(
    request: HttpRequest,
    words: tuple[str, str],
    usual: Mapping[str, str],
    parts_of: Callable[[Mapping[str, str]], tuple[Part, ...]],
    reckon: Callable[[Typed], Answer],
    keys: tuple[str, ...],
) -> HttpResponse:
    typed = {
        name: request.GET.get(name, "")[: LONGEST_ROWS if name in ROWS else LONGEST]
        for name in request.GET
    }
    is_sent = "volume" in typed or "speeds" in typed
    typed = typed if is_sent else {**usual, **typed}
    parts = parts_of(typed)
    answer: Answer | None = None
    wrong = ""
    if is_sent:
        try:
            answer = reckon(Typed(typed, system()))
        except InputError as problem:
            parts, wrong = refused_parts(parts, typed, problem)
    context = {
        "title": words[0],
        "lead": words[1],
        "parts": parts,
        "answer": answer,
        "wrong": wrong,
        "cautions": cautions.sentences(keys),
    }
    return page(request, "air_sheet.html", context, here="air", status=422 if wrong else 200)
