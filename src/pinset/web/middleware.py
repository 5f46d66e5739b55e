"""What every request passes: the content policy, the sign-in, one shape for refusals."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import Resolver404, resolve, reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _

from pinset.errors import InputError, RefusedError
from pinset.services.frame import frame
from pinset.web.errors import plain_error
from pinset.web.formats import shown_in
from pinset.web.policy import PERMISSIONS, POLICY
from pinset.web.who import OPEN_PAGES
from pinset.web.wording import said

Handler = Callable[[HttpRequest], HttpResponseBase]


def content_policy(get_response: Handler) -> Handler:
    """Put the content policy on every answer, files and errors among them."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        response.headers["Content-Security-Policy"] = POLICY
        response.headers["Permissions-Policy"] = PERMISSIONS
        return response

    return answer


def sign_in_first(get_response: Handler) -> Handler:
    """Show nothing of the farm to somebody who has not signed in."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated or _is_open(request):
            response = get_response(request)
            if "Cache-Control" not in response.headers:
                response.headers["Cache-Control"] = "no-store"
            return response
        target = f"{reverse('sign-in')}?{urlencode({'next': request.get_full_path()})}"
        if request.headers.get("HX-Request"):
            return HttpResponse(status=204, headers={"HX-Redirect": reverse("sign-in")})
        return redirect(target if request.method == "GET" else "sign-in")

    return answer


def _is_open(request: HttpRequest) -> bool:
    try:
        return resolve(request.path_info).url_name in OPEN_PAGES
    except Resolver404:
        return False


class Refusals:
    """Turns what services refuse into the same plain page, with a fitting status."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on, unless its address holds a sign that no text can hold."""
        if "\x00" in request.path or any("\x00" in value for value in request.GET.values()):
            return plain_error(request, 400, _("That address cannot be read."))
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse | None:
        """Answer 422 for a value that is not accepted, 409 for what the farm's rules refuse.

        Anything else is for :func:`pinset.web.errors.broken`.
        """
        if isinstance(problem, InputError):
            return plain_error(request, 422, said(problem))
        if isinstance(problem, RefusedError):
            return plain_error(request, 409, problem.sentence, problem.hint)
        return None


def farm_frame(get_response: Handler) -> Handler:
    """Give every page the farm's name, its clock and its units."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        farm = frame()
        request.farm_name = farm.name  # type: ignore[attr-defined]
        with timezone.override(farm.time_zone), shown_in(farm.units):
            return get_response(request)

    return answer
