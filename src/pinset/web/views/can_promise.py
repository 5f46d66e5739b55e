"""Can I promise it? The question is worked on outside the pages; this asks, waits and shows."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, RefusedError
from pinset.services.asking import can_promise, questions
from pinset.services.asking.questions import Asked
from pinset.services.asking.view import PromiseAnswer, Verdict
from pinset.services.plans import planning_day
from pinset.web import fields
from pinset.web.ask_form import ask_fields, question_named, typed
from pinset.web.forms import Field, marked
from pinset.web.render import page
from pinset.web.who import who
from pinset.web.wording import said

ENDANGERED_SHOWN = 12
VERDICTS = {
    Verdict.YES: {"word": gettext_lazy("yes"), "state": "on course", "tone": "okay"},
    Verdict.LATER: {"word": gettext_lazy("not yet"), "state": "unsure", "tone": "mid"},
    Verdict.NO: {"word": gettext_lazy("no"), "state": "short", "tone": "bad"},
}
"""How an answer is marked in the list: in words, by a mark and in tone."""


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Show the form and the newest answers, or put a question in line."""
    book, _today = planning_day.farm_book()
    if request.method == "POST":
        return _ask(request)
    before = question_named(request, "again")
    return _form(request, ask_fields(book, before.question if before else None))


def _form(request: HttpRequest, asked: tuple[Field, ...], wrong: str = "") -> HttpResponse:
    context = {"fields": asked, "wrong": wrong, "newest": questions.newest(), "verdicts": VERDICTS}
    return page(request, "can_promise.html", context, here="promises", status=422 if wrong else 200)


def _ask(request: HttpRequest) -> HttpResponse:
    book, _today = planning_day.farm_book()
    try:
        number = questions.ask_question(can_promise.read(typed(request)), who(request).code)
    except (InputError, RefusedError) as problem:
        asked, label = fields.kept(request, ask_fields(book)), ""
        if isinstance(problem, InputError):
            label = next((str(f.label) for f in asked if f.name == problem.field), "")
            asked = marked(asked, problem)
        return _form(request, asked, said(problem, label))
    return redirect("can-promise-answer", number)


@require_GET
def one(request: HttpRequest, number: int) -> HttpResponse:
    """Show how far a question is, or its answer."""
    asked = questions.by_number(number)
    if asked is None:
        raise Http404(_("There is no such question."))
    is_part = bool(request.headers.get("HX-Request"))
    context: dict[str, object] = {"asked": asked, "view": asked.answer}
    if not asked.is_ended:
        context["may_give_up"] = who(request).is_owner or asked.asked_by == who(request).code
        template = "parts/asking.html" if is_part else "asking.html"
        return page(request, template, context, here="promises")
    if is_part:
        address = reverse("can-promise-answer", args=[number])
        return HttpResponse(status=204, headers={"HX-Redirect": address})
    if asked.answer is not None:
        shown = asked.answer.endangered[:ENDANGERED_SHOWN]
        context |= {"endangered": shown, "can_be": _can_be(asked.answer)}
    return page(request, "answered.html", context, here="promises")


def _can_be(answer: PromiseAnswer) -> bool:
    """Say whether there is something to promise, from the first or from a later day on."""
    return answer.verdict is not Verdict.NO


@require_POST
def give_up(request: HttpRequest, number: int) -> HttpResponse:
    """End a question nobody waits for any more."""
    asked: Asked | None = questions.by_number(number)
    if asked is None:
        raise Http404(_("There is no such question."))
    person = who(request)
    if questions.give_up(number, person.code, is_owner=person.is_owner):
        messages.success(request, _("Given up. Nothing is reckoned any more."))
        return redirect("can-promise")
    return redirect("can-promise-answer", number)
