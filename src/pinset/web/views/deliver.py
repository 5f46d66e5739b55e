"""Deliver: a weight of a variety handed to a buyer, beside the jobs of the day."""

from __future__ import annotations

from dataclasses import dataclass, replace
from dataclasses import fields as dataclass_fields

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from pinset.chain.register import OutletKind
from pinset.errors import InputError, RefusedError
from pinset.services import cautions
from pinset.services.answers import off_plan, to_outlet
from pinset.services.answers.dried_sold import sell_dried
from pinset.services.outlets import today as outlets_today
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.client_ids import new_client_id, read_client_id
from pinset.web.render import page
from pinset.web.shown import shown_before, shown_now
from pinset.web.views.today import jobs_of_kind
from pinset.web.who import who
from pinset.web.wording import said

CAUTIONS = ("food", "lifting")
OUTLET, DRIED = "outlet", "dried"
"""Before the code of an outlet in the list of who gets something; no code holds a colon."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed, to be shown again when something is wrong."""

    buyer: str = ""
    variety: str = ""
    weight: str = ""
    at: str = ""
    note: str = ""
    reason: str = ""
    shown: str = ""  # what was shown to speak against it


def _record(request: HttpRequest, client_id: str) -> Done:
    grams = fields.weight(request, "weight")
    if grams is None:
        raise InputError("weight", "", fields.from_the_scale())
    whom = fields.text(request, "buyer", longest=60)
    begin, _, code = whom.rpartition(":")
    hand_over = {OUTLET: to_outlet.hand_over, DRIED: sell_dried}.get(begin, off_plan.deliver)
    return hand_over(
        code,
        fields.text(request, "variety", longest=60),
        grams,
        person=who(request).code,
        client_id=client_id,
        at=fields.moment(request, "at"),
        note=fields.text(request, "note"),
        reason=fields.text(request, "reason", longest=200),
        shown=shown_before(request),
    )


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Ask to whom, what and how much, and write it down."""
    typed, wrong, client_id = Typed(), "", new_client_id()
    if request.method == "POST":
        client_id = read_client_id(request.POST.get("client_id", ""))
        try:
            done = _record(request, client_id)
        except (InputError, RefusedError) as problem:
            wrong = said(problem)
            given = (request.POST.get(each.name, "") for each in dataclass_fields(Typed))
            typed = replace(Typed(*given), shown=shown_now(request, problem))
        else:
            messages.success(request, done.sentence)
            for finding in done.findings:
                messages.warning(request, finding)
            return redirect("deliver")
    book, _today = planning_day.farm_book()
    context = {
        "jobs": jobs_of_kind(who(request).code, "deliver"),
        "store": off_plan.store(),
        "buyers": book.buyers,
        "outlets": book.outlets,
        "driers": [o for o in book.outlets if o.kind is OutletKind.DRYING and o.fresh_per_dry],
        "for_outlets": outlets_today.planned_today(),
        "varieties": book.varieties,
        "cautions": cautions.sentences(CAUTIONS),
        "typed": typed,
        "wrong": wrong,
        "client_id": client_id,
    }
    return page(request, "deliver.html", context, here="deliver", status=422 if wrong else 200)
