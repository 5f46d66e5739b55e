"""One plain page for everything that goes wrong, in the shape of all others."""

from __future__ import annotations

import logging
import sys

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from pinset.errors import PinsetError
from pinset.services.farms import trouble
from pinset.web.render import page

LATER = "Pinset-Later"
"""Says of a refusal that the same form may be taken when it is sent again."""

_LOG = logging.getLogger(__name__)


def plain_error(request: HttpRequest, status: int, sentence: str, hint: str = "") -> HttpResponse:
    """Answer with the sentence and what to do; a tap on a part of a page gets a note instead."""
    if request.headers.get("HX-Request"):
        response = page(
            request, "parts/refused.html", {"sentence": sentence, "hint": hint}, status=status
        )
        response.headers["HX-Retarget"] = "#said"
        response.headers["HX-Reswap"] = "innerHTML"
        return response
    return page(
        request,
        "error.html",
        {"title": _title(status), "sentence": sentence, "hint": hint, "status": status},
        status=status,
    )


def _title(status: int) -> str:
    return {
        400: _("This request was not understood"),
        403: _("Not allowed"),
        404: _("There is no such page"),
        409: _("Not now"),
        422: _("Please look at this once more"),
        429: _("Too many tries"),
        503: _("The farm cannot be reached or written just now"),
    }.get(status, _("Something broke on our side"))


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:  # noqa: ARG001  (Django calls it so)
    """Answer 400."""
    return plain_error(
        request,
        400,
        _("The address or the form was not in order."),
        _("Open the page again by its name in the menu."),
    )


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer 403."""
    said = str(exception) if exception and str(exception) else _("You may not do this.")
    return plain_error(request, 403, said)


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:  # noqa: ARG001  (Django calls it so)
    """Answer 403 to a form that this farm's pages did not write."""
    response = plain_error(
        request,
        403,
        _("This form is too old or did not come from this farm's pages. Nothing was written."),
        _("Open the page again and repeat it; cookies must be allowed."),
    )
    response.headers[LATER] = "yes"
    return response


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer 404."""
    said = str(exception.args[0]) if exception and exception.args else ""
    is_ours = bool(said) and isinstance(exception.args[0], str) if exception else False
    return plain_error(
        request,
        404,
        said if is_ours else _("Nothing stands at this address."),
        _("Look under Today, Promises or Books."),
    )


def broken(request: HttpRequest) -> HttpResponse:
    """Answer 503 when the disk or the database fails, 500 otherwise; the log says more."""
    problem = sys.exc_info()[1]
    status, sentence, hint = _of(problem)
    try:
        return plain_error(request, status, sentence, hint)
    except Exception as second:  # noqa: BLE001 - without a database there is not even a frame
        _LOG.error("The page of an error could not be drawn either.", exc_info=second)
        return HttpResponse(f"{sentence} {hint}\n", status=status, content_type="text/plain")


def _of(problem: BaseException | None) -> tuple[int, str, str]:
    if problem is not None and (said := trouble.plain(problem)):
        return 503, said, ""
    if isinstance(problem, PinsetError):
        return 500, str(problem), ""
    return (
        500,
        _("The page could not be made. What was written down before is safe."),
        _("Try again; if it stays so, run `pinset check` and look at the server's messages."),
    )
