"""Heat, one cook: what was made of a cook that was too short is held back or kept."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from pinset.errors import InputError
from pinset.services.cooks.judge import deciding
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.views import heat_cook
from pinset.web.who import who

MOST_LOTS = 1000
LONGEST_LOT = 20


@require_POST
def decide(request: HttpRequest, code: str) -> HttpResponse:
    """Keep the decision on the lots that were ticked."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    lots = [each[:LONGEST_LOT] for each in request.POST.getlist("lot")[:MOST_LOTS]]
    verdict = fields.text(request, "verdict", longest=10)
    try:
        reason = fields.text(request, "reason", longest=200)
        done = deciding.decide(client_id, who(request).code, code, lots, verdict, reason)
    except InputError as problem:
        return heat_cook.refused(request, code, problem, "decide")
    messages.success(request, done.sentence)
    return redirect("heat-cook", code)
