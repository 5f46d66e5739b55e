"""Who is signed in, and a fresh token, for a device that has something waiting to be sent."""

from __future__ import annotations

from django.http import HttpRequest, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.http import require_GET

from pinset.web.who import who


@require_GET
def show(request: HttpRequest) -> JsonResponse:
    """Say that the farm is there, who is signed in, and with which token a form is sent."""
    person = who(request)
    said = {"person": person.code, "name": person.name, "token": get_token(request)}
    return JsonResponse(said, headers={"Cache-Control": "no-store"})
