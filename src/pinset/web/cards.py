"""Job cards, drawn once for each state of a job and kept: a pure function of the job's record."""

from __future__ import annotations

from functools import lru_cache

from django.template.loader import render_to_string
from django.utils.translation import get_language
from markupsafe import Markup

from pinset.services.views import JobView
from pinset.web.blanks import client_id
from pinset.web.formats import system

KEPT = 1024


@lru_cache(maxsize=KEPT)
def _drawn(
    job: JobView, token: Markup, said_above: tuple[str, ...], _language: str, _units: str
) -> Markup:
    context = {"job": job, "said_above": said_above, "token": token, "client_id": client_id()}
    text = render_to_string("parts/job.html", context)
    return Markup(text)  # noqa: S704  (drawn by the template, which escapes)


def card(job: JobView, token: Markup, said_above: tuple[str, ...] = ()) -> Markup:
    """Return a job's card, its blanks still open.

    ``said_above`` are cautions that stand above several cards and are not repeated in each.
    """
    return _drawn(job, token, said_above, get_language() or "en", system())
