"""What answers on plain http beside https: the authority for a new device, and the way to https.

It knows no farm, no sign-in and no cookie; it reads the authority's certificate and nothing else.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from http import HTTPStatus
from pathlib import Path
from urllib.parse import quote

import django
from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import get_template
from django.utils.translation import gettext as _

from pinset.errors import RefusedError
from pinset.services.https import explained, own_certificate
from pinset.web.policy import PERMISSIONS, POLICY

Environ = dict[str, object]
Start = Callable[[str, list[tuple[str, str]]], object]

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pinset.settings")
django.setup()

PAGE, FILE, STYLE = "/certificate/", "/certificate/authority.crt", "/static/pinset.css"
HEADERS = (
    ("Content-Security-Policy", POLICY),
    ("Permissions-Policy", PERMISSIONS),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "same-origin"),
    ("X-Frame-Options", "DENY"),
    ("Cache-Control", "no-store"),
)


def application(environ: Environ, start: Start) -> Iterable[bytes]:
    """Answer a request that came over plain http."""
    path = str(environ.get("PATH_INFO", "/"))
    if environ.get("REQUEST_METHOD") not in {"GET", "HEAD"}:
        said = _("This farm is reached over https. Nothing of this was written down.")
        return _answer(start, HTTPStatus.FORBIDDEN, "text/plain; charset=utf-8", said.encode())
    try:
        if path == PAGE:
            return _answer(start, HTTPStatus.OK, "text/html; charset=utf-8", _page().encode())
        if path == FILE:
            data = own_certificate.authority_data(settings.FARM_FOLDER)
            named = ("Content-Disposition", 'attachment; filename="pinset-authority.crt"')
            return _answer(start, HTTPStatus.OK, own_certificate.MEDIA_TYPE, data, named)
    except RefusedError as problem:
        plain = "text/plain; charset=utf-8"
        return _answer(start, HTTPStatus.NOT_FOUND, plain, str(problem).encode())
    if path == STYLE and (found := finders.find("pinset.css")):
        return _answer(start, HTTPStatus.OK, "text/css", Path(found).read_bytes())
    return _answer(
        start, HTTPStatus.TEMPORARY_REDIRECT, "text/plain", b"", ("Location", _over_https(environ))
    )


def _over_https(environ: Environ) -> str:
    """Return the same address over https; under the farm's own names only."""
    asked, _colon, _port = str(environ.get("HTTP_HOST", "")).rpartition(":")
    names = settings.HOST_NAMES
    host = asked if asked in names else names[0] if names else "127.0.0.1"
    path = quote(str(environ.get("PATH_INFO", "/")), safe="/-._~!$&'()*+,;=:@", encoding="latin-1")
    query = str(environ.get("QUERY_STRING", ""))
    port = os.environ.get("PINSET_HTTPS_PORT", "443")
    return f"https://{host}:{port}{path}{'?' + query if query else ''}"


def _page() -> str:
    found = own_certificate.standing(settings.FARM_FOLDER)
    if found is None:
        raise RefusedError(_("The farm has no certificate of its own any more."))
    port = os.environ.get("PINSET_HTTPS_PORT", "443")
    context = {
        "own": found,
        "explained": explained,
        "language": "en",
        "file": FILE,
        "style": STYLE,
        "farm": f"https://{found.host}:{port}/",
    }
    return get_template("plain_door.html").render(context)


def _answer(
    start: Start, status: HTTPStatus, kind: str, body: bytes, *more: tuple[str, str]
) -> Iterable[bytes]:
    headers = [("Content-Type", kind), ("Content-Length", str(len(body))), *HEADERS, *more]
    start(f"{status.value} {status.phrase}", headers)
    return [body]
