"""Reading how many of each mix went into a load, as the page of a job asked for them."""

from __future__ import annotations

from django.http import HttpRequest

from pinset.web import fields

FIELD = "mix-"
"""A field of this beginning is the number of the mix its name goes on with."""


def mixes_loaded(request: HttpRequest) -> tuple[tuple[str, int], ...]:
    """Return the mixes with their units; none if the load holds one only.

    Raises
    ------
    InputError
        If something is typed that is no whole number.
    """
    found = []
    for name in request.POST:
        if name.startswith(FIELD):
            units = fields.whole(request, name)
            if units is not None:
                found.append((name.removeprefix(FIELD), units))
    return tuple(found)
