"""What was not accepted, said by the names that stand on the screen."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.errors import InputError, PinsetError
from pinset.web.formats import first_upper

NAMES = {
    "amount": gettext_lazy("How much"),
    "at": gettext_lazy("When it happened"),
    "buyer": gettext_lazy("To whom"),
    "cause": gettext_lazy("Why"),
    "client_id": gettext_lazy("The form's own number"),
    "code": gettext_lazy("Code"),
    "count": gettext_lazy("How many"),
    "despite-cook": gettext_lazy("Why vessels of a cook that did not pass are used"),
    "flush": gettext_lazy("Flush"),
    "from_date": gettext_lazy("First day it holds"),
    "grams": gettext_lazy("Weight"),
    "label": gettext_lazy("Label"),
    "lot": gettext_lazy("Lot"),
    "lot code": gettext_lazy("Lot code"),
    "note": gettext_lazy("Note"),
    "of": gettext_lazy("How many are looked at"),
    "on_date": gettext_lazy("The one day"),
    "other": gettext_lazy("Another reason"),
    "other-lot": gettext_lazy("Another lot"),
    "other-lots": gettext_lazy("Lots not named here"),
    "photo": gettext_lazy("Photo"),
    "place": gettext_lazy("Where to"),
    "price": gettext_lazy("Price"),
    "reading": gettext_lazy("Reading"),
    "ready_on": gettext_lazy("Expected ready on"),
    "reason": gettext_lazy("Reason"),
    "step": gettext_lazy("What"),
    "unit number": gettext_lazy("Number of the unit"),
    "until": gettext_lazy("Last day it holds"),
    "variety": gettext_lazy("Variety"),
    "weekday": gettext_lazy("Every week"),
    "what": gettext_lazy("What happened"),
    "weight": gettext_lazy("Weight"),
}
"""What fields are called on the pages."""


def said(problem: PinsetError, label: str = "") -> str:
    """Return why something was not accepted, the field by its screen name.

    ``label`` is the name of the field where the page knows a better one.
    """
    if not isinstance(problem, InputError):
        return str(problem)
    words = {
        "field": label or screen_name(problem.field),
        "given": problem.given,
        "accepted": problem.accepted,
    }
    if problem.given in {None, ""}:
        sentence = _("%(field)s is still empty. Accepted is: %(accepted)s.") % words
    else:
        sentence = _("%(field)s: “%(given)s” is not accepted. Accepted is: %(accepted)s.") % words
    return f"{sentence} {problem.hint}".strip()


def screen_name(field: str) -> str:
    """Return what a field is called on the pages."""
    if field in NAMES:
        return str(NAMES[field])
    if field.startswith("lot-"):
        return _("Units of lot %(lot)s") % {"lot": field.removeprefix("lot-")}
    return first_upper(field.replace("_", " ").replace("-", " "))
