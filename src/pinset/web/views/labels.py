"""Labels: which lots, on which paper, from which free place; and the paper itself."""

from __future__ import annotations

import re
from urllib.parse import quote, urlencode

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError
from pinset.services.labels.page import LabelChoice, LabelsView, labels_view, lots_to_label
from pinset.services.labels.printing import label_job, note_printed, on_paper
from pinset.web.client_ids import new_client_id, read_client_id
from pinset.web.render import page
from pinset.web.who import who

MOST_LOTS = 100
LONGEST = 60
WHOLE = re.compile(r"\d{1,6}")


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the labels of the lots in the address, or, without any, the lots of late to choose."""
    choice = _choice(request.GET)
    if not choice.lots:
        context = {"days": lots_to_label()}
        return page(request, "labels_choose.html", context, here="books")
    view = labels_view(choice, who(request).code)
    template = "parts/label_sheet.html" if request.headers.get("HX-Request") else "labels.html"
    return page(request, template, {"view": view, "client_id": new_client_id()}, here="books")


@require_POST
def lay(request: HttpRequest) -> HttpResponse:
    """Note what is printed and lead to the paper."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    view = labels_view(_choice(request.POST), who(request).code)
    if not view.job.wanted:
        raise InputError("labels", 0, _("at least one label"), _("Set how many are wanted."))
    note_printed(view.job, client_id, who(request).code)
    return redirect(f"{reverse('labels-paper')}?{_address(view)}")


def _address(view: LabelsView) -> str:
    job = view.job
    asked = [("layout", job.layout.code), ("skip", str(job.skip))]
    asked += [("numbers", "no")] if not job.is_numbered else []
    asked += [("trial", "yes")] if job.is_trial else []
    return urlencode([*asked, *(("lot", str(each)) for each in job.wanted)])


@require_GET
def paper(request: HttpRequest) -> HttpResponse:
    """Give labels as PDF; the same address gives them again, to be printed once more."""
    lots = _lots(request.GET)
    job = label_job(
        lots,
        request.GET.get("layout", "")[:LONGEST],
        _whole(request.GET, "skip") or 0,
        is_numbered=request.GET.get("numbers") != "no",
        is_trial=request.GET.get("trial") == "yes",
    )
    printed = on_paper(job)
    answer = HttpResponse(printed.data, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f"inline; filename*=UTF-8''{quote(printed.name)}"
    return answer


def _choice(asked: QueryDict) -> LabelChoice:
    lots = _lots(asked)
    known = {lot: lot.upper() for lot in lots}
    return LabelChoice(
        lots=lots,
        counts=_numbers(asked, "count", known),
        firsts=_numbers(asked, "first", known),
        layout=asked.get("layout", "")[:LONGEST],
        shown_layout=asked.get("shown-layout", "")[:LONGEST],
        skip=_whole(asked, "skip"),
        is_numbered=asked.get("numbers") == "yes" or "shown-layout" not in asked,
        is_trial=asked.get("trial") == "yes",
    )


def _lots(asked: QueryDict) -> tuple[str, ...]:
    """Return the lots asked for: each on its own, or several typed into one field."""
    typed = [each for text in asked.getlist("lot") for each in re.split(r"[\s,;]+", text) if each]
    if len(typed) > MOST_LOTS:
        raise InputError("lot", len(typed), _("at most %(count)s lots") % {"count": MOST_LOTS})
    return tuple(dict.fromkeys(each[:LONGEST] for each in typed))


def _numbers(asked: QueryDict, what: str, lots: dict[str, str]) -> dict[str, int]:
    found = {}
    for lot, code in lots.items():
        number = _whole(asked, f"{what}-{lot}")
        if number is not None:
            found[code] = number
    return found


def _whole(asked: QueryDict, name: str) -> int | None:
    given = asked.get(name, "").strip()
    if not given:
        return None
    if not WHOLE.fullmatch(given) or not given.isascii():
        raise InputError(name.partition("-")[0], given[:LONGEST], _("a whole number"))
    return int(given)
