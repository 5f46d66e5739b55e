"""Books, Outlets: places for what fits no promise, what they were given and are to get."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.services import outlets_book
from pinset.web.render import page


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the outlets."""
    context = {"outlets": outlets_book.outlets_view()}
    return page(request, "outlets.html", context, here="books")
