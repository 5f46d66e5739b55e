"""Planning now: the work is done outside the pages; this asks for it and shows how far it is."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.services.plans import work
from pinset.services.plans.who_plans import may_plan
from pinset.web.render import page
from pinset.web.who import who

BACK = frozenset({"today", "board", "promises"})
"""Pages that ask for a plan, and are shown again when it is there."""


def _back(asked: str | None) -> str:
    return asked if asked in BACK else "today"


def _refuse_others(request: HttpRequest) -> None:
    """Refuse a worker on a day on which an owner is there.

    Raises
    ------
    PermissionDenied
        Then.
    """
    person = who(request)
    if not may_plan(person.code, is_owner=person.is_owner):
        raise PermissionDenied(
            _("Only an owner may do this while one is at work. Ask the owner of the farm.")
        )


@require_POST
def start(request: HttpRequest) -> HttpResponse:
    """Ask for a new plan and show how far it is."""
    _refuse_others(request)
    number = work.ask_for_plan(who(request).code)
    back = _back(request.POST.get("back"))
    return redirect(f"{reverse('plan-progress', args=[number])}?back={back}")


@require_GET
def progress(request: HttpRequest, number: int) -> HttpResponse:
    """Show how far a plan is; when it is there, go back to where it was asked for."""
    _refuse_others(request)
    row = work.how_far(number)
    if row is None:
        raise Http404(_("There is no such wish to plan."))
    back = _back(request.GET.get("back"))
    is_part = bool(request.headers.get("HX-Request"))
    if row.is_ended:
        if row.is_given_up:
            messages.success(request, _stopped())
        elif row.problem:
            messages.error(request, row.problem)
        else:
            messages.success(request, _("The plan is new."))
        if is_part:
            return HttpResponse(status=204, headers={"HX-Redirect": reverse(back)})
        return redirect(back)
    template = "parts/planning.html" if is_part else "planning.html"
    return page(
        request,
        template,
        {"row": row, "back": back},
        here="today" if back == "today" else "promises",
    )


def _stopped() -> str:
    return _("Planning was stopped. The plan before stays, with its jobs.")


@require_POST
def stop(request: HttpRequest, number: int) -> HttpResponse:
    """Stop a plan that is being made; the one before stays."""
    _refuse_others(request)
    if work.how_far(number) is None:
        raise Http404(_("There is no such wish to plan."))
    back = _back(request.POST.get("back"))
    if work.give_up(number):
        messages.success(request, _stopped())
        return redirect(back)
    return redirect(f"{reverse('plan-progress', args=[number])}?back={back}")
