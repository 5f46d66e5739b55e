"""The farm's certificate authority, to be installed on a device, with what that means."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from pinset.errors import RefusedError
from pinset.services.https import explained, own_certificate
from pinset.web.render import page


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show what it is and how to install it."""
    wrong = ""
    try:
        own = own_certificate.standing(settings.FARM_FOLDER)
    except RefusedError as problem:
        own, wrong = None, str(problem)
    context = {
        "own": own,
        "wrong": wrong,
        "due": own_certificate.due_words(settings.FARM_FOLDER) if own else "",
        "explained": explained,
        "file": reverse("authority"),
        "is_https": settings.HTTPS,
    }
    return page(request, "certificate.html", context, here="settings")


@require_GET
def authority(_request: HttpRequest) -> HttpResponse:
    """Give the authority's certificate as a file."""
    try:
        data = own_certificate.authority_data(settings.FARM_FOLDER)
    except RefusedError:
        raise Http404(_("This farm has no certificate of its own.")) from None
    named = 'attachment; filename="pinset-authority.crt"'
    return HttpResponse(
        data, content_type=own_certificate.MEDIA_TYPE, headers={"Content-Disposition": named}
    )
