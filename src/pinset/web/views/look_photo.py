"""Photos of looks: given to whoever may see the farm, forgotten by an owner."""

from __future__ import annotations

import re

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError
from pinset.services.looking import photos
from pinset.web.who import owner_only

DIGEST = re.compile(r"[0-9a-f]{64}")


@require_GET
def show(request: HttpRequest, digest: str) -> HttpResponse:  # noqa: ARG001  (Django calls it so)
    """Give a photo."""
    picture = photos.photo(digest) if DIGEST.fullmatch(digest) else None
    if picture is None:
        raise Http404(_("There is no such photo, or it was forgotten."))
    return HttpResponse(
        picture,
        content_type="image/jpeg",
        headers={"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"},
    )


@require_POST
@owner_only
def forget(request: HttpRequest, digest: str) -> HttpResponse:
    """Forget a photo for good."""
    try:
        lot = photos.forget(digest)
    except InputError as problem:
        raise Http404(_("There is no such photo.")) from problem
    messages.success(request, _("The photo was forgotten; the look stays in the books."))
    return redirect("lot", lot) if lot else redirect("look")
