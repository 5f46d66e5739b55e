"""Which devices are known: those on which somebody signed in with a password.

A device keeps a signed cookie that names the person who signed in last with a password and is tied
to that password: a new password of that person makes the device unknown again.
"""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponseBase
from django.utils.crypto import constant_time_compare, salted_hmac

from pinset.services.farms import people

COOKIE = "__Host-pinset-device" if settings.SESSION_COOKIE_SECURE else "pinset-device"
SALT = "pinset.device"
KNOWN_FOR = timedelta(days=180)


def make_known(response: HttpResponseBase, code: str) -> None:
    """Let this device be known from now on; after a sign-in with a password."""
    signer = signing.TimestampSigner(salt=SALT)
    response.set_cookie(
        COOKIE,
        signer.sign_object({"by": code, "tie": _tie(people.password_of(code))}),
        max_age=int(KNOWN_FOR.total_seconds()),
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Lax",
    )


def is_known(request: HttpRequest) -> bool:
    """Say whether somebody signed in with a password on this device before."""
    signer = signing.TimestampSigner(salt=SALT)
    try:
        said = signer.unsign_object(request.COOKIES.get(COOKIE, ""), max_age=KNOWN_FOR)
    except signing.BadSignature:
        return False
    password = people.password_of(str(said.get("by", "")))
    return bool(password) and constant_time_compare(str(said.get("tie", "")), _tie(password))


def _tie(password: str) -> str:
    return salted_hmac(SALT, password, algorithm="sha256").hexdigest()
