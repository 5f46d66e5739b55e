"""Turning a template and values into an answer, with what every page shows around it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.template.loader import get_template
from django.urls import reverse
from django.utils.timezone import get_current_timezone_name
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from markupsafe import Markup

from pinset.web.blanks import TOKEN, fill
from pinset.web.formats import system
from pinset.web.offline import is_again
from pinset.web.who import STRANGER, Who, who

MOST_KEPT = 64
TOKEN_INPUT = Markup('<input type="hidden" name="csrfmiddlewaretoken" value="{}">').format(TOKEN)
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
        (_("Heat"), "heat", "heat", False),
        (_("Mix"), "mix", "mix", False),
        (_("Air"), "air", "air", False),
        (_("Losses"), "losses", "losses", False),
        (_("Books"), "lots", "books", False),
        (_("Scan"), "scan", "scan", True),
        (_("Look"), "look", "look", False),
        (_("Bench"), "bench", "bench", False),
        (_("Pick"), "pick", "pick", False),
        (_("Deliver"), "deliver", "deliver", False),
        (_("Settings"), "settings" if person.is_owner else "password", "settings", True),
    ]
    return tuple(
        NavEntry(label, reverse(name), here == key, gap) for label, name, key, gap in wanted
    )


_kept: OrderedDict[Hashable, str] = OrderedDict()


def page(
    request: HttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    *,
    here: str = "",
    status: int = 200,
    kept: Hashable = None,
) -> HttpResponse:
    """Render a page, or a part of one, with the frame's values.

    ``kept`` is all that the context says, as one hashable value; a page drawn from the same for the
    same person is then given again instead of drawn anew.
    """
    person = who(request) if hasattr(request, "user") else STRANGER
    said = said_to(request)
    farm_name = getattr(request, "farm_name", "pinset")
    language = get_language() or "en"
    key = (template, kept, person, here, farm_name, language, system(), get_current_timezone_name())
    drawn = _kept.get(key) if kept is not None and not said else None
    if drawn is None:
        frame = {
            "person": person,
            "here": here,
            "nav": menu(person, here) if person.code else (),
            "said": said,
            "farm_name": farm_name,
            "language": language,
            "token": TOKEN_INPUT,
            "is_https": settings.HTTPS,
        }
        drawn = get_template(template).render({**frame, **(context or {})})
        if kept is not None and not said:
            _kept[key] = drawn
            while len(_kept) > MOST_KEPT:
                _kept.popitem(last=False)
    return HttpResponse(fill(drawn, get_token(request)), status=status)


def said_to(request: HttpRequest) -> tuple[Said, ...]:
    """Return what is to be told on this page, once."""
    if not hasattr(request, "_messages") or is_again(request):
        return ()
    return tuple(
        Said(str(message), NOTE_KINDS.get(message.level_tag, ""))
        for message in messages.get_messages(request)
    )
