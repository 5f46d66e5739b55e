"""Books, Outlets: places for what fits no promise, what they were given and are to get."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.chain.register import Outlet
from pinset.errors import InputError, RefusedError
from pinset.services.outlets import book as outlets_book
from pinset.services.plans import planning_day
from pinset.web import fields
from pinset.web.forms import Field, marked
from pinset.web.outlet_form import outlet_fields, read_outlet
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the outlets."""
    context = {"outlets": outlets_book.outlets_view()}
    return page(request, "outlets.html", context, here="books")


def _form(
    request: HttpRequest, asked: tuple[Field, ...], old: Outlet | None, wrong: str = ""
) -> HttpResponse:
    context = {
        "fields": asked,
        "heading": old.name if old else _("Add an outlet"),
        "code": old.code if old else "",
        "wrong": wrong,
    }
    return page(request, "outlet.html", context, here="books", status=422 if wrong else 200)


def _answer(request: HttpRequest, old: Outlet | None) -> HttpResponse:
    """Show the form, or write down the outlet that was typed."""
    book, _today = planning_day.farm_book()
    asked = outlet_fields(book, old)
    if request.method != "POST":
        return _form(request, asked, old)
    try:
        outlets_book.save_outlet(read_outlet(request, book, old), who(request).code)
    except (InputError, RefusedError) as problem:
        asked, label = fields.kept(request, asked), ""
        if isinstance(problem, InputError):
            label = next((str(f.label) for f in asked if f.name == problem.field), "")
            asked = marked(asked, problem)
        return _form(request, asked, old, said(problem, label))
    messages.success(request, _("Saved. The next plan reckons with it."))
    return redirect("outlets")


@require_http_methods(["GET", "POST"])
@owner_only
def new(request: HttpRequest) -> HttpResponse:
    """Add an outlet."""
    return _answer(request, None)


def _find(code: str) -> Outlet:
    book, _today = planning_day.farm_book()
    found = next((each for each in book.outlets if each.code == code), None)
    if found is None:
        raise Http404(_("There is no such outlet."))
    return found


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, code: str) -> HttpResponse:
    """Change an outlet from today on."""
    return _answer(request, _find(code))


@require_POST
@owner_only
def end(request: HttpRequest, code: str) -> HttpResponse:
    """End an outlet; what it was given stays in the books."""
    _find(code)
    outlets_book.end_outlet(code, who(request).code)
    messages.success(request, _("Ended. What was handed over stays in the books."))
    return redirect("outlets")
