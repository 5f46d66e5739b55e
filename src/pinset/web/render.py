"""Turning a template and values into an answer, with what every page shows around it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from markupsafe import Markup

from pinset.web.who import STRANGER, Who, who

NOTE_KINDS = {"error": "gone", "warning": "", "success": "good", "info": ""}


@dataclass(frozen=True, slots=True)
class NavEntry:
    """A line of the menu."""

    label: str
    href: str
    here: bool
    gap: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """A line that tells what just happened."""

    text: str
    kind: str


def menu(person: Who, here: str) -> tuple[NavEntry, ...]:
    """Return the menu of pages that exist and that this person may open."""
    wanted = [
        (_("Today"), "today", "today", False),
        (_("Promises"), "promises", "promises", False),
        (_("Books"), "lots", "books", False),
        (_("Pick"), "pick", "pick", True),
        (_("Deliver"), "deliver", "deliver", False),
        (_("Settings"), "settings" if person.is_owner else "password", "settings", True),
    ]
    return tuple(
        NavEntry(label, reverse(name), here == key, gap) for label, name, key, gap in wanted
    )


def page(
    request: HttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    *,
    here: str = "",
    status: int = 200,
) -> HttpResponse:
    """Render a page, or a part of one, with the frame's values."""
    person = who(request) if hasattr(request, "user") else STRANGER
    frame = {
        "person": person,
        "here": here,
        "nav": menu(person, here) if person.code else (),
        "said": said_to(request),
        "farm_name": getattr(request, "farm_name", "pinset"),
        "language": get_language() or "en",
        "token": token_input(request),
    }
    text = render_to_string(template, {**frame, **(context or {})}, request)
    return HttpResponse(text, status=status)


def token_input(request: HttpRequest) -> Markup:
    """Return the hidden field every form of the page carries; made once a page."""
    return Markup('<input type="hidden" name="csrfmiddlewaretoken" value="{}">').format(
        get_token(request)
    )


def said_to(request: HttpRequest) -> tuple[Said, ...]:
    """Return what is to be told on this page, once."""
    if not hasattr(request, "_messages"):
        return ()
    return tuple(
        Said(str(message), NOTE_KINDS.get(message.level_tag, ""))
        for message in messages.get_messages(request)
    )
