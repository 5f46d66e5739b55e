"""The board: the plan by day and place, and what is fixed by hand."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.board import at_once, board
from pinset.services.board import card as board_card
from pinset.services.board import day as board_day
from pinset.services.plans import work
from pinset.web import fields
from pinset.web.forms import Field, marked
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

SPOKEN = {
    "start": gettext_lazy("to start"),
    "order": gettext_lazy("to order"),
    "move": gettext_lazy("to move"),
    "cook": gettext_lazy("to cook"),
    "pin": gettext_lazy("pinned, not in the plan"),
    "none": gettext_lazy("pinned: not on this day"),
}
"""What a card is about, in words beside its place."""


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the board; a narrow screen shows the one day that is asked for."""
    view = board.board()
    days = [head.day for head in view.days]
    asked = _date(request.GET.get("day", days[0].isoformat()))
    place = days.index(asked) if asked in days else 0
    context = {
        "view": view,
        "shown": days[place],
        "before": days[place - 1] if place else None,
        "after": days[place + 1] if place + 1 < len(days) else None,
        "spoken": SPOKEN,
        "planning": work.open_plan(),
    }
    return page(request, "board.html", context, here="promises")


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Http404(_("There is no such day.")) from None


@require_GET
def card(request: HttpRequest, day: str, variety: str, step: str) -> HttpResponse:
    """Show one card with its reasons."""
    try:
        view = board_card.card_view(_date(day), variety, step)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    context = {"view": view, "spoken": SPOKEN[view.card.kind]}
    return page(request, "board_card.html", context, here="promises")


@require_POST
@owner_only
def change(request: HttpRequest, day: str, variety: str, step: str) -> HttpResponse:
    """Hold, move or free what stands on a card."""
    on, person, act = _date(day), who(request).code, request.POST.get("act", "")
    shown, before = on, at_once.pins_now()
    try:
        if act == "hold":
            board_card.hold(on, variety, step, person)
        elif act == "not":
            board_card.not_on(on, variety, step, person)
        elif act == "free":
            board_card.take_off(on, variety, step, person)
        elif act == "move":
            shown = _date(request.POST.get("to", ""))
            board_card.move_to(on, variety, step, shown, person)
        else:
            raise Http404(_("There is no such change."))
    except RefusedError as problem:
        messages.error(request, said(problem))
        return redirect(f"{reverse('board')}?day={on.isoformat()}")
    done = _("The pin is off.") if act == "free" else _("Pinned.")
    messages.success(request, done + " " + _("Plan again to see what follows from it."))
    if breaks := at_once.what_breaks(before):
        messages.warning(request, _("If nothing else is changed:") + " " + " ".join(breaks))
    return redirect(f"{reverse('board')}?day={shown.isoformat()}")


@require_GET
def day(request: HttpRequest, day: str) -> HttpResponse:
    """Show one day: whether it is worked, and what is out of use."""
    try:
        view = board_day.day_page(_date(day))
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    return page(request, "board_day.html", {"view": view}, here="promises")


@require_POST
@owner_only
def mark(request: HttpRequest, day: str) -> HttpResponse:
    """Make a day a day off, or a working day again."""
    on = _date(day)
    try:
        board_day.mark_day(on, who(request).code, is_off=request.POST.get("act") == "off")
    except RefusedError as problem:
        messages.error(request, said(problem))
    else:
        messages.success(request, _("Saved.") + " " + _("Plan again to see what follows from it."))
    return redirect(f"{reverse('board')}?day={on.isoformat()}")


def _asked(first: str) -> tuple[Field, ...]:
    return (
        Field("thing", _("What"), "choice", choices=board_day.things(), required=True),
        Field("first", _("First day"), "date", first, required=True),
        Field("last", _("Last day"), "date", first, required=True, help=_("It is included.")),
        Field("note", _("Note"), help=_("Such as: new seal, being cleaned and refilled.")),
    )


@require_http_methods(["GET", "POST"])
@owner_only
def out(request: HttpRequest, day: str) -> HttpResponse:
    """Put something out of use."""
    on = _date(day)
    asked, wrong = _asked(on.isoformat()), ""
    if request.method == "POST":
        try:
            board_day.put_out_of_use(
                request.POST.get("thing", ""),
                _typed(request, "first"),
                _typed(request, "last"),
                fields.text(request, "note"),
                who(request).code,
            )
        except (InputError, RefusedError) as problem:
            asked = fields.kept(request, asked)
            wrong = said(problem)
            if isinstance(problem, InputError):
                asked = marked(asked, problem)
        else:
            done = _("Saved.") + " " + _("Plan again to see what follows from it.")
            messages.success(request, done)
            return redirect(f"{reverse('board')}?day={on.isoformat()}")
    context = {"fields": asked, "wrong": wrong, "day": on}
    return page(request, "board_out.html", context, here="promises", status=422 if wrong else 200)


def _typed(request: HttpRequest, name: str) -> date:
    text = request.POST.get(name, "")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(name, text, "a date") from None
