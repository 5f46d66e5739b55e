"""What the pages about heat share: words, drawings, what a form says of how a log is read."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.services.cooks.ahead.words import (
    LEARNT,
    NEWER_END,
    QUICK_END,
    SAID,
    SAID_QUICK,
    SAID_SLOW,
    SLOW_END,
)
from pinset.services.cooks.heat_lines import HeatLines
from pinset.services.cooks.judge.standing import against_passing, earlier_in_words
from pinset.services.cooks.learn.learning import LEARNT_LINE
from pinset.web.heat_svg import Drawing, drawn

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

LINES = {
    "chamber": gettext_lazy("chamber"),
    LEARNT_LINE: gettext_lazy("core as it is reckoned now"),
    "steam": gettext_lazy("steam at the pressure read"),
    "cautious": gettext_lazy("core, cautious: conduction only"),
    "middle": gettext_lazy("core, middle: some help by vapour"),
    "quick": gettext_lazy("core, quick: much help by vapour"),
    LEARNT: gettext_lazy("core, by your log"),
    SLOW_END: gettext_lazy("core, by your log, slow end"),
    QUICK_END: gettext_lazy("core, by your log, quick end"),
    SAID: gettext_lazy("core, by the conductivity given"),
    SAID_SLOW: gettext_lazy("core, by the conductivity given, slow end"),
    SAID_QUICK: gettext_lazy("core, by the conductivity given, quick end"),
    NEWER_END: gettext_lazy("core, by the newer log, slow end"),
}
"""What the lines of a drawing are called, by name or role."""


def drawing_of(lines: HeatLines | None, words: str) -> Drawing | None:
    """Return a cook as it is drawn, or None if there is nothing to draw."""
    if lines is None or not lines.lines:
        return None
    return drawn(lines, {key: str(word) for key, word in LINES.items()}, words)


def changes_in(request: HttpRequest) -> dict[str, str]:
    """Return what was said by hand of how a file is to be read; empty answers are left out."""
    given = request.GET if request.method == "GET" else request.POST
    keys = [key for key in given if key.startswith("read.")][:MOST_CHANGES]
    said_so = {key.removeprefix("read."): given.get(key, "")[:LONGEST] for key in keys}
    return {key: value for key, value in said_so.items() if value}


@dataclass(frozen=True, slots=True)
class AsideTyped:
    """What was typed to set earlier verdicts aside, and why it is not taken."""

    reason: str
    ticked: tuple[str, ...]  # entries
    wrong: str


def aside_typed(request: HttpRequest) -> AsideTyped | None:
    """Return a reason that sets nothing aside, as nothing is ticked for it; None: all is well."""
    reason = request.POST.get("aside_reason", "").strip()
    if not reason or request.POST.getlist("aside"):
        return None
    return AsideTyped(
        reason, (), _("Nothing is ticked: tick what it is said of, or leave this empty.")
    )


@dataclass(frozen=True, slots=True)
class Against:
    """An earlier verdict that keeps a cook from passing, as a form names it."""

    entry: str  # client id
    words: str


def against_of(cook: str, replaced: Collection[str] = ()) -> tuple[Against, ...]:
    """Return the earlier verdicts that keep a cook from passing, the oldest first.

    Those by logs that are ``replaced`` (SHA-256) are left out.
    """
    return tuple(
        Against(each.entry, earlier_in_words([each]))
        for each in against_passing(cook)
        if each.details.get("log") not in replaced
    )
