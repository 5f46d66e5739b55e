"""Who is looking at a page, and what they may do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Concatenate, ParamSpec

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

P = ParamSpec("P")
OPEN_PAGES = frozenset(
    {
        *("sign-in", "first-owner", "heat-readings", "calendar-feed", "waiting", "pin"),
        *("worker", "manifest", "offline"),
    }
)
"""Pages without a sign-in: two ask for a key or a token in the address, one tells a page whether
anybody is signed in, one is a door for devices that are known; the last three hold nothing of the
farm and let a device keep pages."""
BY_PIN = "by_pin"
"""Where a session keeps that it was opened by a PIN: it shows no owner's pages."""

LOOPBACK = frozenset({"127.0.0.1", "::1"})


@dataclass(frozen=True, slots=True)
class Who:
    """The person signed in, as pages need to know them."""

    code: str
    name: str
    is_owner: bool  # and may do what owners do here: not by a PIN
    is_by_pin: bool = False
    is_owner_by_password: bool = False  # an owner, whatever opened this session


STRANGER = Who("", "", is_owner=False)


def who(request: HttpRequest) -> Who:
    """Return the person signed in, or the stranger."""
    user = request.user
    if not user.is_authenticated:
        return STRANGER
    is_by_pin = bool(request.session.get(BY_PIN))
    return Who(user.code, str(user), user.is_owner and not is_by_pin, is_by_pin, user.is_owner)


def owner_only(
    view: Callable[Concatenate[HttpRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Let only an owner reach the view; a worker is told so."""

    @wraps(view)
    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        person = who(request)
        if person.is_by_pin and person.is_owner_by_password:
            raise PermissionDenied(
                _("A PIN opens no owner's pages. Sign in with your password for them.")
            )
        if not person.is_owner:
            raise PermissionDenied(_("Only an owner may do this. Ask the owner of the farm."))
        return view(request, *args, **kwargs)

    return guarded


def address_of(request: HttpRequest) -> str:
    """Return the address the request came from, as the server saw it; headers are not believed."""
    return str(request.META.get("REMOTE_ADDR", ""))


RELAYS = frozenset(
    {
        "HTTP_FORWARDED",
        "HTTP_VIA",
        "HTTP_X_REAL_IP",
        "HTTP_X_CLIENT_IP",
        "HTTP_TRUE_CLIENT_IP",
        "HTTP_CF_CONNECTING_IP",
        "HTTP_FLY_CLIENT_IP",
    }
)
"""Headers that a relay in front adds: with one of them the request came from elsewhere."""


def is_this_machine(request: HttpRequest) -> bool:
    """Say whether the request came from this very machine, and not through a relay."""
    relayed = any(name in RELAYS or name.startswith("HTTP_X_FORWARDED") for name in request.META)
    return address_of(request) in LOOPBACK and not relayed
