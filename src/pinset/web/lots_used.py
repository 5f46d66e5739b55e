"""Reading which lots were used for a job, as the page asked for them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from django.http import HttpRequest
from django.utils.translation import gettext as _

from pinset.errors import InputError
from pinset.services.answers.lots_named import named_lot
from pinset.web import fields

FIELD = "other-lots"
PAIR = re.compile(r"([0-9A-Za-z]{4,12})(?:\s*@\s*([0-9A-Za-z._-]{1,60}))?\s*[:=x×]?\s*(\d{1,6})?")


def lots_used(request: HttpRequest) -> tuple[tuple[str, int], ...]:
    """Return lots and units: fields ``lot-CODE``, and ``other-lots`` typed as ``4CWF9 3, 9H3RA 2``.

    There a shelf may stand behind the code: ``4CWF9@run-1 3``.

    Empty if nothing differs from the job as it was planned.

    Raises
    ------
    InputError
        If a part is no code with a number, or no lot of the farm has the code; the nearest codes
        are named.
    """
    chosen: dict[str, int] = {}
    for code, _shelf, units in _said(request):
        chosen[code] = chosen.get(code, 0) + units
    return tuple(chosen.items())


def shelves_used(request: HttpRequest) -> tuple[tuple[str, str, int], ...]:
    """Return what was taken from a shelf that was said: fields ``shelf-CODE``, and ``other-lots``.

    Raises
    ------
    InputError
        As :func:`lots_used`.
    """
    chosen: dict[tuple[str, str], int] = {}
    for code, shelf, units in _said(request):
        if shelf:
            chosen[code, shelf] = chosen.get((code, shelf), 0) + units
    return tuple((code, shelf, units) for (code, shelf), units in chosen.items())


def _said(request: HttpRequest) -> Iterator[tuple[str, str, int]]:
    """Yield each lot with the shelf that was said, empty if none was, and its units."""
    if request.POST.get("lots-shown"):
        for name in request.POST:
            if name.startswith("lot-"):
                units = fields.whole(request, name)
                if units:
                    code = name.removeprefix("lot-")
                    yield code, fields.text(request, f"shelf-{code}", longest=60), units
    for part in re.split(r"[,;\n]", fields.text(request, FIELD, longest=400)):
        if not part.strip():
            continue
        match = PAIR.fullmatch(part.strip())
        if not match or match[3] is None:
            raise InputError(FIELD, part.strip(), _("a lot code and a number, such as 4CWF9 3"))
        yield named_lot(match[1], FIELD), match[2] or "", int(match[3])
