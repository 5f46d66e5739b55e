"""Reading which lots were used for a job, as the page asked for them."""

from __future__ import annotations

import re

from django.http import HttpRequest
from django.utils.translation import gettext as _

from pinset.errors import InputError
from pinset.services.answers.lots_named import named_lot
from pinset.web import fields

FIELD = "other-lots"
PAIR = re.compile(r"([0-9A-Za-z]{4,12})\s*[:=x×]?\s*(\d{1,6})?")


def lots_used(request: HttpRequest) -> tuple[tuple[str, int], ...]:
    """Return lots and units: fields ``lot-CODE``, and ``other-lots`` typed as ``4CWF9 3, 9H3RA 2``.

    Empty if nothing differs from the job as it was planned.

    Raises
    ------
    InputError
        If a part is no code with a number, or no lot of the farm has the code; the nearest codes
        are named.
    """
    chosen: dict[str, int] = {}
    if request.POST.get("lots-shown"):
        for name in request.POST:
            if name.startswith("lot-"):
                units = fields.whole(request, name)
                if units:
                    chosen[name.removeprefix("lot-")] = units
    for part in re.split(r"[,;\n]", fields.text(request, FIELD, longest=400)):
        if not part.strip():
            continue
        match = PAIR.fullmatch(part.strip())
        if not match or match[2] is None:
            raise InputError(FIELD, part.strip(), _("a lot code and a number, such as 4CWF9 3"))
        code = named_lot(match[1], FIELD)
        chosen[code] = chosen.get(code, 0) + int(match[2])
    return tuple(chosen.items())
