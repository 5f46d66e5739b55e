"""What can be said of a lot without a job: lost, taken out, moved, counted, held, noted."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from pinset.errors import InputError
from pinset.services.answers import lot_actions
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.lot_counts import Counted, UnlikelyError
from pinset.services.answers.when_said import UnlikelyMomentError
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.views.lots import Doubt, lot_page
from pinset.web.who import who

MOST_PLACES = 100
NOT_SENT_AGAIN = frozenset({"csrfmiddlewaretoken", "why"})


def _count(request: HttpRequest) -> int:
    count = fields.whole(request, "count")
    if count is None:
        raise InputError("count", "", _("a whole number of units"))
    return count


def _counted(request: HttpRequest) -> Counted:
    """Return how many were counted: by place, if the form asked for each."""
    found: dict[str, int] = {}
    for number in range(MOST_PLACES):
        if f"place-{number}" not in request.POST:
            break
        units = fields.whole(request, f"count-{number}")
        if units is None:
            raise InputError("count", "", _("a whole number of units at each place"))
        found[fields.text(request, f"place-{number}", longest=60)] = units
    return found or _count(request)


def _reason(request: HttpRequest) -> str:
    return fields.text(request, "reason", longest=200)


def _day(request: HttpRequest, name: str) -> date:
    day = fields.day(request, name)
    if day is None:
        raise InputError(name, "", _("a date"))
    return day


ACTIONS: dict[str, Callable[[HttpRequest, Saying], Done]] = {
    "lose": lambda request, saying: lot_actions.lose(saying, _count(request), _reason(request)),
    "cull": lambda request, saying: lot_actions.cull(saying, _count(request), _reason(request)),
    "move": lambda request, saying: lot_actions.move(
        saying, _count(request), fields.text(request, "place", longest=60)
    ),
    "recount": lambda request, saying: lot_actions.recount(
        saying, _counted(request), _reason(request)
    ),
    "hold": lambda request, saying: lot_actions.hold(saying, _reason(request)),
    "release": lambda _request, saying: lot_actions.release(saying),
    "ready": lambda request, saying: lot_actions.expect_ready(saying, _day(request, "ready_on")),
    "use-first": lambda request, saying: lot_actions.use_first(saying, _day(request, "use_by")),
    "watch": lambda request, saying: lot_actions.watch(saying, _day(request, "look_on")),
    "note": lambda _request, saying: lot_actions.remark(saying),
}
"""What may be said, by the word in the address."""


@require_POST
def say(request: HttpRequest, code: str, what: str) -> HttpResponse:
    """Write one entry about a lot; what does not fit the books is asked about on its page."""
    if what not in ACTIONS:
        raise Http404(_("This cannot be said of a lot."))
    saying = Saying(
        lot=code,
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
        why=fields.text(request, "why", longest=200),
        shelf=fields.text(request, "shelf", longest=60),
    )
    if what == "note" and not saying.note:
        raise InputError("note", "", _("a few words"))
    try:
        done = ACTIONS[what](request, saying)
    except (UnlikelyError, UnlikelyMomentError) as problem:
        sent = tuple(
            (name, str(value)) for name, value in request.POST.items() if name not in NOT_SENT_AGAIN
        )
        return lot_page(request, code, Doubt(what, problem.sentence, problem.hint, sent))
    messages.success(request, done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)
    return redirect("lot", code)
