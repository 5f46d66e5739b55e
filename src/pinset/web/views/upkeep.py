"""Books, Upkeep: what is due, one chore with its readings, what is proposed, and the register."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.chain.upkeep import Chore
from pinset.errors import InputError, RefusedError
from pinset.services.answers import taking_back
from pinset.services.answers.when_said import UnlikelyMomentError
from pinset.services.plans import planning_day
from pinset.services.upkeep import proposed as proposing
from pinset.services.upkeep import register
from pinset.services.upkeep.doing import ChoreTap, chore_of
from pinset.services.upkeep.doing import done as chore_done
from pinset.services.upkeep.instructions import instruction_view
from pinset.services.upkeep.later import put_off
from pinset.services.upkeep.page import chore_page, upkeep_view
from pinset.services.upkeep.readings import UnlikelyReadingError
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.forms import Field, marked
from pinset.web.render import page
from pinset.web.upkeep_form import chore_fields, read_chore
from pinset.web.upkeep_svg import drawing_of
from pinset.web.views.jobs import NOT_TODAY
from pinset.web.who import owner_only, who
from pinset.web.wording import said

LONGEST = 60
PUT_OFF_DAYS = (1, 3, 7, 14)


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show every chore by when it is due."""
    return page(request, "upkeep.html", {"view": upkeep_view()}, here="books")


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show one chore."""
    return _chore(request, code)


def _chore(
    request: HttpRequest, code: str, wrong: str = "", field: str = "", *, is_doubted: bool = False
) -> HttpResponse:
    try:
        view = chore_page(code[:LONGEST])
    except RefusedError as problem:
        raise Http404(str(problem)) from problem
    context = {
        "view": view,
        "drawing": drawing_of(view),
        "instruction": instruction_view(view.instructed, who(request).code),
        "typed": request.POST,
        "wrong": wrong,
        "wrong_field": field,
        "is_doubted": is_doubted,
        "put_off_days": PUT_OFF_DAYS,
        "not_today": NOT_TODAY,
    }
    return page(request, "chore.html", context, here="books", status=422 if wrong else 200)


@require_POST
def done(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that a chore was done."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    try:
        answer = chore_done(
            ChoreTap(
                chore=code[:LONGEST],
                person=who(request).code,
                client_id=client_id,
                at=fields.moment(request, "at"),
                reading=fields.text(request, "reading", longest=40),
                is_changed=request.POST.get("how") == "changed",
                is_amiss=request.POST.get("how") == "amiss",
                reference=fields.text(request, "reference", longest=200),
                note=fields.text(request, "note"),
                why=fields.text(request, "why", longest=200),
            )
        )
    except InputError as problem:
        return _chore(request, code, said(problem, _label(problem.field)), problem.field)
    except RefusedError as problem:
        doubted = isinstance(problem, (UnlikelyReadingError, UnlikelyMomentError))
        return _chore(request, code, said(problem), is_doubted=doubted)
    return _back(request, code, answer)


def _back(request: HttpRequest, code: str, answer: Done) -> HttpResponse:
    messages.success(request, answer.sentence)
    for finding in answer.findings:
        messages.warning(request, finding)
    return redirect("chore", code)


@require_POST
def not_today(request: HttpRequest, code: str) -> HttpResponse:
    """Put a chore off for some days, with a reason."""
    try:
        answer = _put_off(request, code)
    except InputError as problem:
        return _chore(request, code, said(problem, _label(problem.field)), problem.field)
    except RefusedError as problem:
        return _chore(request, code, said(problem))
    return _back(request, code, answer)


def _put_off(request: HttpRequest, code: str) -> Done:
    client_id = read_client_id(request.POST.get("client_id", ""))
    reason = fields.text(request, "reason", longest=200)
    reason = reason or fields.text(request, "other", longest=200)
    if not reason:
        raise InputError("reason", "", _("one of the reasons, or a few words of your own"))
    days = fields.whole(request, "days", least=1) or 1
    person = who(request).code
    return put_off(code[:LONGEST], reason, days=days, person=person, client_id=client_id)


@require_POST
def undo(request: HttpRequest, code: str, entry: str) -> HttpResponse:
    """Take back that a chore was done; what was written first stays readable."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    reason = _("tapped by mistake")
    try:
        answer = taking_back.undo(
            entry[:LONGEST], person=who(request).code, client_id=client_id, reason=reason
        )
    except RefusedError as problem:
        return _chore(request, code, said(problem))
    return _back(request, code, answer)


def _label(field: str) -> str:
    words = {
        "reading": _("Reading"),
        "amiss": _("How it is"),
        "reference": _("Compared with"),
        "chores": _("Chores"),
        "days": _("For how many days"),
        "text": _("Text"),
    }
    return str(words.get(field, ""))


@require_http_methods(["GET", "POST"])
@owner_only
def proposed(request: HttpRequest) -> HttpResponse:
    """Show the proposed chores, or take some over."""
    wrong = ""
    if request.method == "POST":
        try:
            taken = proposing.take_over(request.POST.getlist("chores"), who(request).code)
        except InputError as problem:
            wrong = said(problem, _label(problem.field))
            if not request.POST.getlist("chores"):
                wrong = _("Tick what you want to take over.")
        except RefusedError as problem:
            wrong = said(problem)
        else:
            words = _("Taken over: %(count)s. Change each as it is done here.")
            messages.success(request, words % {"count": len(taken)})
            return redirect("upkeep")
    context = {
        "proposals": proposing.proposals(),
        "ticked": request.POST.getlist("chores"),
        "wrong": wrong,
    }
    return page(
        request, "chores_proposed.html", context, here="books", status=422 if wrong else 200
    )


def _answer(request: HttpRequest, old: Chore | None) -> HttpResponse:
    """Show the form, or write down the chore that was typed."""
    book, _today = planning_day.farm_book()
    asked = chore_fields(book, old)
    if request.method != "POST":
        return _form(request, asked, old)
    try:
        chore = read_chore(request, book, old)
        register.save_chore(chore, who(request).code)
    except (InputError, RefusedError) as problem:
        asked, label = fields.kept(request, asked), ""
        if isinstance(problem, InputError):
            label = next((str(f.label) for f in asked if f.name == problem.field), "")
            asked = marked(asked, problem)
        return _form(request, asked, old, said(problem, label))
    messages.success(request, _("Saved."))
    return redirect("chore", chore.code)


def _form(
    request: HttpRequest, asked: tuple[Field, ...], old: Chore | None, wrong: str = ""
) -> HttpResponse:
    context = {
        "fields": asked,
        "heading": old.name if old else _("Add a chore"),
        "code": old.code if old else "",
        "wrong": wrong,
    }
    return page(request, "chore_form.html", context, here="books", status=422 if wrong else 200)


@require_http_methods(["GET", "POST"])
@owner_only
def new(request: HttpRequest) -> HttpResponse:
    """Add a chore."""
    return _answer(request, None)


def _find(code: str) -> Chore:
    book, _today = planning_day.farm_book()
    try:
        return chore_of(code[:LONGEST], book)
    except RefusedError as problem:
        raise Http404(str(problem)) from problem


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, code: str) -> HttpResponse:
    """Change a chore from today on."""
    return _answer(request, _find(code))


@require_POST
@owner_only
def end(request: HttpRequest, code: str) -> HttpResponse:
    """End a chore; what was done of it stays in the books."""
    register.end_chore(_find(code).code, who(request).code)
    messages.success(request, _("Ended. What was done of it stays in the books."))
    return redirect("upkeep")
