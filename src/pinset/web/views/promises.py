"""Promises: what was kept, what is coming, and changing what is promised."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from pinset.services import promises
from pinset.web.render import page

STATES = {
    "kept": {"word": gettext_lazy("kept"), "tone": "okay"},
    "on course": {"word": gettext_lazy("on course"), "tone": "okay"},
    "part kept": {"word": gettext_lazy("part kept"), "tone": "mid"},
    "short": {"word": gettext_lazy("short"), "tone": "bad"},
    "missed": {"word": gettext_lazy("missed"), "tone": "bad"},
    "unavoidable": {"word": gettext_lazy("cannot be met"), "tone": "bad"},
}


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the weeks behind and ahead."""
    context = {"view": promises.promises_view(), "states": STATES}
    return page(request, "promises.html", context, here="promises")

def new(request): ...
def change(request, code): ...
def end(request, code): ...
