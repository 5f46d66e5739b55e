"""Job cards, drawn once for each state of a job and kept.

A card is a pure function of the job's record, language and units; only the ids in its forms differ
from page to page. They are put in last, so that a day of thirty jobs costs thirty look-ups.
"""

from __future__ import annotations

import secrets
from functools import lru_cache

from django.template.loader import render_to_string
from django.utils.translation import get_language
from markupsafe import Markup

from pinset.services.views import JobView
from pinset.web.client_ids import new_client_id
from pinset.web.formats import system

_TOKEN = f"token-{secrets.token_hex(16)}"
_CLIENT_ID = f"client-{secrets.token_hex(16)}"
KEPT = 1024


@lru_cache(maxsize=KEPT)
def _drawn(job: JobView, said_above: tuple[str, ...], _language: str, _units: str) -> str:
    context = {
        "job": job,
        "said_above": said_above,
        "token": Markup(_TOKEN),  # noqa: S704  (hexadecimal signs)
        "client_id": _CLIENT_ID,
    }
    return render_to_string("parts/job.html", context)


def card(job: JobView, token: Markup, said_above: tuple[str, ...] = ()) -> Markup:
    """Return a job's card with this page's token and a client id of its own.

    ``said_above`` are cautions that stand above several cards and are not repeated in each.
    """
    drawn = _drawn(job, said_above, get_language() or "en", system())
    filled = drawn.replace(_TOKEN, str(token)).replace(_CLIENT_ID, new_client_id())
    return Markup(filled)  # noqa: S704  (drawn by the template, which escapes)
