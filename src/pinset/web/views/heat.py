"""Heat: the cooks and how they stand, and the way to what is done before and after one."""

from __future__ import annotations

import re
from datetime import timedelta

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET

from pinset.services.clock import now_utc
from pinset.services.cooks.ahead.newer_logs import Unlike, cooks_of, set_aside, unlike_since
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.learn.learnt import learnt_loads
from pinset.services.cooks.setting import complaints
from pinset.web.render import page
from pinset.web.views.heat_words import VERDICTS

DAYS = 730
RECENT_DAYS = 14
MOST_UNLIKE = 3  # cooks with newer logs that are named beside what was learnt
PAGE_NUMBER = re.compile(r"[1-9][0-9]{0,4}")


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the cooks, the newest first."""
    wanted = request.GET.get("page", "1")
    if not PAGE_NUMBER.fullmatch(wanted):
        raise Http404(_("There is no such page."))
    now = now_utc()
    found = cook_verdicts.cooks(now - timedelta(days=DAYS), int(wanted))
    open_ = [
        cook
        for cook in found.cooks
        if cook.verdict == "unjudged" and cook.at > now - timedelta(days=RECENT_DAYS)
    ]
    short = [
        cook
        for cook in found.cooks
        if cook.verdict == "fail" and cook.at > now - timedelta(days=RECENT_DAYS)
    ]
    learnt = learnt_loads()
    context = {
        "cooks": found,
        "complaints": complaints(),
        "learnt": learnt,
        "unlike": {each.entry: _newest(cooks_of(unlike_since(each))) for each in learnt},
        "set_aside": set_aside(),
        "days": DAYS,
        "verdicts": VERDICTS,
        "sentence": _sentence(len(open_), len(short)),
    }
    return page(request, "heat.html", context, here="heat")


def _newest(unlike: dict[str, tuple[Unlike, ...]]) -> list[tuple[str, tuple[Unlike, ...]]]:
    return list(unlike.items())[:MOST_UNLIKE]


def _sentence(unjudged: int, short: int) -> str:
    said = []
    if short:
        said.append(
            ngettext(
                "%(n)s cook of the last two weeks was too short.",
                "%(n)s cooks of the last two weeks were too short.",
                short,
            )
            % {"n": short}
        )
    if unjudged:
        said.append(
            ngettext(
                "%(n)s cook of the last two weeks is not judged yet.",
                "%(n)s cooks of the last two weeks are not judged yet.",
                unjudged,
            )
            % {"n": unjudged}
        )
    return " ".join(said) or _("Nothing of the last two weeks waits to be judged.")
