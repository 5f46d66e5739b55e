"""How big must I be: what the farm would take for kilograms a week, and what is full first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from pinset.errors import InputError
from pinset.services.asking import sizing
from pinset.services.asking.sizing import Line, SizingView
from pinset.services.asking.sizing_asked import Wanted, count_of, weight_of
from pinset.units import Quantity, convert
from pinset.web.formats import GRAMS, weighed_in
from pinset.web.forms import Field, marked
from pinset.web.render import page
from pinset.web.wording import said

LONGEST = 40
PICKED = "picked"
DECIMALS = 3


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the form, filled from what is promised every week, and the answer to it."""
    lines = sizing.promised_lines()
    is_typed = any(_name(line) in request.GET for line in lines)
    typed = {
        _name(line): request.GET.get(_name(line), "")[:LONGEST] if is_typed else _shown(line)
        for line in lines
    }
    asked = tuple(_field(line, typed[_name(line)]) for line in lines)
    view: SizingView | None = None
    wrong = ""
    if is_typed or any(typed.values()):
        try:
            view = sizing.how_big(_wanted(line, typed[_name(line)]) for line in lines)
        except InputError as problem:
            label = next((str(f.label) for f in asked if f.name == problem.field), "")
            asked, wrong = marked(asked, problem), said(problem, label)
    context = {"fields": asked, "view": view, "wrong": wrong}
    return page(request, "how_big.html", context, here="promises", status=422 if wrong else 200)


def _name(line: Line) -> str:
    return f"want-{line.variety}" if line.step == PICKED else f"want-{line.variety}-{line.step}"


def _shown(line: Line) -> str:
    if not line.promised:
        return ""
    if line.step != PICKED:
        return f"{line.promised:g}"
    return f"{round(convert(Quantity.MASS, line.promised / GRAMS, weighed_in()), DECIMALS):g}"


def _field(line: Line, value: str) -> Field:
    label, unit = line.name, _("%(unit)s a week") % {"unit": weighed_in()}
    if line.step != PICKED:
        label, unit = f"{line.name}, {line.step}", _("units a week")
    return Field(_name(line), label, kind="number", value=value, unit=unit)


def _wanted(line: Line, typed: str) -> Wanted:
    read = weight_of if line.step == PICKED else count_of
    return Wanted(line.variety, read(typed, _name(line)), line.step)
