"""What the bar on a phone has no room for."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.web.render import page


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the other pages."""
    return page(request, "more.html", here="more")
