"""Changing people on a shared tablet by a PIN, and setting one's own."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth import login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.farms import pins
from pinset.web import devices
from pinset.web.render import page
from pinset.web.views import bench, scan
from pinset.web.views.door import BACKEND, LONGEST_PASSWORD, safe_next
from pinset.web.who import BY_PIN, address_of, who
from pinset.web.wording import said

LONGEST_PIN = 12
STAYS = timedelta(hours=12)
OF_THE_DEVICE = (*bench.KEPT_BY_DEVICE, scan.IN_HAND)
"""What lies on the bench or in hand stays there when people change."""


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest) -> HttpResponse:
    """Let somebody else come to this device by name and PIN."""
    going = request.POST.get("next", "") or request.GET.get("next", "")
    context = {
        "people": pins.everybody_with_pin(),
        "back": safe_next(request, going),
        "is_known": devices.is_known(request),
        "wrong": "",
        "chosen": request.POST.get("person", "") or _who_else(who(request).code),
        "next": going,
    }
    if request.method == "GET":
        return page(request, "pin.html", context)
    if not context["is_known"]:
        raise PermissionDenied(_("A PIN is taken only where somebody signed in with a password."))
    try:
        person = pins.sign_in(
            request.POST.get("person", "")[:40],
            request.POST.get("pin", "")[:LONGEST_PIN],
            address_of(request),
        )
    except RefusedError as problem:
        context["wrong"] = str(problem)
        return page(request, "pin.html", context, status=403)
    kept = {name: request.session[name] for name in OF_THE_DEVICE if name in request.session}
    was_by_password = who(request).code == person.code and not who(request).is_by_pin
    login(request, person, backend=BACKEND)
    request.session.update(kept)
    if not was_by_password:
        request.session[BY_PIN] = True
        request.session.set_expiry(int(STAYS.total_seconds()))
    return HttpResponseRedirect(safe_next(request, going))


def _who_else(here: str) -> str:
    """Return who comes now, if it can be nobody else; the code of a person."""
    everybody = [each.code for each in pins.everybody_with_pin()]
    likely = [code for code in everybody if code != here] or everybody
    return likely[0] if len(likely) == 1 else ""


@require_http_methods(["GET", "POST"])
def own(request: HttpRequest) -> HttpResponse:
    """Set one's own PIN, or take it off, by one's password."""
    person = who(request)
    context = {"wrong": "", "has_pin": pins.has_pin(person.code), "code": person.code}
    if request.method == "GET":
        return page(request, "own_pin.html", context, here="settings")
    password = request.POST.get("password", "")[: LONGEST_PASSWORD + 1]
    is_off = request.POST.get("what") == "off"
    try:
        if is_off:
            pins.take_off(person.code, password, address_of(request))
        else:
            _set(request, person.code, password)
    except PinsetError as problem:
        context["wrong"] = said(problem) if isinstance(problem, InputError) else str(problem)
        return page(request, "own_pin.html", context, here="settings", status=422)
    messages.success(request, _("Your PIN is off.") if is_off else _("Your PIN is set."))
    return HttpResponseRedirect(safe_next(request, ""))


def _set(request: HttpRequest, code: str, password: str) -> None:
    pin = request.POST.get("pin", "")[:LONGEST_PIN]
    if pin != request.POST.get("again", "")[:LONGEST_PIN]:
        raise InputError(_("once more"), "•••", _("the same PIN twice"))
    pins.set_pin(code, password, pin, address_of(request))
