"""What is asked for when it is asked whether something can be promised."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _

from pinset.chain.register import FarmBook, Weekday
from pinset.services.asking import questions
from pinset.services.asking.promise_asked import FIELDS, HUNDRED, USUAL_CERTAINTY, Question
from pinset.services.asking.questions import Asked
from pinset.services.promises.sold_as import PICKED
from pinset.web import fields
from pinset.web.formats import WEEKDAYS, weighed_in
from pinset.web.forms import Field
from pinset.web.promise_form import amount_shown, sold_choices

LONGEST = 80
LONGEST_NUMBER = 9


def ask_fields(book: FarmBook, asked: Question | None = None) -> tuple[Field, ...]:
    """Return the fields of a question, filled from one asked before if there is one."""
    weekdays = tuple(
        (day.value, _("every %(weekday)s") % {"weekday": str(WEEKDAYS[day.number])})
        for day in Weekday
    )
    shown = _shown(asked)
    return (
        Field(
            "variety",
            _("Variety"),
            kind="choice",
            choices=tuple((variety.code, variety.name) for variety in book.varieties),
            value=shown["variety"],
            required=True,
        ),
        Field(
            "amount",
            _("How much"),
            kind="number",
            value=shown["amount"],
            required=True,
            help=_("In %(unit)s, or units; 35, 35 kg and 77 lb are all understood.")
            % {"unit": weighed_in()},
        ),
        Field(
            "step",
            _("What"),
            kind="choice",
            choices=sold_choices(book),
            value=shown["step"],
            required=True,
        ),
        Field("weekday", _("Every week"), kind="choice", choices=weekdays, value=shown["weekday"]),
        Field("on_date", _("or once, on"), kind="date", value=shown["on_date"]),
        Field(
            "from_date",
            _("First day it holds"),
            kind="date",
            value=shown["from_date"],
            help=_("Of every week; empty: from today on."),
        ),
        Field("until", _("Last day it holds"), kind="date", value=shown["until"]),
        Field(
            "certainty",
            _("How sure"),
            kind="number",
            value=shown["certainty"],
            unit=_("of 100 seasons"),
            required=True,
        ),
        Field(
            "buyer",
            _("To whom"),
            kind="choice",
            choices=tuple((buyer.code, buyer.name) for buyer in book.buyers),
            value=shown["buyer"],
            help=_("May stay empty; the hour of handing over is then that of the van."),
        ),
    )


def _shown(asked: Question | None) -> dict[str, str]:
    shown = dict.fromkeys(FIELDS, "")
    certainty = asked.certainty if asked else USUAL_CERTAINTY
    shown |= {"certainty": f"{HUNDRED * certainty:.9g}", "step": PICKED}
    if asked is None:
        return shown
    days = {name: getattr(asked, name) for name in ("on_date", "from_date", "until")}
    return {
        **shown,
        "variety": asked.variety,
        "amount": amount_shown(asked.as_promise()),
        "step": asked.step,
        "weekday": asked.weekday.value if asked.weekday else "",
        "buyer": asked.buyer,
        **{name: day.isoformat() if day else "" for name, day in days.items()},
    }


def question_named(request: HttpRequest, name: str) -> Asked | None:
    """Return the question whose number stands in the address; None if there is none."""
    number = request.GET.get(name, "")
    if not (number.isascii() and number.isdigit() and len(number) <= LONGEST_NUMBER):
        return None
    return questions.by_number(int(number))


def typed(request: HttpRequest) -> dict[str, str]:
    """Return what was typed, by field.

    Raises
    ------
    InputError
        If it is too long or no text.
    """
    return {name: fields.text(request, name, longest=LONGEST) for name in FIELDS}
