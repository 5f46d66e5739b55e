"""What forms say of vessels of cooks that did not pass, in fields of their own."""

from __future__ import annotations

from django.http import HttpRequest

from pinset.errors import PinsetError
from pinset.services.loads.despite import CookDoubtedError, Despite, read_despite
from pinset.web import fields

NAME, REASON = "despite", "despite_reason"
MOST_COOKS = 20
LONGEST = 200


def despite_of(request: HttpRequest) -> tuple[Despite, ...]:
    """Return why vessels of the cooks that the page named are used all the same.

    Raises
    ------
    InputError
        If cooks are named and no reason is given.
    """
    return read_despite(keys_sent(request), fields.text(request, REASON, longest=LONGEST))


def keys_sent(request: HttpRequest) -> tuple[str, ...]:
    """Return the cooks that a form named, each with how it stood."""
    return tuple(request.POST.getlist(NAME)[:MOST_COOKS])


def keys_asked(request: HttpRequest, problem: PinsetError) -> tuple[str, ...]:
    """Return the cooks to ask about: those a refusal names, else those that were answered."""
    return problem.keys if isinstance(problem, CookDoubtedError) else keys_sent(request)
