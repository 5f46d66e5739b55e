"""Settings: what the farm says of itself, record by record."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.books import settings_page
from pinset.services.books.record_forms import RecordForm
from pinset.services.books.settings_page import RecordPage
from pinset.services.cooks.taken_over import presets_to_take, with_preset
from pinset.services.own_figures.figures import grown_varieties
from pinset.web.record_values import label_at, path_of, typed_values, with_typed
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

SAYS = {
    "farm": gettext_lazy("name, place, altitude, units, working days"),
    "room": gettext_lazy("their shelves and temperatures"),
    "steriliser": gettext_lazy("what fits, how long, the maker's plate"),
    "bench": gettext_lazy("minutes a day"),
    "instrument": gettext_lazy("their error, and when they were compared"),
    "worker": gettext_lazy("hours on each weekday"),
    "vessel": gettext_lazy("size, and how many are in circulation"),
    "variety": gettext_lazy("what is sold, and by which route it is made"),
    "route": gettext_lazy("steps from culture to picked weight, with days and losses"),
    "culture": gettext_lazy("isolates kept alive"),
    "buyer": gettext_lazy("who buys"),
    "outage": gettext_lazy("sterilisers down, people away, benches and rooms being cleaned"),
    "label": gettext_lazy("sheets and rolls of your own, beside the common sizes"),
}
ADD = {
    "room": gettext_lazy("Add a room"),
    "steriliser": gettext_lazy("Add a steriliser"),
    "bench": gettext_lazy("Add a bench"),
    "instrument": gettext_lazy("Add a probe or a gauge"),
    "worker": gettext_lazy("Add a person"),
    "vessel": gettext_lazy("Add a kind of vessel"),
    "variety": gettext_lazy("Add a variety"),
    "route": gettext_lazy("Add a route"),
    "culture": gettext_lazy("Add a culture"),
    "buyer": gettext_lazy("Add a buyer"),
    "outage": gettext_lazy("Put something out of use"),
    "label": gettext_lazy("Add label paper"),
}
"""Kinds that are seen and changed here; promises, outlets and pins have their own pages."""


@require_GET
@owner_only
def index(request: HttpRequest) -> HttpResponse:
    """Show the kinds of records."""
    lines = [
        (
            reverse("record", args=["farm", "farm"])
            if line.kind == "farm"
            else reverse("records", args=[line.kind]),
            line.title,
            SAYS[line.kind],
            None if line.kind == "farm" else line.count,
        )
        for line in settings_page.kinds()
        if line.kind in SAYS
    ]
    context = {"lines": lines, "remarks": settings_page.remarks()}
    return page(request, "settings.html", context, here="settings")


def _known(kind: str) -> str:
    if kind not in SAYS:
        raise Http404(_("There is nothing of this name in the settings."))
    return kind


@require_GET
@owner_only
def show(request: HttpRequest, kind: str) -> HttpResponse:
    """Show the records of one kind."""
    if _known(kind) == "farm":
        return redirect("record", "farm", "farm")
    title, lines = settings_page.records(kind)
    context = {"kind": kind, "heading": title, "records": lines, "add": ADD[kind]}
    return page(request, "records.html", context, here="settings")


def _form(
    request: HttpRequest, shown: RecordPage, *, wrong: PinsetError | None = None
) -> HttpResponse:
    form = with_typed(shown.form, request.POST, wrong) if wrong else _taken(request, shown)
    is_farm = shown.kind == "farm"
    path = path_of(wrong.field, shown.kind) if isinstance(wrong, InputError) else ""
    context = {
        "heading": shown.name or ADD[shown.kind],
        "kind": shown.kind,
        "code": shown.code,
        "form": form,
        "versions": shown.versions,
        "can_retire": shown.can_retire,
        "wrong": said(wrong, label_at(shown.form, path)) if wrong else "",
        "wrong_path": path,
        "records_of": shown.code if _is_grown(shown) else "",
        "presets": presets_to_take() if shown.kind == "steriliser" else (),
        "back": reverse("settings") if is_farm else reverse("records", args=[shown.kind]),
        "back_word": _("Settings") if is_farm else shown.title,
    }
    return page(request, "record.html", context, here="settings", status=422 if wrong else 200)


def _is_grown(shown: RecordPage) -> bool:
    """Say whether it is the route of a variety, of which there may be own figures."""
    return shown.kind == "route" and any(its == shown.code for *_, its in grown_varieties())


def _taken(request: HttpRequest, shown: RecordPage) -> RecordForm:
    """Return the form of a record, of a steriliser with the cook that is taken over."""
    preset = request.GET.get("preset", "")
    if shown.kind != "steriliser" or not preset:
        return shown.form
    try:
        return with_preset(shown.form, preset)
    except InputError as problem:
        raise Http404(str(problem)) from problem


def _save(request: HttpRequest, shown: RecordPage) -> HttpResponse:
    known = settings_page.remarks()
    try:
        settings_page.save_record(
            shown.kind, shown.code, typed_values(shown.form, request.POST), who(request).code
        )
    except (InputError, RefusedError) as problem:
        return _form(request, shown, wrong=problem)
    messages.success(request, _("Saved; it holds from today."))
    for remark in settings_page.remarks():
        if remark not in known:
            messages.warning(request, remark)
    if shown.kind == "farm":
        return redirect("settings")
    return redirect("buyers") if shown.kind == "buyer" else redirect("records", shown.kind)


@require_http_methods(["GET", "POST"])
@owner_only
def new(request: HttpRequest, kind: str) -> HttpResponse:
    """Add a record."""
    if _known(kind) not in ADD:
        raise Http404(_("There is one farm only."))
    shown = settings_page.record_form(kind)
    return _save(request, shown) if request.method == "POST" else _form(request, shown)


def _find(kind: str, code: str) -> RecordPage:
    try:
        return settings_page.record_form(_known(kind), code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    """Change a record from today on."""
    shown = _find(kind, code)
    return _save(request, shown) if request.method == "POST" else _form(request, shown)


@require_POST
@owner_only
def retire(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    """End a record from today on; it stays in the books of the past."""
    _find(kind, code)
    settings_page.retire_record(kind, code, who(request).code)
    messages.success(request, _("Ended from today on."))
    return redirect("records", kind)
