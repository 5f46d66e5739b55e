"""Words of the pages about judging, and what a form says of how a log is to be read."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext_lazy

LONGEST = 80
MOST_CHANGES = 500
VERDICTS = {
    "pass": {"word": gettext_lazy("long enough"), "tone": "okay"},
    "fail": {"word": gettext_lazy("too short"), "tone": "bad"},
    "unjudged": {"word": gettext_lazy("not judged"), "tone": "mid"},
}
ROLES = {
    "core": gettext_lazy("in a unit"),
    "chamber": gettext_lazy("chamber"),
    "other": gettext_lazy("elsewhere"),
}


def changes_in(request: HttpRequest) -> dict[str, str]:
    """Return what was said by hand of how a file is to be read; empty answers are left out."""
    given = request.GET if request.method == "GET" else request.POST
    keys = [key for key in given if key.startswith("read.")][:MOST_CHANGES]
    said_so = {key.removeprefix("read."): given.get(key, "")[:LONGEST] for key in keys}
    return {key: value for key, value in said_so.items() if value}
