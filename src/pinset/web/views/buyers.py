"""Books, Buyers: what is promised to each and what was kept."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.services.books import books
from pinset.web.render import page


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the buyers."""
    return page(request, "buyers.html", {"buyers": books.buyers_view()}, here="books")
