"""Promises: what was kept and what is coming."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.chain.register import Promise
from pinset.errors import InputError, RefusedError
from pinset.services.asking import questions
from pinset.services.outlets import surplus_view
from pinset.services.plans import planning_day, work
from pinset.services.promises import promises
from pinset.services.views import PromiseWeek
from pinset.web import fields
from pinset.web.ask_form import question_named
from pinset.web.forms import Field, marked
from pinset.web.promise_form import promise_fields, read_promise
from pinset.web.render import page
from pinset.web.who import owner_only, who
from pinset.web.wording import said

WEEK_DAYS = 7
STATES = {
    "kept": {"word": gettext_lazy("kept"), "tone": "okay"},
    "kept late": {"word": gettext_lazy("kept late"), "tone": "mid"},
    "on course": {"word": gettext_lazy("on course"), "tone": "okay"},
    "unsure": {"word": gettext_lazy("not sure"), "tone": "mid"},
    "part kept": {"word": gettext_lazy("part kept"), "tone": "mid"},
    "short": {"word": gettext_lazy("short"), "tone": "bad"},
    "missed": {"word": gettext_lazy("missed"), "tone": "bad"},
    "not planned yet": {"word": gettext_lazy("not planned yet"), "tone": "okay"},
    "unavoidable": {"word": gettext_lazy("cannot be met"), "tone": "bad"},
}
"""How a promise stands, in words and in tone; the mark beside it says it too."""

SETTLED = frozenset({"kept late", "part kept", "missed"})
"""What is behind us and was not as promised: no season makes it good any more."""


@dataclass(frozen=True, slots=True)
class Week:
    """A week of promises with how it stands in one line."""

    monday: date
    rows: tuple[PromiseWeek, ...]
    words: str
    is_bad: bool
    ahead: int  # days from this Monday to that one
    chance: float | None = None  # that all of what is still to come is met
    is_rest: bool = False  # something of it was missed already

    @property
    def is_open(self) -> bool:
        """Whether it is shown unfolded: this week and the next."""
        return 0 <= self.ahead <= WEEK_DAYS


def week_of(
    monday: date, rows: tuple[PromiseWeek, ...], today: date, chance: float | None = None
) -> Week:
    """Return a week with its line: what is not as promised is counted by its state."""
    wrong = Counter(row.state for row in rows if STATES[row.state]["tone"] != "okay")
    good = len(rows) - wrong.total()
    parts = [_("%(good)s of %(all)s as promised") % {"good": good, "all": len(rows)}]
    parts += [f"{count} {STATES[state]['word']}" for state, count in wrong.items()]
    ahead = (monday - (today - timedelta(days=today.weekday()))).days
    is_to_come = any(row.chance is not None for row in rows)
    return Week(
        monday,
        rows,
        ", ".join(parts),
        bool(wrong),
        ahead,
        chance if is_to_come else None,
        is_rest=bool(wrong.keys() & SETTLED),
    )


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the weeks behind and ahead."""
    view = promises.promises_view()
    chances = dict(view.week_chances)
    weeks = [week_of(monday, rows, view.day, chances.get(monday)) for monday, rows in view.weeks]
    context = {
        "view": view,
        "ahead": [week for week in weeks if week.ahead >= 0],
        "behind": [week for week in reversed(weeks) if week.ahead < 0],
        "states": STATES,
        "surplus": (surplus := surplus_view.surplus_view()),
        "planning": (open_plan := work.open_plan()),
    }
    kept = (view, surplus, open_plan)
    return page(request, "promises.html", context, here="promises", kept=kept)


def _form(
    request: HttpRequest, asked: tuple[Field, ...], *, heading: str, code: str = "", wrong: str = ""
) -> HttpResponse:
    context = {"fields": asked, "heading": heading, "code": code, "wrong": wrong}
    return page(request, "promise.html", context, here="promises", status=422 if wrong else 200)


def _save(request: HttpRequest, old: Promise | None, heading: str) -> HttpResponse:
    """Write the promise that was typed, or show the form again with what was wrong."""
    book, today = planning_day.farm_book()
    asked = promise_fields(book, old)
    try:
        promise = read_promise(request, book, today, old)
        promises.save_promise(promise, who(request).code)
    except (InputError, RefusedError) as problem:
        asked = fields.kept(request, asked)
        label = ""
        if isinstance(problem, InputError):
            label = next((str(f.label) for f in asked if f.name == problem.field), "")
            asked = marked(asked, problem)
        code = old.code if old else ""
        return _form(request, asked, heading=heading, code=code, wrong=said(problem, label))
    messages.success(request, _("Saved. The next plan reckons with it."))
    return redirect("promises")


@require_http_methods(["GET", "POST"])
@owner_only
def new(request: HttpRequest) -> HttpResponse:
    """Promise something to a buyer."""
    heading = _("New promise")
    if request.method == "POST":
        return _save(request, None, heading)
    book, today = planning_day.farm_book()
    asked = question_named(request, "asked")
    prefilled = questions.to_promise(asked, today) if asked else None
    return _form(request, promise_fields(book, prefilled), heading=heading)


def _find(code: str) -> Promise:
    book, _today = planning_day.farm_book()
    found = planning_day.promise_by_code(book, code)
    if found is None:
        raise Http404(_("There is no such promise."))
    return found


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, code: str) -> HttpResponse:
    """Change a promise from today on."""
    old = _find(code)
    heading = _("Change a promise")
    if request.method == "POST":
        return _save(request, old, heading)
    book, _today = planning_day.farm_book()
    return _form(request, promise_fields(book, old), heading=heading, code=code)


@require_POST
@owner_only
def end(request: HttpRequest, code: str) -> HttpResponse:
    """End a promise; what was handed over stays in the books."""
    _find(code)
    promises.end_promise(code, who(request).code)
    messages.success(request, _("Ended. What was handed over stays in the books."))
    return redirect("promises")
