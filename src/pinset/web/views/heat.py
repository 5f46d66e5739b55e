"""Heat: the way to what is done before, during and after a cook."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.web.render import page


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show what can be done about heat."""
    return page(request, "heat.html", here="heat")
