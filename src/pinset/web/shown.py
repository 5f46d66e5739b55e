"""What speaks against the work, as a form carries it from its refusal to its next sending."""

from __future__ import annotations

from django.http import HttpRequest

from pinset.errors import PinsetError, RefusedError

NAME = "shown"
LONGEST = 4000


def shown_before(request: HttpRequest) -> str:
    """Return the doubts that the form had shown when it was sent."""
    return request.POST.get(NAME, "")[-LONGEST:]


def shown_now(request: HttpRequest, problem: PinsetError) -> str:
    """Return the doubts that the form shows now: those from before, with what was just refused."""
    before = request.POST.get(NAME, "")
    if not isinstance(problem, RefusedError):
        return before[-LONGEST:]
    sentence = " ".join(str(problem).split())
    return f"{before} {sentence}".strip()[-LONGEST:]
