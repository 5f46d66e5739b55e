"""What a device needs to keep pages for the time without network; over https only.

An answer says whom it is for and how long it may be kept, and the device's keeper
(static/offline/worker.js) stores it under that name. Which pages may be kept is said here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import lru_cache
from http import HTTPStatus
from importlib import metadata
from pathlib import Path
from urllib.parse import quote

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponseBase
from django.templatetags.static import static

from pinset.web.who import who

Handler = Callable[[HttpRequest], HttpResponseBase]

FOR, KEEP, VERSION = "Pinset-For", "Pinset-Keep", "Pinset-Version"
AGAIN = "HTTP_PINSET_AGAIN"
"""The device's keeper asks for a page anew, unseen: what is told once stays for whoever looks."""

STRANGER = "-"
KEPT_S = 7 * 24 * 3600
"""So long a page of an earlier moment is shown [s]; older ones would mislead. Our choice."""
KEPT_BY_PIN_S = 12 * 3600
"""As long as a session lasts that a PIN opened [s]."""

KEPT_PAGES = frozenset(
    {
        *("today", "job", "more", "scan", "scan-lot", "scan-unit", "bench", "pick", "deliver"),
        *("look", "look-lot", "look-rooms", "look-room", "lots", "lot", "rooms"),
        *("cultures", "culture", "board", "board-day", "promises"),
    }
)
"""Pages of the working day. Settings, people, sign-ins, tokens, papers and prices are not kept."""

FOLDER = Path(__file__).parent / "static"
OTHERS = ("django_htmx/htmx-2.min.js",)
WORKER = "offline/worker.js"


def for_devices(get_response: Handler) -> Handler:
    """Say of every answer whom it is for, and of pages that may be kept how long."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        if not settings.HTTPS or not hasattr(request, "user"):
            return response
        person = who(request)
        response.headers[FOR] = quote(person.code, safe="") or STRANGER
        response.headers[VERSION] = version()
        match = request.resolver_match
        is_whole = request.method == "GET" and not request.headers.get("HX-Request")
        is_page = is_whole and response.status_code == HTTPStatus.OK
        if person.code and is_page and match and match.url_name in KEPT_PAGES:
            response.headers[KEEP] = str(KEPT_BY_PIN_S if person.is_by_pin else KEPT_S)
        return response

    return answer


def is_again(request: HttpRequest) -> bool:
    """Say whether nobody looks at the answer: the device asked by itself, to keep it."""
    return AGAIN in request.META


@lru_cache(maxsize=1)
def files() -> tuple[str, ...]:
    """Return the addresses of the files that kept pages are drawn with."""
    ours = (path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*") if path.is_file())
    return tuple(static(name) for name in sorted((*(n for n in ours if n != WORKER), *OTHERS)))


@lru_cache(maxsize=1)
def version() -> str:
    """Return what changes whenever a file or the program does; devices then keep all anew."""
    digest = hashlib.sha256(metadata.version("pinset").encode())
    for path in sorted(each for each in FOLDER.rglob("*") if each.is_file()):
        digest.update(path.read_bytes())
    for name in OTHERS:
        if found := finders.find(name):
            digest.update(Path(found).read_bytes())
    for path in sorted((Path(__file__).parent / "jinja2").rglob("*.html")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
