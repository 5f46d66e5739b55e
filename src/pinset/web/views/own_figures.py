"""What the farm's own records say of its routes, and taking a figure over with one tap."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.own_figures import figures as own_figures
from pinset.services.own_figures.taken import take_over
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

LONGEST = 60


@require_GET
@owner_only
def show(request: HttpRequest) -> HttpResponse:
    """Show the figures of one variety beside those of its route."""
    varieties = own_figures.grown_varieties()
    chosen = _chosen(request, varieties)
    view = own_figures.figures_view(chosen) if chosen else None
    context = {"view": view, "varieties": varieties, "chosen": chosen}
    return page(request, "own_figures.html", context, here="settings")


def _chosen(request: HttpRequest, varieties: tuple[tuple[str, str, str], ...]) -> str:
    """Return the variety asked for, or the first of a route asked for, or the first of all."""
    variety, route = (request.GET.get(name, "")[:LONGEST] for name in ("variety", "route"))
    fitting = [
        code for code, _name, its in varieties if variety in {"", code} and route in {"", its}
    ]
    if (variety or route) and not fitting:
        raise Http404(_("There is no such variety with a route."))
    return fitting[0] if fitting else ""


@require_POST
@owner_only
def take(request: HttpRequest) -> HttpResponse:
    """Take one figure over into the route, from today on."""
    variety, step, what = (
        request.POST.get(name, "")[:LONGEST] for name in ("variety", "step", "what")
    )
    try:
        done = take_over(variety, step, what, who(request).code)
    except (InputError, RefusedError) as problem:
        messages.error(request, said(problem))
    else:
        messages.success(request, done)
    known = any(code == variety for code, _name, _route in own_figures.grown_varieties())
    return redirect(f"{reverse('own-figures')}{f'?variety={variety}' if known else ''}")
