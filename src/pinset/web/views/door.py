"""Coming in and going out: sign-in, the first owner's password, one's own password."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.farms import people, pins
from pinset.web import devices
from pinset.web.render import page
from pinset.web.who import BY_PIN, address_of, is_this_machine, who

BACKEND = "pinset.web.quick_sessions.PersonBackend"
LONGEST_PASSWORD = 200
LONGEST_NAME = 120


def safe_next(request: HttpRequest, given: str) -> str:
    """Return the address to go to after signing in; only addresses of this farm are followed."""
    allowed = url_has_allowed_host_and_scheme(
        given, {request.get_host()}, require_https=request.is_secure()
    )
    return given if allowed and given.startswith("/") else reverse("today")


@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for name and password."""
    if not people.owner_has_password():
        return redirect("first-owner")
    if request.method == "GET":
        if who(request).code and not who(request).is_by_pin:
            return redirect("today")
        context = {
            "wrong": "",
            "name": who(request).code,
            "next": request.GET.get("next", ""),
            "by_pin": devices.is_known(request) and bool(pins.everybody_with_pin()),
        }
        return page(request, "sign_in.html", context)
    name = request.POST.get("name", "").strip()[:LONGEST_NAME]
    password = request.POST.get("password", "")[: LONGEST_PASSWORD + 1]
    going = request.POST.get("next", "")
    try:
        person = people.sign_in(name, password, address_of(request))
    except RefusedError as problem:
        return page(
            request,
            "sign_in.html",
            {"wrong": str(problem), "name": name, "next": going, "by_pin": False},
            status=403,
        )
    _let_in(request, person)
    answer = HttpResponseRedirect(safe_next(request, going))
    devices.make_known(answer, person.code)
    return answer


def _let_in(request: HttpRequest, person: Any) -> None:
    """Sign a person in who gave a password, also where a PIN had let them in."""
    login(request, person, backend=BACKEND)
    if request.session.pop(BY_PIN, None):
        request.session.set_expiry(None)


@require_http_methods(["GET", "POST"])
def first_owner(request: HttpRequest) -> HttpResponse:
    """Let the owner set the first password, at this very computer only."""
    if people.owner_has_password():
        return redirect("sign-in")
    if not is_this_machine(request):
        raise PermissionDenied(
            _("The owner has no password yet. Set it at the computer that runs pinset.")
        )
    owners = [(row.code, row.name) for row in people.everybody() if row.role == "owner"]
    context = {"owners": owners, "wrong": "", "name": "", "code": ""}
    if request.method == "GET":
        return page(request, "first_owner.html", context)
    code = request.POST.get("code", "").strip()[:LONGEST_NAME]
    name = request.POST.get("name", "").strip()[:LONGEST_NAME]
    password = request.POST.get("password", "")
    try:
        _same_twice(request)
        if owners:
            _is_one_of(code, dict(owners))
            people.set_password(code, password)
        else:
            people.add_person(code, name, "owner", password)
        person = people.sign_in(code, password, address_of(request))
    except (InputError, RefusedError) as problem:
        context |= {"wrong": str(problem), "name": name, "code": code}
        return page(request, "first_owner.html", context, status=422)
    _let_in(request, person)
    answer = redirect("today")
    devices.make_known(answer, person.code)
    return answer


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """End the session."""
    logout(request)
    return redirect("sign-in")


def _is_one_of(code: str, owners: dict[str, str]) -> None:
    if code not in owners:
        raise InputError(_("owner"), code, ", ".join(owners))


def _same_twice(request: HttpRequest) -> None:
    if request.POST.get("password", "") != request.POST.get("again", ""):
        raise InputError(_("once more"), "•••", _("the same password twice"))


@require_http_methods(["GET", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    """Change one's own password."""
    person = who(request)
    context = {"heading": _("Your password"), "own": True, "code": person.code, "wrong": ""}
    if request.method == "POST":
        try:
            _same_twice(request)
            people.sign_in(person.code, request.POST.get("old", ""), address_of(request))
            pins_before = pins.has_pin(person.code)
            people.set_password(person.code, request.POST.get("password", ""))
        except (InputError, RefusedError) as problem:
            context["wrong"] = str(problem)
            return page(request, "password.html", context, here="settings", status=422)
        changed = people.sign_in(person.code, request.POST["password"], address_of(request))
        update_session_auth_hash(request, changed)
        messages.success(request, _("Your password is changed."))
        if pins_before:
            messages.warning(request, _("Set your PIN anew: it went with the old password."))
        answer = redirect("today")
        devices.make_known(answer, person.code)
        return answer
    return page(request, "password.html", context, here="settings")
