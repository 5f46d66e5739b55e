"""What to do with a lot that may have caught something: asked, and what every choice costs."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.asking import doubtful_lot
from pinset.services.books.lots import lot_view
from pinset.services.losses.sister_lines import one_sister
from pinset.services.losses.view import CAUTION
from pinset.services.plans import planning_day
from pinset.web.render import page
from pinset.web.who import who
from pinset.web.wording import said

LONGEST_REASON = 200


@require_GET
def show(request: HttpRequest, code: str) -> HttpResponse:
    """Show what is thought of a lot, and the newest answer about it."""
    view = lot_view(code)
    _book, today = planning_day.farm_book()
    context = {
        "lot": view.line.lot,
        "line": view.line,
        "sister": one_sister(view.line.lot, with_people=who(request).is_owner),
        "why_held": _why_held(view.line.lot),
        "asked": doubtful_lot.newest_about(view.line.lot),
        "caution": CAUTION,
        "today": today.isoformat(),
        "tomorrow": (today + timedelta(days=1)).isoformat(),
    }
    return page(request, "doubtful_lot.html", context, here="losses")


def _why_held(code: str) -> str:
    """Return why a lot would be held; everybody reads it, so nobody is named in it."""
    sister = one_sister(code, with_people=False)
    shared = ", ".join(sister.shares) if sister else ""
    return (_("shares %(what)s") % {"what": shared})[:LONGEST_REASON] if shared else ""


@require_POST
def ask(request: HttpRequest, code: str) -> HttpResponse:
    """Put the question in line."""
    try:
        doubtful_lot.ask_about_lot(code, who(request).code)
    except (InputError, RefusedError) as problem:
        messages.error(request, said(problem))
    else:
        messages.success(request, _("It is being planned; look again in a quarter of a minute."))
    return redirect("losses-lot", code)
