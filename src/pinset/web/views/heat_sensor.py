"""Heat, sensors: the address they post readings to, and the farm's key for it."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.cooks.watch import sensor_posts
from pinset.services.cooks.watch.feed import folder_of
from pinset.services.cooks.watch.sensor_posts import TooManyError, WrongKeyError
from pinset.web.render import page
from pinset.web.who import address_of, owner_only, who

MOST_BYTES = 64_000
STATUS = {WrongKeyError: 403, TooManyError: 429, InputError: 422, RefusedError: 409}
BEARER = "Bearer "


@csrf_exempt
@require_POST
def take(request: HttpRequest) -> HttpResponse:
    """Take what a sensor sends; the key stands in for the sign-in."""
    given = request.headers.get("Authorization", "")
    try:
        sensor_posts.let_in(given.removeprefix(BEARER).strip()[:200], address_of(request))
        taken = sensor_posts.take(_sent(request))
    except PinsetError as problem:
        status = STATUS.get(type(problem), 503)
        answer = JsonResponse({"error": str(problem)}, status=status)
        if isinstance(problem, TooManyError):
            answer.headers["Retry-After"] = str(problem.wait_s)
        return answer
    return JsonResponse({"cook": taken.cook, "new": taken.new})


def _sent(request: HttpRequest) -> object:
    """Return the JSON that was sent.

    Raises
    ------
    InputError
        If it is too long or no JSON.
    """
    accepted = 'JSON such as {"chamber_c": 118.7}'
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdigit() or int(length) > MOST_BYTES:
        raise InputError("body", f"{length[:12]} bytes", f"at most {MOST_BYTES} bytes")
    body = request.body
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        shown = body[:40].decode("utf-8", errors="replace")
        raise InputError("body", shown, accepted) from None


@require_http_methods(["GET", "POST"])
@owner_only
def show(request: HttpRequest) -> HttpResponse:
    """Show how a sensor sends readings; make the key anew or take it away."""
    key = ""
    if request.method == "POST":
        if request.POST.get("how") == "none":
            sensor_posts.no_key(who(request).code)
            messages.success(request, _("No sensor can send readings any more."))
            return redirect("heat-sensor")
        key = sensor_posts.new_key(who(request).code)
    address = request.build_absolute_uri(reverse("heat-readings"))
    context = {
        "key": key,
        "since": sensor_posts.key_since(),
        "folder": str(folder_of("")),
        "command": (
            f"curl -H 'Authorization: Bearer {key or 'KEY'}' -d "
            '\'{"chamber_c": 118.7, "gauge_bar": 1.03, "core_c": 96.4}\' ' + address
        ),
    }
    answer = page(request, "heat_sensor.html", context, here="heat")
    answer.headers["Cache-Control"] = "no-store"
    return answer
