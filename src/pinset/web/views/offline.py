"""What a browser asks for to keep pages and to stand on the home screen: over https only."""

from __future__ import annotations

import json

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from pinset.web import offline
from pinset.web.render import page

COLOUR = "#0b5d54"
ICONS = (("192", "any"), ("512", "any"), ("512", "maskable"))


@require_GET
def worker(_request: HttpRequest) -> HttpResponse:
    """Give the script that keeps pages on the device."""
    _over_https_only()
    script = (offline.FOLDER / offline.WORKER).read_text(encoding="utf-8")
    told = {
        "version": offline.version(),
        "files": offline.files(),
        "fallback": reverse("offline"),
        "signOut": reverse("sign-out"),
        "ask": reverse("waiting"),
    }
    return HttpResponse(
        f'"use strict";\nconst TOLD = {json.dumps(told)};\n{script}',
        content_type="text/javascript; charset=utf-8",
        headers={"Cache-Control": "no-cache"},
    )


@require_GET
def manifest(_request: HttpRequest) -> HttpResponse:
    """Say how pinset stands on a home screen."""
    _over_https_only()
    icons = [
        {
            "src": static(f"icons/{'maskable' if purpose == 'maskable' else 'pinset'}-{size}.png"),
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size, purpose in ICONS
    ]
    told = {
        "id": "/",
        "name": "pinset",
        "short_name": "pinset",
        "start_url": reverse("today"),
        "scope": "/",
        "display": "standalone",
        "background_color": COLOUR,
        "theme_color": COLOUR,
        "icons": icons,
    }
    return HttpResponse(
        json.dumps(told),
        content_type="application/manifest+json",
        headers={"Cache-Control": "no-cache"},
    )


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show what stands where a page is not kept; the device fills in which are."""
    _over_https_only()
    return page(request, "offline.html")


def _over_https_only() -> None:
    if not settings.HTTPS:
        raise Http404(_("Pages are kept on a device over https only."))
