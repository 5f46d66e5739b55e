"""Books, Upkeep, Instructions: how the farm wants its jobs done, and who has understood it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.upkeep import instructions
from pinset.services.upkeep.records import InstructionView
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

LONGEST_TEXT = 20_000
LONGEST = 60


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show every kind of job, those with an instruction first."""
    context = {"views": instructions.instructions_view(who(request).code)}
    return page(request, "instructions.html", context, here="books")


def _find(request: HttpRequest, code: str) -> InstructionView:
    try:
        return instructions.instruction_view(code[:LONGEST], who(request).code)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show one instruction and, to the owner, who has understood it."""
    view = _find(request, code)
    context = {"instruction": view, "cautions": instructions.cautions_of(view.code)}
    return page(request, "instruction.html", context, here="books")


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, code: str) -> HttpResponse:
    """Write the next version of an instruction; a new one begins with an empty template."""
    view = _find(request, code)
    text, wrong = view.text or instructions.template_of(view.code), ""
    if request.method == "POST":
        try:
            text = fields.text(request, "text", longest=LONGEST_TEXT)
            instructions.write_instruction(view.code, text, who(request).code)
        except (InputError, RefusedError) as problem:
            wrong = said(problem, _("Text") if isinstance(problem, InputError) else "")
        else:
            messages.success(request, _("Saved. Everybody is asked to read it."))
            return redirect("instruction", view.code)
    context = {
        "instruction": view,
        "text": text,
        "wrong": wrong,
        "cautions": instructions.cautions_of(view.code),
    }
    status = 422 if wrong else 200
    return page(request, "instruction_form.html", context, here="books", status=status)


@require_POST
@owner_only
def end(request: HttpRequest, code: str) -> HttpResponse:
    """End an instruction; who had read it stays in the books."""
    view = _find(request, code)
    try:
        instructions.end_instruction(view.code, who(request).code)
    except RefusedError as problem:
        messages.warning(request, str(problem))
    else:
        messages.success(request, _("Ended."))
    return redirect("instructions")


@require_POST
def understood(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that the person read the present version and understood it."""
    view = _find(request, code)
    client_id = read_client_id(request.POST.get("client_id", ""))
    try:
        version = fields.whole(request, "version", least=1) or 0
        answer = instructions.understood(view.code, version, who(request).code, client_id)
    except RefusedError as problem:
        messages.warning(request, str(problem))
    else:
        messages.success(request, answer.sentence)
    back = request.POST.get("back", "")
    if back.startswith("/") and url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        return redirect(back)
    return redirect("instruction", view.code)
