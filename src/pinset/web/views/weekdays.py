"""Other weekdays for starting and moving: asked for, shown, accepted."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import RefusedError
from pinset.services.asking import weekdays
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the newest proposal, or how far its search is."""
    context = {"proposal": weekdays.newest_weekdays()}
    return page(request, "weekdays.html", context, here="promises")


@require_POST
@owner_only
def ask(request: HttpRequest) -> HttpResponse:
    """Put the search in line."""
    weekdays.ask_for_weekdays(who(request).code)
    messages.success(request, _("Other weekdays are being tried; look again in a minute or two."))
    return redirect("weekdays")


@require_POST
@owner_only
def accept(request: HttpRequest) -> HttpResponse:
    """Write the chosen weekdays into their routes."""
    try:
        done = weekdays.accept(request.POST.getlist("change"), who(request).code)
    except RefusedError as problem:
        messages.error(request, said(problem))
        return redirect("weekdays")
    for line in done:
        messages.success(request, line)
    messages.success(request, _("Plan again to see what follows from it."))
    return redirect("weekdays")
