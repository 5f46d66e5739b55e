"""Reading what a form sent: each function says what is accepted when it refuses."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from pinset.errors import InputError
from pinset.services.bounds import MOST_GRAMS
from pinset.units import Quantity, convert, grams
from pinset.web.formats import GRAMS, weighed_in
from pinset.web.formats import whole as whole_words
from pinset.web.forms import Field

DECIMALS = 3  # of a kilogram or pound, to the gram
MOST = 1_000_000
TAPPED_AT = "tapped_at"
"""Where a request keeps the moment of a tap that waited for the network."""
NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")


def text(request: HttpRequest, name: str, *, longest: int = 2000) -> str:
    """Return what was typed, without blanks around it."""
    given = request.POST.get(name, "").strip()
    if len(given) > longest:
        raise InputError(name, f"{given[:40]}…", _("at most %(count)s signs") % {"count": longest})
    if any(ord(sign) < ord(" ") and sign not in "\r\n\t" for sign in given):
        raise InputError(name, given, _("text without control signs"))
    return given


def one(request: HttpRequest, name: str, accepted: Sequence[str]) -> str:
    """Return the one choice that was made."""
    given = text(request, name, longest=100)
    if given not in accepted:
        raise InputError(name, given, ", ".join(each for each in accepted if each))
    return given


def ticked(request: HttpRequest, name: str, accepted: Sequence[str]) -> tuple[str, ...]:
    """Return what was ticked, each once."""
    given = tuple(dict.fromkeys(request.POST.getlist(name)))
    wrong = [each for each in given if each not in accepted]
    if wrong:
        raise InputError(name, wrong[0][:40], ", ".join(accepted))
    return given


def whole(request: HttpRequest, name: str, *, least: int = 0, most: int = MOST) -> int | None:
    """Return a whole number, or None if nothing was typed."""
    given = text(request, name, longest=40)
    if not given:
        return None
    accepted = _("a whole number from %(least)s to %(most)s") % {"least": least, "most": most}
    if not re.fullmatch(r"[+-]?\d+", given) or not given.isascii():
        raise InputError(name, given, accepted)
    if not least <= int(given) <= most:
        raise InputError(name, given, accepted)
    return int(given)


def number(request: HttpRequest, name: str, *, most: float = MOST) -> float | None:
    """Return a number of zero or more, with a point or a comma, or None if nothing was typed."""
    given = text(request, name, longest=40)
    if not given:
        return None
    accepted = _("a number from 0 to %(most)s") % {"most": most}
    if not NUMBER.fullmatch(given) or not given.isascii():
        raise InputError(name, given, accepted)
    value = float(given.replace(",", "."))
    if not 0 <= value <= most:
        raise InputError(name, given, accepted)
    return value


def at_most(most_g: int) -> str:
    """Return what is accepted of a weight, its limit in the farm's own unit."""
    most = convert(Quantity.MASS, most_g / GRAMS, weighed_in())
    words = {"most": whole_words(most), "unit": weighed_in()}
    return _("more than nothing and at most %(most)s %(unit)s") % words


def from_the_scale() -> str:
    """Return what is asked for where no weight was typed."""
    return _("the weight from the scale, in %(unit)s") % {"unit": weighed_in()}


def weight(request: HttpRequest, name: str) -> int | None:
    """Return a mass in grams, typed in the farm's unit or with its own; None: nothing typed."""
    given = text(request, name, longest=40)
    if not given:
        return None
    mass_g = grams(given, weighed_in(), name)
    if not 0 < mass_g <= MOST_GRAMS:
        raise InputError(name, given, at_most(MOST_GRAMS))
    return mass_g


def weight_shown(mass_g: int) -> str:
    """Return a weight as it is typed in the farm's unit.

    It has as few decimals as mean the same whole grams: 18,144 g are 40 lb.
    """
    value = convert(Quantity.MASS, mass_g / GRAMS, weighed_in())
    shown = [f"{round(value, places):.9g}" for places in range(DECIMALS + 1)]
    same = [text for text in shown if grams(text, weighed_in()) == mass_g]
    return same[0] if same else shown[-1]


def day(request: HttpRequest, name: str) -> date | None:
    """Return a date, or None if nothing was typed."""
    given = text(request, name, longest=40)
    if not given:
        return None
    try:
        return date.fromisoformat(given)
    except ValueError:
        raise InputError(name, given, _("a date such as 2026-03-12")) from None


def hour(request: HttpRequest, name: str) -> time | None:
    """Return an hour of the day, or None if nothing was typed."""
    given = text(request, name, longest=40)
    if not given:
        return None
    try:
        return time.fromisoformat(given)
    except ValueError:
        raise InputError(name, given, _("an hour such as 07:40")) from None


def moment(request: HttpRequest, name: str) -> datetime | None:
    """Return a moment by the farm's clock, or None if nothing was typed.

    Of a form that waited for the network it is the moment of the tap, to which its minute alone,
    as a page shows it, leads back.
    """
    given = text(request, name, longest=40)
    tapped_at: datetime | None = getattr(request, TAPPED_AT, None)
    if not given:
        return tapped_at
    try:
        typed = datetime.fromisoformat(given)
    except ValueError:
        raise InputError(name, given, _("a date and time such as 2026-03-12T07:40")) from None
    read = typed if typed.tzinfo else typed.replace(tzinfo=timezone.get_current_timezone())
    is_its_minute = tapped_at and read == tapped_at.replace(second=0, microsecond=0)
    return tapped_at if is_its_minute else read


def kept(request: HttpRequest, asked: tuple[Field, ...]) -> tuple[Field, ...]:
    """Return the fields with what was typed, so that nothing has to be typed twice."""
    return tuple(
        replace(
            field,
            value="" if field.kind == "password" else request.POST.get(field.name, ""),
            values=tuple(request.POST.getlist(field.name)),
        )
        for field in asked
    )
