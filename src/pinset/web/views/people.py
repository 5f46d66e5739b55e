"""Settings, People: who may come in, and as what."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from pinset.errors import InputError, RefusedError
from pinset.services.farms import people
from pinset.web import fields
from pinset.web.forms import Field, marked
from pinset.web.render import page
from pinset.web.who import owner_only
from pinset.web.wording import said


def _roles() -> tuple[tuple[str, str], ...]:
    return (
        ("worker", _("worker: the day's work and the books")),
        ("owner", _("owner: everything")),
    )


def _says(code: str, *, is_active: bool, has_password: bool) -> str:
    role = _("owner") if code == "owner" else _("worker")
    if not is_active:
        return f"{role}, {_('may not sign in')}"
    return role if has_password else f"{role}, {_('has no password yet')}"


def _password(label: str) -> Field:
    return Field(
        "password",
        label,
        kind="password",
        autocomplete="new-password",
        required=True,
        help=_("At least 10 signs; three or four words are good."),
    )


def _form(
    request: HttpRequest,
    heading: str,
    forms: tuple[tuple[tuple[Field, ...], str, str], ...],
    wrong: str,
) -> HttpResponse:
    context = {
        "heading": heading,
        "forms": forms,
        "wrong": wrong,
        "back": reverse("people"),
        "back_word": _("Who may sign in"),
    }
    return page(request, "form.html", context, here="settings", status=422 if wrong else 200)


@require_GET
@owner_only
def show(request: HttpRequest) -> HttpResponse:
    """Show everybody."""
    rows = [
        (
            row.code,
            row.name,
            _says(row.role, is_active=row.is_active, has_password=row.has_password),
        )
        for row in people.everybody()
    ]
    return page(request, "people.html", {"rows": rows}, here="settings")


@require_http_methods(["GET", "POST"])
@owner_only
def new(request: HttpRequest) -> HttpResponse:
    """Add somebody who can sign in."""
    asked: tuple[Field, ...] = (
        Field("name", _("Name"), required=True),
        Field("code", _("Code to sign in with"), required=True, help=_("letters and digits")),
        Field("role", _("May do"), kind="choice", choices=_roles(), value="worker", required=True),
        _password(_("First password")),
    )
    wrong = ""
    if request.method == "POST":
        try:
            person = people.add_person(
                fields.text(request, "code", longest=40),
                fields.text(request, "name", longest=120),
                fields.text(request, "role", longest=20),
                request.POST.get("password", ""),
            )
        except InputError as problem:
            wrong, asked = said(problem), marked(fields.kept(request, asked), problem)
        else:
            messages.success(request, _("%(name)s can sign in now.") % {"name": str(person)})
            return redirect("people")
    return _form(request, _("Add a person"), ((asked, "new", _("Save")),), wrong)


@require_http_methods(["GET", "POST"])
@owner_only
def change(request: HttpRequest, code: str) -> HttpResponse:
    """Change what somebody may do, or give them a new password."""
    row = next((row for row in people.everybody() if row.code == code), None)
    if row is None:
        raise Http404(_("Nobody here has the code %(code)s.") % {"code": code})
    role = (
        Field("role", _("May do"), kind="choice", choices=_roles(), value=row.role, required=True),
        Field("active", _("May sign in"), kind="yes", value="yes" if row.is_active else ""),
    )
    password = (_password(_("New password")),)
    wrong = ""
    if request.method == "POST":
        try:
            if request.POST.get("what") == "password":
                people.set_password(code, request.POST.get("password", ""))
            else:
                people.change_person(
                    code,
                    role=fields.text(request, "role", longest=20),
                    is_active=bool(request.POST.get("active")),
                )
        except (InputError, RefusedError) as problem:
            wrong = said(problem)
        else:
            messages.success(request, _("Saved."))
            return redirect("people")
    forms = ((role, "role", _("Save")), (password, "password", _("Set this password")))
    return _form(request, row.name, forms, wrong)
